//! How many records there are.

use super::stored::read_count;
use crate::book::connection::Book;
use crate::book::problem::BookProblem;

/// How many records a book holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Bikes of the user's own, sold or on hand.
    pub sales: u64,
    /// Price changes of the user's own listings.
    pub asks: u64,
    /// Comparables.
    pub comps: u64,
    /// Money spent.
    pub costs: u64,
    /// Money handed over.
    pub gifts: u64,
    /// Inspections of own bikes.
    pub inspections: u64,
    /// Offers that were kept.
    pub offers: u64,
    /// Imports that stand (not undone).
    pub imports: u64,
}

impl Book {
    /// How many records it holds.
    pub fn counts(&self) -> Result<Counts, BookProblem> {
        self.connection
            .query_row(
                "SELECT (SELECT count(*) FROM sales), (SELECT count(*) FROM asks), \
                 (SELECT count(*) FROM comps), \
                 (SELECT count(*) FROM costs), (SELECT count(*) FROM gifts), \
                 (SELECT count(*) FROM inspections), (SELECT count(*) FROM offers), \
                 (SELECT count(*) FROM imports WHERE undone_on IS NULL)",
                [],
                |row| {
                    let count = |column| read_count(row, column);
                    Ok(Counts {
                        sales: count(0)?,
                        asks: count(1)?,
                        comps: count(2)?,
                        costs: count(3)?,
                        gifts: count(4)?,
                        inspections: count(5)?,
                        offers: count(6)?,
                        imports: count(7)?,
                    })
                },
            )
            .map_err(|error| self.problem(&error))
    }
}
