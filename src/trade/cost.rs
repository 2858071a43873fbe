//! Money spent on a bike or on the workshop.

use super::bike::words;
use super::calendar::Day;
use super::money::Money;
use std::fmt;

words! {
    /// What money was spent on.
    CostKind {
        /// The bike itself.
        Purchase = "purchase",
        /// A part that goes onto a bike.
        Part = "part",
        /// Grease, cables, cloths and the like.
        Supply = "supply",
        /// Of listing, selling, being paid.
        Fee = "fee",
        /// Getting there and back.
        Travel = "travel",
        /// Anything else.
        Other = "other",
    }
}

/// One row of `costs.csv`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cost {
    /// The user's own id of the bike; `None` for the workshop as a whole.
    pub bike: Option<String>,
    /// Day of the cost.
    pub on: Day,
    /// What it was spent on.
    pub kind: CostKind,
    /// What was got for it.
    pub item: Option<String>,
    /// What was paid; for a part from the box, what it is worth.
    pub amount: Money,
    /// Taken from the parts box: no money was spent now, and it counts in no sum.
    pub from_box: bool,
}
