//! Money handed to a beneficiary.

use super::calendar::Day;
use super::money::Money;

/// One row of `gifts.csv`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gift {
    /// Day on which it was handed over.
    pub on: Day,
    /// Who received it.
    pub beneficiary: String,
    /// How much.
    pub amount: Money,
    /// The user's or the beneficiary's own mark of it, unique where given.
    pub reference: Option<String>,
}
