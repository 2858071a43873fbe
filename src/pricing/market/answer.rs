//! What is asked of the market, and the answer.

use super::cautions::MarketCaution;
use super::days::{Days, OfGroup};
use super::far_asks::FarAsks;
use super::haggling::Gap;
use super::movement::{Period, Season};
use super::places::By;
use super::tables::{OwnPrice, Row};
use crate::pricing::records::gathered::Gathered;
use crate::trade::calendar::quarter_number;
use crate::trade::{Currency, Day, Style};

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct MarketQuestion {
    /// The day of the answer; nothing later is used.
    pub as_of: Day,
    /// The book's currency.
    pub currency: Currency,
    /// Only bikes of this style. The value model is fitted to all all the same.
    pub style: Option<Style>,
    /// Prices far from their value that are named, at most.
    pub top: usize,
    /// Probability of the ranges and confidence of the limits.
    pub level: f64,
}

/// The comps that are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CompCounts {
    /// Bikes: one that is listed several times counts once.
    pub comps: usize,
    /// Listings.
    pub listings: usize,
    /// First and last day on which any was known of.
    pub dates: Option<(Day, Day)>,
    /// By outcome, in the order of [`crate::trade::Outcome::ALL`].
    pub outcomes: [usize; 4],
    /// Without any date: counted, but of no use for days and movement.
    pub undated: usize,
    /// In the book, but not known yet on the day of the answer.
    pub not_yet: usize,
}

/// The own bikes that are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SaleCounts {
    /// All.
    pub bikes: usize,
    /// Sold.
    pub sold: usize,
    /// Listed and not sold.
    pub listed: usize,
    /// On hand and not listed.
    pub not_listed: usize,
    /// First and last day of a sale.
    pub dates: Option<(Day, Day)>,
    /// In the book, but not known yet on the day of the answer.
    pub not_yet: usize,
}

/// A row of a table with its days on market.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupRow {
    /// Counts and prices.
    pub row: Row,
    /// Days on market.
    pub days: OfGroup,
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Market {
    /// What was asked.
    pub question: MarketQuestion,
    /// The comps.
    pub comps: CompCounts,
    /// The own bikes.
    pub sales: SaleCounts,
    /// Tables, in the order of [`By::EACH`].
    pub by: Vec<(By, Vec<GroupRow>)>,
    /// Sale prices of own bikes.
    pub own_prices: Vec<OwnPrice>,
    /// Days on market.
    pub days: Days,
    /// From ask to sale price, in the order of [`Against::ALL`](super::haggling::Against::ALL).
    pub gaps: [Gap; 4],
    /// The market's level, newest first; empty without prices.
    pub movement: Vec<Period>,
    /// The season; `None` without prices.
    pub season: Option<Season>,
    /// Prices far from their value.
    pub far: FarAsks,
    /// What the model used and what it set aside; `None` without prices.
    pub gathered: Option<Gathered>,
    /// What to doubt about it all.
    pub cautions: Vec<MarketCaution>,
}

impl Market {
    /// The rows of a table.
    pub fn table(&self, by: By) -> &[GroupRow] {
        let found = self.by.iter().find(|(other, _)| *other == by);
        found.map_or(&[], |(_, rows)| rows)
    }

    /// Whether nothing at all is known.
    pub fn is_empty(&self) -> bool {
        self.comps.comps == 0 && self.sales.bikes == 0
    }

    /// The period of the day a year before that of the answer.
    pub fn a_year_ago(&self) -> Option<&Period> {
        let then = quarter_number(self.question.as_of) - 4;
        let mut periods = self.movement.iter();
        periods.find(|period| (period.from..=period.to).contains(&then))
    }
}
