//! How a bike goes: sold, or without a sale; and what comes back of a sale.

use super::bike::words;
use super::calendar::Day;
use super::money::Money;
use std::fmt;

/// The sale of a bike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sold {
    /// Day of the sale.
    pub on: Day,
    /// What the buyer paid.
    pub price: Money,
}

words! {
    /// How a bike left without a sale.
    LeftAs {
        /// Its owner keeps it: its costs count to nobody but the owner.
        Kept = "kept",
        /// Given away.
        Given = "given",
        /// Taken apart or thrown away.
        Scrapped = "scrapped",
        /// Stolen.
        Stolen = "stolen",
    }
}

impl LeftAs {
    /// Whether its costs count among the workshop's costs of the quarter in which it
    /// left.
    pub fn costs_the_workshop(self) -> bool {
        self != Self::Kept
    }
}

/// A bike that left without a sale: it is in no price and in no stock from that day on,
/// and in the days on market it stood unsold until then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// The day on which it left.
    pub on: Day,
    /// How.
    pub how: LeftAs,
    /// What the parts are worth that it gave to the parts box; of a scrapped bike.
    /// No money moves, so it is told and in no sum: the bike's whole cost counts
    /// where it left, and a part that is taken from the box later costs nothing.
    pub box_value: Option<Money>,
    /// Which parts.
    pub box_item: Option<String>,
}

/// Money handed back to a buyer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Return {
    /// The bike's id.
    pub bike: String,
    /// The day on which it was handed back.
    pub on: Day,
    /// How much.
    pub refund: Money,
    /// The sale that came back with the bike, which is stock again from that day on;
    /// `None` where the buyer keeps the bike.
    pub back: Option<Sold>,
}
