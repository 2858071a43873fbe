//! Quarters from records.

use super::closed::Closed;
use super::quarter::QuarterReport;
use crate::trade::{Cost, Day, Gift, Giving, Quarter, Sale};

/// The records that the books are made of, in any order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entries {
    /// Bikes of the user's own.
    pub sales: Vec<Sale>,
    /// Money spent.
    pub costs: Vec<Cost>,
    /// Money handed over, of one day as recorded.
    pub gifts: Vec<Gift>,
}

/// The error of whoever tells the records of an earlier day.
pub type PastError = Box<dyn std::error::Error + Send + Sync>;

/// Tells the records as they stood at the end of a day.
pub type Past<'a> = dyn Fn(Day) -> Result<Entries, PastError> + 'a;

/// Everything that a quarter's report is made from.
pub struct Ledger<'a> {
    /// The rule by which the proceeds are given away.
    pub giving: &'a Giving,
    /// Nothing dated later is used.
    pub as_of: Day,
    /// The records as they are now.
    pub now: &'a Entries,
    /// Quarters closed up to `as_of`, in order.
    pub closed: &'a [Closed],
    /// The records as they stood; asked only when a quarter is closed.
    pub past: &'a Past<'a>,
}

/// Why there is no report.
#[derive(Debug, thiserror::Error)]
pub enum AccountsProblem {
    /// A sum is beyond what 64 bits hold.
    #[error("the sums are too large to be held")]
    TooLarge,
    /// The records of an earlier day cannot be told.
    #[error("{0}")]
    Past(PastError),
}

impl Ledger<'_> {
    /// The report of a quarter that is not closed.
    ///
    /// # Errors
    /// Sums too large, or the records of an earlier day cannot be told.
    pub fn quarter(&self, quarter: Quarter) -> Result<QuarterReport, AccountsProblem> {
        let _ = quarter;
        Err(AccountsProblem::TooLarge)
    }
}
