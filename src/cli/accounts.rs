//! The book as the ledger's source of records.

use super::failure::Failure;
use super::inspections;
use crate::accounts::{
    AccountsProblem, Closed, Entries, Inspected, Ledger, QuarterReport, quarter_report,
};
use crate::book::{Book, BookProblem};
use crate::trade::{Day, Means, Quarter, Rules};

/// The records that the books are made of.
pub(super) struct Books {
    now: Entries,
    inspections: Vec<Inspected>,
    rules: Rules,
    means: Vec<Means>,
    pub closed: Vec<Closed>,
    as_of: Day,
}

impl Books {
    /// Reads them.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(super) fn of(book: &Book, as_of: Day) -> Result<Self, Failure> {
        let closed = book.closings(as_of)?.into_iter().map(|closing| {
            Closed::read(closing.quarter, closing.closed_on, &closing.figures).map_err(|error| {
                Failure::refused(
                    format!("the figures of {} cannot be read: {error}", closing.quarter),
                    "Go back to your last copy of the book.",
                )
            })
        });
        Ok(Self {
            now: Entries {
                sales: book.sales()?,
                costs: book.costs()?,
                gifts: book.gifts()?,
            },
            rules: book.rules()?,
            means: book.means()?,
            inspections: inspections::inspected(&inspections::judged(book, as_of)?),
            closed: closed.collect::<Result<_, _>>()?,
            as_of,
        })
    }

    /// The ledger, which asks the book for the records of earlier days.
    pub(super) fn ledger<'a>(&'a self, book: &'a Book) -> BookLedger<'a> {
        BookLedger { books: self, book }
    }
}

/// A ledger that asks the book for the records of earlier days.
pub(super) struct BookLedger<'a> {
    books: &'a Books,
    book: &'a Book,
}

impl BookLedger<'_> {
    /// What the ledger answers.
    ///
    /// # Errors
    /// Those of the ledger.
    pub(super) fn with<T>(
        &self,
        ask: impl FnOnce(&Ledger<'_>) -> Result<T, AccountsProblem>,
    ) -> Result<T, Failure> {
        let past = |day: Day| {
            let then = self.book.recorded_by(day)?;
            Ok(Entries {
                sales: then.sales,
                costs: then.costs,
                gifts: then.gifts,
            })
        };
        let ledger = Ledger {
            rules: &self.books.rules,
            means: &self.books.means,
            minor_per_unit: self.book.settings().currency.scale(),
            as_of: self.books.as_of,
            now: &self.books.now,
            inspections: &self.books.inspections,
            closed: &self.books.closed,
            past: &past,
        };
        Ok(ask(&ledger)?)
    }

    /// The report of an open quarter.
    ///
    /// # Errors
    /// Those of the ledger.
    pub(super) fn quarter(&self, quarter: Quarter) -> Result<QuarterReport, Failure> {
        self.with(|ledger| quarter_report(ledger, quarter))
    }
}

impl From<AccountsProblem> for Failure {
    fn from(problem: AccountsProblem) -> Self {
        match problem {
            AccountsProblem::Past(error) => match error.downcast::<BookProblem>() {
                Ok(problem) => (*problem).into(),
                Err(error) => Failure::refused(error.to_string(), "Run 'wheelworth check'."),
            },
            before @ AccountsProblem::BeforeClosed { .. } => Failure::refused(
                before.to_string(),
                "What is recorded for it now shows as a correction in the quarter in which it is recorded.",
            ),
            other => Failure::refused(
                other.to_string(),
                "Look for wild amounts; 'wheelworth import --history' lists what was imported.",
            ),
        }
    }
}
