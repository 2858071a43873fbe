//! What a quarter's report is made from.

use super::closed::Closed;
use crate::accounts::inspected::Inspected;
use crate::trade::{Cost, Day, Gift, Means, Quarter, Rules, Sale};

/// The records that the books are made of.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entries {
    /// Bikes of the user's own, in any order.
    pub sales: Vec<Sale>,
    /// Money spent, those of one day as recorded.
    pub costs: Vec<Cost>,
    /// Money handed over, those of one day as recorded.
    pub gifts: Vec<Gift>,
}

/// The error of whoever tells the records of an earlier day.
pub type PastError = Box<dyn std::error::Error + Send + Sync>;

/// Tells the records as they stood at the end of a day.
pub type Past<'a> = dyn Fn(Day) -> Result<Entries, PastError> + 'a;

/// Everything that a quarter's report is made from.
pub struct Ledger<'a> {
    /// The rules by which the proceeds are given away; each quarter goes by its own.
    pub rules: &'a Rules,
    /// What money does by the beneficiaries' own figures, those of one day as recorded.
    pub means: &'a [Means],
    /// Minor units in one unit of the book's currency: 1, 100 or 1000.
    pub minor_per_unit: i64,
    /// Nothing dated later is used.
    pub as_of: Day,
    /// The records as they are now.
    pub now: &'a Entries,
    /// Inspections up to `as_of`, by day, those of one day as recorded.
    pub inspections: &'a [Inspected],
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
    /// A quarter that is closed has its report already.
    #[error("{0} is closed")]
    Closed(Quarter),
    /// Later quarters are closed; what is recorded for this one now is a
    /// correction where it is recorded.
    #[error(
        "{quarter} lies before {first}, the first quarter that was closed, and had no record then"
    )]
    BeforeClosed {
        /// The quarter.
        quarter: Quarter,
        /// The first closed one.
        first: Quarter,
    },
    /// The records of an earlier day cannot be told.
    #[error("{0}")]
    Past(PastError),
}
