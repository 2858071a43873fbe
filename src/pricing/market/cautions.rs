//! Doubts about the market's figures, with their numbers. The words are `report`'s.

use crate::trade::{Day, Style};

/// A doubt.
#[derive(Clone, Debug, PartialEq)]
pub enum MarketCaution {
    /// Nothing is known.
    NoRecords {
        /// Records in the book that are dated later.
        not_yet: usize,
    },
    /// Few comps.
    FewComps {
        /// How many.
        comps: usize,
    },
    /// Few own sales.
    FewOwnSales {
        /// How many.
        sales: usize,
    },
    /// The newest comp is old.
    OldComps {
        /// Its day.
        newest: Day,
        /// Days since.
        days: i64,
    },
    /// Comps without any date.
    Undated {
        /// How many.
        comps: usize,
    },
    /// Comps in the book that are dated after the day of the answer.
    NotYet {
        /// How many.
        comps: usize,
    },
    /// Most comps say nothing of the days on market.
    DaysRestOnFew {
        /// Listings that are used.
        used: usize,
        /// All.
        listings: usize,
    },
    /// The tables are of one style, movement and season of all.
    OneStyle {
        /// The style.
        style: Style,
    },
}
