//! What the user wants of a plan.

use super::pace::{self, Earned};
use crate::pricing::time_on_market::FittedTime;

/// Mark-downs at most (judgement: more are not worth the trouble; see the tests'
/// table of what the best plans gain by each).
pub const CUTS: usize = 4;
/// Smallest mark-down, a part of the ask before it (judgement).
pub const SMALLEST_CUT: f64 = 0.03;

/// Where the cost of a week comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WeekCostFrom {
    /// What a week on hand has earned by the user's own records.
    Own(Earned),
    /// What is believed without records.
    Trade,
    /// The user gave it.
    Given,
}

/// How the user decides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SellingWishes {
    /// What a week of waiting costs, as a part of the sale price; 0 to below 1.
    pub week_cost: f64,
    /// Where that comes from.
    pub from: WeekCostFrom,
    /// Weeks that a bike may stay listed, at least 1.
    pub weeks: usize,
    /// What it brings unsold after them, as a part of its value.
    pub quick_sale: f64,
}

/// What a week costs somebody who has time, as a part of the sale price.
const PATIENT: f64 = 0.01;

impl SellingWishes {
    /// The same for somebody who has time; `None` for who has as much already.
    pub fn patient(&self) -> Option<Self> {
        (self.week_cost > PATIENT).then_some(Self {
            week_cost: PATIENT,
            from: WeekCostFrom::Given,
            ..*self
        })
    }

    /// -ln of what a week leaves of a price.
    pub(super) fn discount(&self) -> f64 {
        -(1.0 - self.week_cost).ln()
    }
}

impl Default for SellingWishes {
    fn default() -> Self {
        Self {
            week_cost: pace::BELIEVED,
            from: WeekCostFrom::Trade,
            weeks: 26,
            quick_sale: 0.60,
        }
    }
}

/// How much is worked out beside the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// The plan and what follows from it.
    PlanAlone,
    /// Also what each single ask brings, and the days if the comps that are gone
    /// were sold: [`Plan::curve`](super::Plan::curve), [`Plan::gone`](super::Plan::gone).
    All,
}

/// How a bike is to be sold.
pub struct Selling<'a> {
    /// Time on market and haggling.
    pub time: &'a FittedTime,
    /// How the user decides.
    pub wishes: SellingWishes,
    /// How much is worked out beside the plan.
    pub detail: Detail,
}
