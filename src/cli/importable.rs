//! Kinds of record that can be put into the book.

use super::import_asks::Listings;
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::intake::{Asks, CellProblem, Comps, Kind, Sales};
use crate::trade::{AskChange, Comparable, Currency, Money, Style};

/// Why a row cannot be true: our name of a column, and the problem.
pub type Refusal = (&'static str, CellProblem);

/// A kind of record that can be put into the book.
pub trait Importable: Kind {
    /// What a row is held against.
    type Beside;
    /// One of its records, in a word.
    const ONE: &'static str;
    /// Our name of the id column.
    const ID: &'static str;
    /// Whether a row describes a bike, which is then compared with its like.
    const DESCRIBES_A_BIKE: bool = false;
    /// Whether one bike may stand in two rows, as listings of others do.
    const LISTED_TWICE: bool = false;

    /// What the book has that a row is held against.
    fn beside(book: &Book) -> Result<Self::Beside, BookProblem>;
    /// Puts it.
    fn put(
        import: &mut Import<'_>,
        record: &Self::Record,
        repeat: Repeat,
    ) -> Result<Put, BookProblem>;
    /// Its name for the user.
    fn name(record: &Self::Record) -> String;

    /// Style and ask (or sale price), to find unusual ones.
    fn priced(_: &Self::Record) -> Option<(Style, Money)> {
        None
    }

    /// What is refused of a row whose id stood in the file before.
    fn twice(_: &Self::Record) -> Refusal {
        let mend = "Keep the row that is right, or give the other an id of its own.";
        let problem = CellProblem::new("an id that stands once in the file", mend);
        (Self::ID, problem)
    }

    /// Whether it has no id, so that an identical one may be another.
    fn may_repeat(_: &Self::Record) -> bool {
        false
    }

    /// Whether the book had an identical one.
    fn is_there(_: &Self::Beside, _: &Self::Record) -> bool {
        false
    }

    /// Why a row cannot be true beside what the book has.
    fn refusal(_: &mut Self::Beside, _: &Self::Record) -> Option<Refusal> {
        None
    }

    /// Takes in a row that was put, with its line.
    fn show(_: &mut Self::Beside, _: &Self::Record, _: u64, _: &Put, _: &Currency) {}

    /// What is odd about the rows: line and words, in the order of the lines.
    fn doubts(_: Self::Beside, _: &Currency) -> Vec<(u64, String)> {
        Vec::new()
    }
}

impl Importable for Comps {
    type Beside = ();
    const ONE: &'static str = "comp";
    const ID: &'static str = "listing";
    const DESCRIBES_A_BIKE: bool = true;
    const LISTED_TWICE: bool = true;

    fn beside(_: &Book) -> Result<(), BookProblem> {
        Ok(())
    }

    fn put(import: &mut Import<'_>, record: &Comparable, _: Repeat) -> Result<Put, BookProblem> {
        import.put_comp(record)
    }

    fn name(record: &Comparable) -> String {
        if record.source.is_empty() {
            record.listing.clone()
        } else {
            format!("{} ({})", record.listing, record.source)
        }
    }

    fn priced(record: &Comparable) -> Option<(Style, Money)> {
        Some((record.bike.style, record.ask))
    }
}

impl Importable for Asks {
    type Beside = Listings;
    const ONE: &'static str = "ask";
    const ID: &'static str = "bike";

    fn beside(book: &Book) -> Result<Listings, BookProblem> {
        Listings::of(book)
    }

    fn put(import: &mut Import<'_>, record: &AskChange, _: Repeat) -> Result<Put, BookProblem> {
        import.put_ask(record)
    }

    fn name(record: &AskChange) -> String {
        format!("{} on {}", record.bike, record.on)
    }

    fn twice(record: &AskChange) -> Refusal {
        let expected = format!("a day that stands once for {} in the file", record.bike);
        let problem = CellProblem::new(expected, "Keep the row that is right: one ask a day.");
        ("on", problem)
    }

    fn refusal(listings: &mut Listings, record: &AskChange) -> Option<Refusal> {
        listings.refusal(record)
    }

    fn show(listings: &mut Listings, record: &AskChange, line: u64, _: &Put, _: &Currency) {
        listings.asked(record, line);
    }

    fn doubts(listings: Listings, currency: &Currency) -> Vec<(u64, String)> {
        listings.doubts(currency)
    }
}

/// Style and price of everything in the book: what an import is compared with.
pub fn priced_in_book(book: &Book, see: &mut dyn FnMut(Style, Money)) -> Result<(), BookProblem> {
    book.sales()?
        .iter()
        .filter_map(Sales::priced)
        .for_each(|(style, price)| see(style, price));
    book.each_comp(&mut |_, comp| see(comp.bike.style, comp.ask))
}
