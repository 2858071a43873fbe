//! A bike on hand with what it needs.

use super::holding::Holding;
use super::next_step::{NextStep, Prospect, urgency};
use crate::trade::{Day, Money};

/// A bike on hand with what it needs.
#[derive(Clone, Debug, PartialEq)]
pub struct StockLine {
    /// The bike.
    pub holding: Holding,
    /// How it is to be sold.
    pub prospect: Prospect,
    /// What to do with it.
    pub next: NextStep,
}

impl StockLine {
    /// What it brings on average if its plan holds; its value where there is none. `None`
    /// of one that is not to be sold as a bike.
    pub fn expected(&self) -> Option<Money> {
        let brings = self.prospect.brings.or(self.prospect.value);
        brings.filter(|_| !self.holding.is_not_for_sale())
    }

    pub(super) fn urgency(&self, as_of: Day) -> (u8, i128, i64, &[u8]) {
        urgency(&self.holding, &self.next, as_of)
    }
}
