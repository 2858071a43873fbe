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
    /// Refunds to buyers.
    pub returns: u64,
    /// Inspections of own bikes.
    pub inspections: u64,
    /// Offers that were kept.
    pub offers: u64,
    /// Imports that stand (not undone).
    pub imports: u64,
}

impl Book {
    /// How many records it holds.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn counts(&self) -> Result<Counts, BookProblem> {
        self.connection
            .query_row(
                "SELECT (SELECT count(*) FROM sales) AS sales, \
                 (SELECT count(*) FROM asks) AS asks, \
                 (SELECT count(*) FROM comps) AS comps, \
                 (SELECT count(*) FROM costs) AS costs, \
                 (SELECT count(*) FROM gifts) AS gifts, \
                 (SELECT count(*) FROM returns) AS returns, \
                 (SELECT count(*) FROM inspections) AS inspections, \
                 (SELECT count(*) FROM offers) AS offers, \
                 (SELECT count(*) FROM imports WHERE undone_on IS NULL) AS imports",
                [],
                |row| {
                    let count = |name| read_count(row, row.as_ref().column_index(name)?);
                    Ok(Counts {
                        sales: count("sales")?,
                        asks: count("asks")?,
                        comps: count("comps")?,
                        costs: count("costs")?,
                        gifts: count("gifts")?,
                        returns: count("returns")?,
                        inspections: count("inspections")?,
                        offers: count("offers")?,
                        imports: count("imports")?,
                    })
                },
            )
            .map_err(|error| self.problem(&error))
    }
}
