//! The shed on some day: bikes on hand by what they need, and the totals.

use super::caution;
use super::caution::StockCaution;
use super::holding::Holding;
use super::line::StockLine;
use super::next_step::{NextStep, Prospect};
use crate::trade::{Day, Money};

/// Money in bikes that are on hand for more than so many days is told apart.
pub const LONG: i64 = 60;

/// Sums over all bikes on hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// Bikes on hand.
    pub bikes: usize,
    /// Those on offer.
    pub listed: usize,
    /// Cash tied up; a bike of unknown cost counts 0.
    pub cash: Money,
    /// Of it in bikes on hand for more than [`LONG`] days.
    pub cash_long: Money,
    /// The asks that stand.
    pub asks: Money,
    /// What the bikes bring if the plans hold, those with a value only.
    pub expected: Money,
    /// How many these are.
    pub with_value: usize,
    /// Days on hand, those with a known day only.
    pub days: i64,
    /// How many these are.
    pub with_days: usize,
    /// The most days.
    pub longest: Option<i64>,
}

impl Totals {
    /// Mean days on hand; `None` where none are known.
    pub fn mean_days(&self) -> Option<f64> {
        (self.with_days > 0).then(|| self.days as f64 / self.with_days as f64)
    }

    /// Share of the cash that is in bikes on hand for more than [`LONG`] days,
    /// 0 to 1; `None` without cash.
    pub fn long_share(&self) -> Option<f64> {
        let (part, whole) = (self.cash_long.minor(), self.cash.minor());
        (whole > 0).then(|| part as f64 / whole as f64)
    }

    /// What the bikes bring; `None` where nothing is known of any of them.
    pub fn known_expected(&self) -> Option<Money> {
        (self.with_value > 0 || self.bikes == 0).then_some(self.expected)
    }

    fn of(lines: &[StockLine]) -> Self {
        let holdings = || lines.iter().map(|line| &line.holding);
        let days = || holdings().filter_map(|holding| holding.days_on_hand);
        let long = |holding: &&Holding| holding.days_on_hand.is_some_and(|days| days > LONG);
        let expected = || lines.iter().filter_map(StockLine::expected);
        Self {
            bikes: lines.len(),
            listed: holdings().filter(|holding| holding.is_listed()).count(),
            cash: holdings().filter_map(Holding::cash).sum(),
            cash_long: holdings().filter(long).filter_map(Holding::cash).sum(),
            asks: holdings().filter_map(|holding| holding.ask).sum(),
            expected: expected().sum(),
            with_value: expected().count(),
            days: days().sum(),
            with_days: days().count(),
            longest: days().max(),
        }
    }
}

/// What stands in the shed.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Nothing dated later was used.
    pub as_of: Day,
    /// Every bike on hand once, what is most urgent first.
    pub lines: Vec<StockLine>,
    /// Sums over them.
    pub totals: Totals,
    /// What to doubt.
    pub cautions: Vec<StockCaution>,
}

impl Stock {
    /// Puts the bikes on hand on the day `as_of` in the order of what they need,
    /// each with its prospect.
    pub fn of(bikes: impl IntoIterator<Item = (Holding, Prospect)>, as_of: Day) -> Self {
        let mut lines: Vec<StockLine> = bikes
            .into_iter()
            .map(|(holding, prospect)| StockLine {
                next: NextStep::of(&holding, &prospect, as_of),
                holding,
                prospect,
            })
            .collect();
        lines.sort_by(|a, b| a.urgency(as_of).cmp(&b.urgency(as_of)));
        Self {
            as_of,
            totals: Totals::of(&lines),
            cautions: caution::of(&lines),
            lines,
        }
    }
}
