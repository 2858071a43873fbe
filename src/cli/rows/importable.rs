//! Kinds of record that can be put into the book.

use super::asks::Listings;
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::intake::{Asks, CellProblem, Kind, Sales};
use crate::trade::{AskChange, Currency, Day, Money, Style};

/// Why a row cannot be true: our name of a column, and the problem.
pub(crate) type Refusal = (&'static str, CellProblem);

/// How rows may change what is there.
#[derive(Clone, Debug)]
pub(crate) struct Changes {
    /// Our names of the columns that are given: others leave their fields as they are.
    pub given: Vec<&'static str>,
    /// Whether what looks like another bike under the same id may replace it.
    pub correct: bool,
    /// What stands before each id.
    pub prefix: String,
}

impl Changes {
    /// Whether a column is given.
    pub(crate) fn gives(&self, column: &str) -> bool {
        self.given.contains(&column)
    }
}

/// Is shown what is there of a record and tells what is put in its place; nothing for
/// `None`.
pub(crate) type Meet<'a, R> = &'a mut dyn FnMut(&R) -> Option<R>;

/// A kind of record that can be put into the book.
pub(crate) trait Importable: Kind<Record: Clone> {
    /// What a row is held against.
    type Beside;
    /// One of its records, in a word.
    const ONE: &'static str;
    /// Our name of the id column.
    const ID: &'static str;
    /// Whether a row describes a bike, which is then compared with its like.
    const DESCRIBES_A_BIKE: bool = false;
    /// Whether a row of a known id may be of another, which only `--correct` puts in its
    /// place.
    const MAY_BE_ANOTHER: bool = Self::DESCRIBES_A_BIKE;
    /// Whether one bike may stand in two rows, as listings of others do.
    const LISTED_TWICE: bool = false;

    /// What the book has that a row is held against.
    fn beside(book: &Book) -> Result<Self::Beside, BookProblem>;
    /// Puts it.
    fn put(
        import: &mut Import<'_>,
        record: &Self::Record,
        repeat: Repeat,
        meet: Meet<'_, Self::Record>,
    ) -> Result<Put, BookProblem>;
    /// Its name for the user.
    fn name(record: &Self::Record) -> String;

    /// What is put where the book knows the id: both together, or why not.
    fn met(
        _: &Self::Record,
        new: &Self::Record,
        _: Repeat,
        _: &Changes,
    ) -> Result<Self::Record, Refusal> {
        Ok(new.clone())
    }

    /// Puts text before the ids of bikes and listings.
    fn put_before_ids(_: &mut Self::Record, _: &str) {}

    /// Fills in what the book knows of a new record by another way; tells what.
    fn fill(_: &Self::Beside, _: &mut Self::Record) -> Option<String> {
        None
    }

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

    /// Why a row of a known id looks like another; not asked with `--correct`.
    fn another(_: &Self::Beside, _: &Self::Record) -> Option<Refusal> {
        None
    }

    /// Takes in a row that was put, with its line.
    fn show(_: &mut Self::Beside, _: &Self::Record, _: u64, _: &Put, _: &Currency) {}

    /// What the book says as a whole once rows of a file came in.
    fn of_the_whole(_: &Book, _: Day) -> Result<Vec<String>, BookProblem> {
        Ok(vec![])
    }

    /// What is odd about the rows: line and words, in the order of the lines.
    fn doubts(_: Self::Beside, _: &Currency) -> Vec<(u64, String)> {
        Vec::new()
    }
}

impl Importable for Asks {
    type Beside = Listings;
    const ONE: &'static str = "ask";
    const ID: &'static str = "bike";

    fn beside(book: &Book) -> Result<Listings, BookProblem> {
        Listings::of(book)
    }

    fn put(
        import: &mut Import<'_>,
        record: &AskChange,
        _: Repeat,
        _: Meet<'_, AskChange>,
    ) -> Result<Put, BookProblem> {
        import.put_ask(record)
    }

    fn put_before_ids(record: &mut AskChange, prefix: &str) {
        record.bike.insert_str(0, prefix);
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
pub(crate) fn priced_in_book(
    book: &Book,
    see: &mut dyn FnMut(Style, Money),
) -> Result<(), BookProblem> {
    book.sales()?
        .iter()
        .filter_map(Sales::priced)
        .for_each(|(style, price)| see(style, price));
    book.each_comp(&mut |_, comp| see(comp.bike.style, comp.ask))
}
