//! A change of the ask of one of the user's own listings.

use super::calendar::Day;
use super::money::Money;

/// One row of `asks.csv`: from `on` on, `bike` is offered at `ask`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AskChange {
    /// The user's own id of the bike.
    pub bike: String,
    /// First day of the new ask.
    pub on: Day,
    /// The new ask.
    pub ask: Money,
}
