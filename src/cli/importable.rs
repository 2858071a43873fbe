//! Kinds of record that can be put into the book.

use super::import_asks::Listings;
use crate::book::{Book, BookProblem, Import, Put};
use crate::intake::{Asks, CellProblem, Comps, Kind, Sales};
use crate::trade::{AskChange, Comparable, Currency, Money, Sale, Style};

/// A kind of record that can be put into the book.
pub trait Importable: Kind {
    /// Our name of the id column.
    const ID: &'static str;
    /// Whether a row describes a bike, which is then compared with its like.
    const DESCRIBES_A_BIKE: bool = true;

    /// Puts it.
    fn put(import: &mut Import<'_>, record: &Self::Record) -> Result<Put, BookProblem>;
    /// Its name for the user.
    fn name(record: &Self::Record) -> String;
    /// Style and ask (or sale price), to find unusual ones.
    fn priced(record: &Self::Record) -> Option<(Style, Money)>;

    /// What is refused of a row whose id stood in the file before: our name of a
    /// column, and the problem.
    fn twice(_: &Self::Record) -> (&'static str, CellProblem) {
        let mend = "Keep the row that is right, or give the other an id of its own.";
        let problem = CellProblem::new("an id that stands once in the file", mend);
        (Self::ID, problem)
    }

    /// The own listings in the book, for kinds whose rows tell of them.
    fn listings(_: &Book) -> Result<Listings, BookProblem> {
        Ok(Listings::default())
    }

    /// Why a row cannot be true beside them, likewise.
    fn refusal(_: &mut Listings, _: &Self::Record) -> Option<(&'static str, CellProblem)> {
        None
    }

    /// Shows them a row that was put, with its line.
    fn show(_: &mut Listings, _: &Self::Record, _: u64, _: &Put, _: &Currency) {}
}

impl Importable for Sales {
    const ID: &'static str = "bike";

    fn put(import: &mut Import<'_>, record: &Sale) -> Result<Put, BookProblem> {
        import.put_sale(record)
    }

    fn name(record: &Sale) -> String {
        record.id.clone()
    }

    fn priced(record: &Sale) -> Option<(Style, Money)> {
        Some((
            record.bike.style,
            record.sold.map(|s| s.price).or(record.ask)?,
        ))
    }

    fn listings(book: &Book) -> Result<Listings, BookProblem> {
        Listings::of(book)
    }

    fn show(listings: &mut Listings, sale: &Sale, line: u64, put: &Put, currency: &Currency) {
        listings.sold(sale, line, put, currency);
    }
}

impl Importable for Comps {
    const ID: &'static str = "listing";

    fn put(import: &mut Import<'_>, record: &Comparable) -> Result<Put, BookProblem> {
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
    const ID: &'static str = "bike";
    const DESCRIBES_A_BIKE: bool = false;

    fn put(import: &mut Import<'_>, record: &AskChange) -> Result<Put, BookProblem> {
        import.put_ask(record)
    }

    fn name(record: &AskChange) -> String {
        format!("{} on {}", record.bike, record.on)
    }

    /// An ask has no style of its own; it is compared with the bike's other asks.
    fn priced(_: &AskChange) -> Option<(Style, Money)> {
        None
    }

    fn twice(record: &AskChange) -> (&'static str, CellProblem) {
        let expected = format!("a day that stands once for {} in the file", record.bike);
        let problem = CellProblem::new(expected, "Keep the row that is right: one ask a day.");
        ("on", problem)
    }

    fn listings(book: &Book) -> Result<Listings, BookProblem> {
        Listings::of(book)
    }

    fn refusal(listings: &mut Listings, record: &AskChange) -> Option<(&'static str, CellProblem)> {
        listings.refusal(record)
    }

    fn show(listings: &mut Listings, record: &AskChange, line: u64, _: &Put, _: &Currency) {
        listings.asked(record, line);
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
