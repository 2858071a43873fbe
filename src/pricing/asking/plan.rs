//! What to ask, and what follows from it.

use super::outlook::Outlook;
use crate::trade::Money;

/// A single ask kept for all the weeks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// The ask.
    pub ask: Money,
    /// ln(ask / value).
    pub premium: f64,
    /// What follows.
    pub outlook: Outlook,
}

/// What to ask.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Day from now, and the ask from then on; the first is for day 0.
    pub steps: Vec<(i64, Money)>,
    /// What follows from it.
    pub outlook: Outlook,
    /// Lowest offer worth accepting on day 0: what keeping to the plan is worth.
    pub floor: Money,
    /// The same after 4, 8, … weeks, should it still be there.
    pub later_floors: Vec<(i64, Money)>,
    /// The best ask that is never changed, and what it is worth.
    pub single: (Money, Money),
    /// What waiting a week longer costs, at the value.
    pub week: Money,
    /// ln(first ask / value).
    pub premium: f64,
    /// Single asks, lowest first; empty with [`Detail::PlanAlone`](super::Detail::PlanAlone).
    pub curve: Vec<CurvePoint>,
    /// Median days if of the comps that are gone half were sold, and if all were;
    /// `None` where no such comps are known, and with [`Detail::PlanAlone`](super::Detail::PlanAlone).
    pub gone: Option<[Option<f64>; 2]>,
    /// Days it has stood already, and its ask now; `None` when it is not listed.
    pub stands: Option<(i64, Option<Money>)>,
    /// Weeks planned for.
    pub weeks: usize,
    /// Whether it has stood longer than it may.
    pub overdue: bool,
    /// For a listed bike that asks too little: the ask that would be best if it
    /// were listed anew.
    pub asks_too_little: Option<Money>,
}

impl Plan {
    /// The steps up to the day by which nineteen bikes of twenty are sold: later ones are
    /// for hardly anybody to read.
    pub fn likely_steps(&self) -> &[(i64, Money)] {
        let last = self.outlook.chances.nearly_all;
        let comes =
            |step: &&(i64, Money)| step.0 == 0 || last.is_none_or(|last| (step.0 as f64) < last);
        let likely = self.steps.iter().take_while(comes).count();
        self.steps.get(..likely).unwrap_or_default()
    }

    /// What the mark-downs add to the present value over the best single ask.
    pub fn mark_downs_add(&self) -> Money {
        Money::from_minor((self.floor.minor() - self.single.1.minor()).max(0))
    }
}
