//! What to ask: THE decision.
//!
//! The seller chooses an ask and when to cut it, on price points, at most
//! [`CUTS`] times and never by less than [`SMALLEST_CUT`], so that the expected
//! present value of the sale is highest: the sale price after haggling times
//! `(1 - week cost)^(weeks until the sale)`, and what a bike unsold after all the
//! weeks brings in a quick sale. The mean is over what is not known: the value
//! (a part of it is the bike's own, seen by every buyer), the pace of selling and
//! what a premium does to it. That a bike has not sold speaks for a lower value;
//! this is why asks fall although buyers keep coming (Lazear 1986, AER 76(1)).
//!
//! * scenarios and hazards: `prospects`; the search: [`solver`], `block`
//! * price points: [`price_points`]; what follows from a plan: `outlook`

mod block;
mod outlook;
pub mod price_points;
mod prospects;
pub mod solver;
mod standing;

pub use outlook::{Chances, Outlook};
pub use prospects::Subject;
pub use standing::chances_within;

use super::time_on_market::FittedTime;
use crate::trade::{Currency, Money};
use outlook::weekly;
use prospects::{Prospects, WEEK};

/// Mark-downs at most (judgement: more are not worth the trouble; see the tests'
/// table of what the best plans gain by each).
pub const CUTS: usize = 4;
/// Smallest mark-down, a part of the ask before it (judgement).
pub const SMALLEST_CUT: f64 = 0.03;
/// Asks are tried up to this many standard deviations of one sale above the
/// value: 95 in 100 sales lie below.
const HIGHEST: f64 = 1.645;
/// A standing ask up to this much above that may be kept.
const BEYOND: f64 = 0.25;
/// Asks are tried down to this part of the poorest likely value.
const LOWEST: f64 = 0.8;
/// A new listing must promise this much more than keeping below the ask to be told.
const WORTH_LISTING_ANEW: f64 = 0.03;
/// Weeks for which a listed bike is planned at least, also when it has stood
/// longer than it may.
const WEEKS_AFTER_ALL: usize = 4;

/// How the user decides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wishes {
    /// What a week of waiting costs, as a part of the sale price; 0 to below 1.
    pub week_cost: f64,
    /// Weeks that a bike may stay listed, at least 1.
    pub weeks: usize,
    /// What it brings unsold after them, as a part of its value.
    pub quick_sale: f64,
}

impl Default for Wishes {
    fn default() -> Self {
        Self {
            week_cost: 0.01,
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
    /// were sold: [`Plan::curve`], [`Plan::gone`].
    All,
}

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
    /// Single asks, lowest first; empty with [`Detail::PlanAlone`].
    pub curve: Vec<CurvePoint>,
    /// Median days if of the comps that are gone half were sold, and if all were;
    /// `None` where no such comps are known, and with [`Detail::PlanAlone`].
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
    /// What the mark-downs add to the present value over the best single ask.
    pub fn mark_downs_add(&self) -> Money {
        Money::from_minor((self.floor.minor() - self.single.1.minor()).max(0))
    }
}

/// Makes the plan. `None` when the value is out of reach of whole minor units.
pub fn plan(
    time: &FittedTime,
    subject: &Subject<'_>,
    sale_variance: f64,
    wishes: &Wishes,
    detail: Detail,
    currency: &Currency,
) -> Option<Plan> {
    let stood = subject.stood.as_ref().map_or(0.0, |s| s.0);
    let left = wishes.weeks as f64 - (stood / WEEK).floor();
    let overdue = left < 1.0;
    // The last weeks of a listed bike are no rush: it may always stand a few more.
    let weeks = match subject.stood {
        None => wishes.weeks,
        Some(_) => (left.max(0.0) as usize).max(WEEKS_AFTER_ALL.min(wishes.weeks)),
    };
    let now = subject
        .stood
        .as_ref()
        .and_then(|s| s.1.last())
        .map(|a| a.1.exp());
    let now = match now {
        Some(units) => Some(currency.round(units)?),
        None => None,
    };
    let value = subject.ln_value.exp();
    let spread = sale_variance.max(0.0).sqrt();
    let high = (subject.ln_value + HIGHEST * spread).exp();
    // Nobody pays more for a used one than for a new one.
    let high = subject.new_price.map_or(high, |new| high.min(new));
    let low = LOWEST * (subject.ln_value - HIGHEST * subject.variance.max(0.0).sqrt()).exp();
    let low = now.map_or(low, |ask| low.min(LOWEST * currency.units(ask)));
    currency.round(high)?;
    // An ask beyond all that is likely is no place to stay at.
    let kept = now.filter(|ask| currency.units(*ask) <= high * (1.0 + BEYOND));
    let low = low.min(high);
    let points = price_points::between(low, high, value, kept, currency);
    let asks: Vec<f64> = points.iter().map(|m| currency.units(*m)).collect();
    // A listed bike's ask is not raised.
    let first = now.map_or(points.len() - 1, |ask| {
        points.partition_point(|p| *p <= ask).saturating_sub(1)
    });
    let mut prospects = Prospects::of(time, &time.fit, subject, weeks);
    let problem = prospects.problem(time, &asks, wishes);
    let solution = problem.solve(first)?;
    let asks_too_little = now
        .and_then(|_| problem.solve(points.len() - 1))
        .filter(|free| free.worth > solution.worth * (1.0 + WORTH_LISTING_ANEW))
        .and_then(|free| Some(points[free.steps.first()?.1]));
    let money = |units: f64| currency.round(units);
    let day = |week: usize| (WEEK as i64) * week as i64;
    let discount = -(1.0 - wishes.week_cost).ln();
    let outlook = |steps: &[(usize, usize)]| {
        outlook::of(&prospects, time, &problem, &weekly(steps, weeks), discount)
    };
    let floors = outlook::floors(&problem, &weekly(&solution.steps, weeks));
    let premium = |ask: f64| ask.ln() - subject.ln_value;
    let told = match detail {
        Detail::All => points.len(),
        Detail::PlanAlone => 0,
    };
    let curve = points
        .iter()
        .zip(&asks)
        .take(told)
        .enumerate()
        .map(|(k, (point, ask))| CurvePoint {
            ask: *point,
            premium: premium(*ask),
            outlook: outlook(&[(0, k)]),
        })
        .collect();
    let gone = time.gone.as_ref().filter(|_| detail == Detail::All);
    let gone = gone.map(|fits| {
        std::array::from_fn(|i| {
            let mut other = Prospects::of(time, &fits[i], subject, weeks);
            // Only the asks of the plan are needed.
            let asks: Vec<f64> = solution.steps.iter().map(|step| asks[step.1]).collect();
            let problem = other.problem(time, &asks, wishes);
            let starts = solution.steps.iter().map(|step| step.0);
            let path = weekly(&starts.zip(0..).collect::<Vec<_>>(), weeks);
            outlook::of(&other, time, &problem, &path, discount)
                .chances
                .median
        })
    });
    Some(Plan {
        steps: solution
            .steps
            .iter()
            .map(|(week, k)| (day(*week), points[*k]))
            .collect(),
        outlook: outlook(&solution.steps),
        floor: money(solution.worth)?,
        later_floors: floors
            .iter()
            .enumerate()
            .skip(4)
            .step_by(4)
            .filter_map(|(week, floor)| Some((day(week), money(*floor)?)))
            .collect(),
        single: (points[solution.single], money(solution.single_worth)?),
        week: money(value * wishes.week_cost)?,
        premium: premium(asks[solution.steps.first()?.1]),
        curve,
        gone,
        stands: subject.stood.as_ref().map(|_| (stood as i64, now)),
        weeks,
        overdue,
        asks_too_little,
    })
}
