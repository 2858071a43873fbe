//! A comp that was seen, or another look at one.

use super::recordable::{Mark, Recordable, empty_but};
use super::typed::Typed;
use crate::book::{Book, BookProblem};
use crate::cli::failure::Failure;
use crate::cli::like_id;
use crate::cli::rows::importable::Importable as _;
use crate::intake::{Comps, Kind as _};
use crate::report::export::record_cells;
use crate::report::text::amounts;
use crate::trade::{Comparable, Currency, Day};

/// What ids made here begin with: for 'seen'.
const MADE: &str = "S-";

const fn ended(flag: &'static str, what: &'static str) -> Mark {
    Mark {
        flag,
        column: "outcome",
        value: flag,
        what,
    }
}

impl Recordable for Comps {
    const REQUIRED: &'static [&'static str] = &[];
    const EXAMPLE: &'static str = "comp --style city --ask 120";
    const WITHOUT: &'static [(&'static str, &'static str)] = &[
        ("listing", "default: an id is made and shown"),
        ("style", "needed for a new one"),
        ("ask", "needed for a new one"),
        ("first_seen", "default: today, or the day of --as-of"),
        ("last_seen", "default: today, or the day of --as-of"),
    ];
    const MARKS: &'static [Mark] = &[
        ended("gone", "It is no longer there, nobody knows why"),
        ended("sold", "It was sold"),
        ended("withdrawn", "Its seller took it back"),
    ];

    fn start(book: &Book, typed: &Typed<Self>, as_of: Day) -> Result<Vec<String>, Failure> {
        let today = as_of.to_string();
        let given = |column: &str| typed.get(column).filter(|text| !text.is_empty());
        let Some(listing) = given("listing") else {
            if given("style").is_none() || given("ask").is_none() {
                return Err(Failure::usage(
                    "record comp: a new one needs --style and --ask",
                    "For example: wheelworth record comp --style city --ask 120; for another look \
                     at one in the book add --listing ID.",
                ));
            }
            let seen = [("first_seen", today.clone()), ("last_seen", today)];
            let made = [("listing", next_id(book)?)];
            let start: Vec<_> = made.into_iter().chain(seen).collect();
            return Ok(empty_but::<Self>(&start));
        };
        let known = with_listing(book, listing, typed.get("source"))?;
        match known.as_slice() {
            [there] => Ok(another_look(there, typed, as_of, &book.settings().currency)),
            [] if given("style").is_some() && given("ask").is_some() => Ok(empty_but::<Self>(&[
                ("first_seen", today.clone()),
                ("last_seen", today),
            ])),
            [] => Err(needs_more(book, listing)?),
            several => Err(which_source(listing, several)),
        }
    }

    fn words(comp: &Comparable, currency: &Currency) -> String {
        format!(
            "{}: {} asked at {} {currency}; for another look: wheelworth record comp --listing {}",
            Comps::name(comp),
            comp.bike.style,
            amounts::exact(comp.standing_ask(), currency),
            comp.listing
        )
    }
}

/// The comps with a listing's id, at one source where that is given.
fn with_listing(
    book: &Book,
    listing: &str,
    source: Option<&str>,
) -> Result<Vec<Comparable>, BookProblem> {
    let mut found = Vec::new();
    book.each_comp(&mut |_, comp| {
        if comp.listing == listing && source.is_none_or(|source| comp.source == source) {
            found.push(comp.clone());
        }
    })?;
    Ok(found)
}

/// The next id that nothing has.
fn next_id(book: &Book) -> Result<String, BookProblem> {
    let mut last = 0;
    book.each_comp(&mut |_, comp| {
        let number = comp
            .listing
            .strip_prefix(MADE)
            .and_then(|n| n.parse::<u64>().ok());
        last = last.max(number.unwrap_or(0));
    })?;
    Ok(format!("{MADE}{}", last + 1))
}

/// The cells of a look of today at a comp that is there. One that is gone was seen no
/// more: it ended at some day after it was last seen.
fn another_look(
    there: &Comparable,
    typed: &Typed<Comps>,
    as_of: Day,
    currency: &Currency,
) -> Vec<String> {
    let gone = typed.get("outcome") == Some("gone");
    let seen = there.last_seen.or(there.first_seen).filter(|_| gone);
    let seen = seen.unwrap_or(as_of);
    let look = Comparable {
        first_seen: Some(seen),
        last_seen: Some(seen),
        ask: there.standing_ask(),
        last_ask: None,
        outcome: crate::trade::Outcome::Listed,
        ended_on: None,
        sold_price: None,
        ..there.clone()
    };
    let mut cells = record_cells::comp(&look, currency);
    // A look of an earlier day began and ended on that day.
    let first = Comps::FIELDS
        .iter()
        .position(|field| field.name == "first_seen");
    let given = |column: &str| typed.get(column).filter(|text| !text.is_empty());
    if let (Some(first), Some(last), None) = (first, given("last_seen"), given("first_seen")) {
        cells[first] = last.to_string();
    }
    cells
}

/// That a comp is not in the book, with the one that was probably meant.
fn needs_more(book: &Book, listing: &str) -> Result<Failure, BookProblem> {
    let mut listings = Vec::new();
    book.each_comp(&mut |_, comp| listings.push(comp.listing.clone()))?;
    let near = like_id::nearest(listings.iter().map(String::as_str), listing);
    let new = "For a new one give --style and --ask.";
    Ok(Failure::refused(
        format!("--listing '{listing}': the book has no such comp"),
        near.map_or(new.to_string(), |near| {
            format!("Did you mean {near}? {new}")
        }),
    ))
}

fn which_source(listing: &str, several: &[Comparable]) -> Failure {
    let sources: Vec<String> = several
        .iter()
        .map(|comp| format!("'{}'", comp.source))
        .collect();
    Failure::usage(
        format!("--listing '{listing}': several sources have it"),
        format!("Say which with --source: {}.", sources.join(" or ")),
    )
}
