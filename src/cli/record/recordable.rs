//! Kinds of which one record can be recorded without a file: what its row
//! starts from, and how it is told.

use super::typed::Typed;
use crate::book::{Book, BookProblem};
use crate::cli::failure::Failure;
use crate::cli::like_id;
use crate::cli::rows::importable::Importable;
use crate::cli::rows::offered;
use crate::intake::{Asks, Costs, Gifts, Kind, Sales};
use crate::report::export::record_cells;
use crate::report::text::amounts;
use crate::trade::{AskChange, Cost, Currency, Day, Gift, Sale, Style};

/// A kind of which one record can be recorded without a file.
pub(crate) trait Recordable: Importable + Sized {
    /// Columns whose flags must be given.
    const REQUIRED: &'static [&'static str];
    /// What stands behind `wheelworth record` where a flag is missing.
    const EXAMPLE: &'static str;
    /// Flags that stand for a value of a column.
    const MARKS: &'static [Mark] = &[];
    /// A column whose flag may stand several times: one event of several records.
    const SEVERAL: Option<&'static str> = None;
    /// Columns that a file must have and whose flags may be left out, with what
    /// is taken then.
    const WITHOUT: &'static [(&'static str, &'static str)];

    /// The cells that the row starts from, in the order of the columns: those of
    /// the record that is changed, or what a new one has by itself.
    ///
    /// # Errors
    /// Too little was typed for a new record, or the book cannot be read.
    fn start(book: &Book, typed: &Typed<Self>, as_of: Day) -> Result<Vec<String>, Failure>;

    /// What else than the flags a new record starts from, in words.
    ///
    /// # Errors
    /// When the book cannot be read.
    fn taken_over(_: &Book, _: &Typed<Self>, _: Day) -> Result<Option<String>, Failure> {
        Ok(None)
    }

    /// A new record in the user's words.
    fn words(record: &Self::Record, currency: &Currency) -> String;
}

/// A flag that stands for a value of a column.
pub(crate) struct Mark {
    /// Its name, without the hyphens.
    pub flag: &'static str,
    pub column: &'static str,
    pub value: &'static str,
    /// What it says, for help.
    pub what: &'static str,
}

/// What is taken for `--on`.
const ON: (&str, &str) = ("on", "default: today, or the day of --as-of");

/// Cells of a row that are empty but for some columns.
pub(super) fn empty_but<K: Kind>(filled: &[(&str, String)]) -> Vec<String> {
    let cell = |name: &str| filled.iter().find(|(column, _)| *column == name);
    let cells = K::FIELDS.iter().map(|field| cell(field.name));
    cells
        .map(|cell| cell.map_or(String::new(), |(_, text)| text.clone()))
        .collect()
}

impl Recordable for Sales {
    const REQUIRED: &'static [&'static str] = &["bike"];
    const EXAMPLE: &'static str = "sale --bike B-7 --sold-on 2026-04-11 --sold-price 150";
    const SEVERAL: Option<&'static str> = Some("bike");
    const WITHOUT: &'static [(&'static str, &'static str)] = &[
        ("bike", "may stand several times"),
        ("style", "needed for a new bike"),
    ];

    fn start(book: &Book, typed: &Typed<Self>, as_of: Day) -> Result<Vec<String>, Failure> {
        let id = typed.get("bike").unwrap_or_default();
        let currency = book.settings().currency;
        if let Some(sale) = book.sale(id)? {
            sold_although_it_left(&sale, typed)?;
            return Ok(record_cells::sale(&sale, &currency));
        }
        if let Some((_, found)) = offered::found(&book.offers(as_of)?, id) {
            return Ok(record_cells::sale(&Sale::of("", found), &currency));
        }
        if typed.get("style").is_none() && !id.is_empty() {
            return Err(needs_style(book, id)?);
        }
        Ok(empty_but::<Self>(&[]))
    }

    /// An offer that was kept for the bike.
    fn taken_over(book: &Book, typed: &Typed<Self>, as_of: Day) -> Result<Option<String>, Failure> {
        let id = typed.get("bike").unwrap_or_default();
        if book.sale(id)?.is_some() {
            return Ok(None);
        }
        let Some((on, found)) = offered::found(&book.offers(as_of)?, id) else {
            return Ok(None);
        };
        let cells = record_cells::sale(&Sale::of("", found), &book.settings().currency);
        let cells = Self::FIELDS.iter().zip(cells).skip(1);
        let names: Vec<&str> = cells
            .filter(|(field, cell)| !cell.is_empty() && typed.get(field.name).is_none())
            .map(|(field, _)| field.name)
            .collect();
        Ok(offered::words(id, on, &names))
    }

    fn words(sale: &Sale, currency: &Currency) -> String {
        let cells = record_cells::sale(sale, currency);
        let known = Self::FIELDS.iter().zip(cells).skip(1);
        let known: Vec<String> = known
            .filter(|(_, cell)| !cell.is_empty())
            .map(|(field, cell)| format!("{} {cell}", field.name))
            .collect();
        format!("{} is new: {}", sale.id, known.join(", "))
    }
}

/// Refuses the sale of a bike that left without one.
fn sold_although_it_left(sale: &Sale, typed: &Typed<Sales>) -> Result<(), Failure> {
    let given = |column: &str| typed.get(column).is_some_and(|text| !text.is_empty());
    let sold = given("sold_on") || given("sold_price");
    match &sale.left {
        Some(left) if sold && typed.get("left_on").is_none() => Err(Failure::refused(
            format!(
                "--bike '{}': it left on {} ({})",
                sale.id, left.on, left.how
            ),
            format!(
                "If it did not leave: wheelworth record sale --bike {} --left-on '' --left-as '', then record the sale.",
                sale.id
            ),
        )),
        _ => Ok(()),
    }
}

/// That a bike is not in the book, with the one that was probably meant.
fn needs_style(book: &Book, id: &str) -> Result<Failure, BookProblem> {
    let sales = book.sales()?;
    let near = like_id::nearest(sales.iter().map(|sale| sale.id.as_str()), id);
    let styles: Vec<&str> = Style::ALL.iter().map(|style| style.word()).collect();
    let new = format!("For a new bike give --style: {}.", styles.join(" "));
    Ok(Failure::refused(
        format!("--bike '{id}': the book has no such bike, and a new one needs --style"),
        near.map_or(new.clone(), |near| format!("Did you mean {near}? {new}")),
    ))
}

impl Recordable for Asks {
    const REQUIRED: &'static [&'static str] = &["bike", "ask"];
    const EXAMPLE: &'static str = "ask --bike B-7 --ask 135";
    const WITHOUT: &'static [(&'static str, &'static str)] = &[ON];

    fn start(_: &Book, _: &Typed<Self>, as_of: Day) -> Result<Vec<String>, Failure> {
        Ok(empty_but::<Self>(&[("on", as_of.to_string())]))
    }

    fn words(change: &AskChange, currency: &Currency) -> String {
        let ask = amounts::exact(change.ask, currency);
        format!(
            "{} is asked at {ask} {currency} from {} on",
            change.bike, change.on
        )
    }
}

impl Recordable for Costs {
    const REQUIRED: &'static [&'static str] = &["kind", "amount"];
    const EXAMPLE: &'static str = "cost --bike B-7 --kind part --item chain --amount 12";
    const WITHOUT: &'static [(&'static str, &'static str)] = &[ON];

    fn start(_: &Book, _: &Typed<Self>, as_of: Day) -> Result<Vec<String>, Failure> {
        Ok(empty_but::<Self>(&[("on", as_of.to_string())]))
    }

    fn words(cost: &Cost, currency: &Currency) -> String {
        let whose = cost.bike.as_deref().unwrap_or("the workshop");
        let what = [Some(cost.kind.word()), cost.item.as_deref()];
        let boxed = cost.from_box.then_some("from the parts box");
        let what: Vec<&str> = what.into_iter().chain([boxed]).flatten().collect();
        format!(
            "cost of {} {currency} for {whose} on {}: {}",
            amounts::exact(cost.amount, currency),
            cost.on,
            what.join(", ")
        )
    }
}

impl Recordable for Gifts {
    const REQUIRED: &'static [&'static str] = &[];
    const EXAMPLE: &'static str = "gift --amount 60 --reference T-113";
    const WITHOUT: &'static [(&'static str, &'static str)] = &[
        ON,
        ("beneficiary", "default: the book's only one"),
        ("amount", "needed for a new gift"),
    ];

    fn start(book: &Book, typed: &Typed<Self>, as_of: Day) -> Result<Vec<String>, Failure> {
        let reference = typed.get("reference").filter(|text| !text.is_empty());
        let gifts = reference.map(|_| book.gifts()).transpose()?;
        let known = gifts.into_iter().flatten();
        let mut known = known.filter(|gift| gift.reference.as_deref() == reference);
        if let Some(gift) = known.next() {
            return Ok(record_cells::gift(&gift, &book.settings().currency));
        }
        if typed.get("amount").is_none() {
            let hint = "Give --amount: how much was given.";
            return Err(match reference {
                Some(text) => Failure::refused(
                    format!(
                        "--reference '{text}': the book has no gift with it, and a new one needs \
                         --amount"
                    ),
                    hint,
                ),
                None => Failure::usage("record gift: how much?", hint),
            });
        }
        let mut filled = vec![("on", as_of.to_string())];
        if typed.get("beneficiary").is_none() {
            filled.push(("beneficiary", only_beneficiary(book, as_of)?));
        }
        Ok(empty_but::<Self>(&filled))
    }

    fn words(gift: &Gift, currency: &Currency) -> String {
        let reference = gift.reference.as_ref();
        format!(
            "gift of {} {currency} to {} on {}{}",
            amounts::exact(gift.amount, currency),
            gift.beneficiary,
            gift.on,
            reference.map_or(String::new(), |text| format!(", reference {text}"))
        )
    }
}

/// The beneficiary whom the rule names on the day, where there is one.
fn only_beneficiary(book: &Book, as_of: Day) -> Result<String, Failure> {
    let rules = book.rules()?;
    let named = &rules.on(as_of).beneficiaries;
    if let [only] = named.as_slice() {
        return Ok(only.name.clone());
    }
    let names: Vec<&str> = named.iter().map(|who| who.name.as_str()).collect();
    let hint = if names.is_empty() {
        "Give --beneficiary NAME; the book names nobody.".to_string()
    } else {
        format!("Give --beneficiary NAME: {}.", names.join(" or "))
    };
    Err(Failure::usage("record gift: who received it?", hint))
}
