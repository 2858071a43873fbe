//! What a workshop gives away, and to whom.

use super::bike::words;
use std::fmt;

words! {
    /// What the gifts are taken from.
    Give {
        /// The sale prices.
        Price = "price",
        /// The sale prices less the costs.
        Net = "net",
    }
}

/// Who receives the donated proceeds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beneficiary {
    /// Name, unique.
    pub name: String,
    /// Weight in the split, above 0; weights need not add up to 100.
    pub weight: u32,
}

/// The rule by which the proceeds are given away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Giving {
    /// What the gifts are taken from.
    pub give: Give,
    /// Share given away, in hundredths of a percent, 1 to 10,000.
    pub share: u16,
    /// Month in which the year starts, 1 to 12.
    pub year_starts: u8,
    /// In the order given.
    pub beneficiaries: Vec<Beneficiary>,
}
