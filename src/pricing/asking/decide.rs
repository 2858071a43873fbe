//! The decision: from the value and the pace of selling to a plan.

use super::outlook::{self, weekly};
use super::plan::{CurvePoint, Plan};
use super::price_points;
use super::problem::Problem;
use super::prospects::{Prospects, Subject, WEEK};
use super::solver::Solution;
use super::wishes::{Detail, SMALLEST_CUT, Selling, SellingWishes};
use crate::statistics::survival::weibull::WeibullFit;
use crate::trade::{Currency, Money};

/// No ask is above this part of what the same bike costs new (judgement).
pub(in crate::pricing) const MOST_OF_NEW: f64 = 0.9;
/// The poorest likely value, in standard deviations below the value: 5 in 100 lie below.
pub(in crate::pricing) const POOREST: f64 = 1.645;
/// A standing ask up to this much above that may be kept.
const BEYOND: f64 = 0.25;
/// Asks are tried down to this part of the poorest likely value.
pub(in crate::pricing) const LOWEST: f64 = 0.8;
/// A new listing must promise this much more than keeping below the ask to be told:
/// less is soon lost by the trouble, and by what the record does not hold (judgement).
const WORTH_LISTING_ANEW: f64 = 0.10;
/// A small cut of an ask that stands must promise this much more to be told (judgement).
const WORTH_A_CUT: f64 = 0.005;
/// Weeks for which a listed bike is planned at least, also when it has stood
/// longer than it may.
const WEEKS_AFTER_ALL: usize = 4;

/// Makes the plan for a bike. `None` when the value is out of reach of whole minor
/// units.
pub fn plan(selling: &Selling<'_>, subject: &Subject<'_>, currency: &Currency) -> Option<Plan> {
    let Selling {
        time,
        wishes,
        detail,
    } = selling;
    let (weeks, overdue) = weeks_to_plan(subject, wishes);
    let now = match subject.last_ask() {
        Some(units) => Some(currency.round(units)?),
        None => None,
    };
    let grid = Grid::of(subject, now, currency)?;
    let mut prospects = Prospects::of(time, &time.fit, subject, weeks);
    let problem = prospects.problem(time, &grid.asks, wishes);
    let solution = grid.without_a_small_cut(&problem, problem.solve(grid.first)?, now);
    let outlook = |steps: &[(usize, usize)]| {
        let path = weekly(steps, weeks);
        outlook::of(&prospects, time, &problem, &path, wishes.discount())
    };
    let premium = |k: usize| grid.asks[k].ln() - subject.ln_value;
    let curve = |k: usize| CurvePoint {
        ask: grid.points[k],
        premium: premium(k),
        outlook: outlook(&[(0, k)]),
    };
    let told = *detail == Detail::All;
    let singles = if told { grid.points.len() } else { 0 };
    let floors = outlook::floors(&problem, &weekly(&solution.steps, weeks));
    let later = floors.iter().enumerate().skip(4).step_by(4);
    let day = |week: usize| (WEEK as i64) * week as i64;
    let money = |units: f64| currency.round(units);
    let steps = solution.steps.iter();
    Some(Plan {
        steps: steps
            .map(|(week, k)| (day(*week), grid.points[*k]))
            .collect(),
        outlook: outlook(&solution.steps),
        floor: money(solution.worth)?,
        later_floors: later
            .filter_map(|(week, floor)| Some((day(week), money(*floor)?)))
            .collect(),
        single: (grid.points[solution.single], money(solution.single_worth)?),
        week: money(subject.ln_value.exp() * wishes.week_cost)?,
        premium: premium(solution.steps.first()?.1),
        curve: (0..singles).map(curve).collect(),
        gone: told
            .then(|| medians_if_sold(selling, subject, weeks, &grid.asks, &solution))
            .flatten(),
        stands: subject.stood.as_ref().map(|s| (s.0 as i64, now)),
        weeks,
        overdue,
        asks_too_little: now.and_then(|now| {
            let keeps = solution
                .steps
                .first()
                .is_some_and(|step| grid.points[step.1] == now);
            let anew = grid.better_anew(&problem, &solution).filter(|_| keeps)?;
            let paid = subject
                .most_paid
                .is_some_and(|paid| paid >= currency.units(anew));
            paid.then_some(anew)
        }),
    })
}

/// Weeks to plan for, and whether the bike has stood longer than it may.
fn weeks_to_plan(subject: &Subject<'_>, wishes: &SellingWishes) -> (usize, bool) {
    let stood = subject.stood.as_ref().map_or(0.0, |s| s.0);
    let left = wishes.weeks as f64 - (stood / WEEK).floor();
    // The last weeks of a listed bike are no rush: it may always stand a few more.
    let weeks = match subject.stood {
        None => wishes.weeks,
        Some(_) => (left.max(0.0) as usize).max(WEEKS_AFTER_ALL.min(wishes.weeks)),
    };
    (weeks, left < 1.0)
}

/// The asks that are tried.
struct Grid {
    /// On price points, ascending.
    points: Vec<Money>,
    /// The same in units.
    asks: Vec<f64>,
    /// Place of the highest that may be asked at first.
    first: usize,
}

impl Grid {
    /// For a bike that asks `now`, if it is listed.
    fn of(subject: &Subject<'_>, now: Option<Money>, currency: &Currency) -> Option<Self> {
        let value = subject.ln_value.exp();
        let high = subject.ln_highest.exp();
        // Hardly anybody pays more for a used one than for a new one.
        let high = subject
            .new_price
            .map_or(high, |new| high.min(MOST_OF_NEW * new));
        let low = LOWEST * (subject.ln_value - POOREST * subject.variance.max(0.0).sqrt()).exp();
        let low = now.map_or(low, |ask| low.min(LOWEST * currency.units(ask)));
        currency.round(high)?;
        // An ask beyond all that is likely is no place to stay at.
        let kept = now.filter(|ask| currency.units(*ask) <= high * (1.0 + BEYOND));
        let points = price_points::between(low.min(high), high, value, kept, currency);
        // A listed bike's ask is not raised.
        let first = now.map_or(points.len() - 1, |ask| {
            points.partition_point(|p| *p <= ask).saturating_sub(1)
        });
        Some(Self {
            asks: points.iter().map(|m| currency.units(*m)).collect(),
            points,
            first,
        })
    }

    /// The same plan without a first cut that is too small to be worth the trouble.
    fn without_a_small_cut(
        &self,
        problem: &Problem,
        best: Solution,
        now: Option<Money>,
    ) -> Solution {
        let first = best.steps.first().map_or(0, |step| step.1);
        let stands = now.is_some() && now == self.points.get(self.first).copied();
        let is_small = self.asks[first] >= (1.0 - SMALLEST_CUT) * self.asks[self.first];
        if first == self.first || !(stands && is_small) {
            return best;
        }
        let mut steps = best.steps.clone();
        steps[0].1 = self.first;
        let worth = problem.worth(&steps);
        match worth >= best.worth * (1.0 - WORTH_A_CUT) {
            true => Solution {
                steps,
                worth,
                ..best
            },
            false => best,
        }
    }

    /// The best first ask if the bike were listed anew, where that is worth it.
    fn better_anew(&self, problem: &Problem, kept: &Solution) -> Option<Money> {
        let free = problem.solve(self.points.len() - 1)?;
        let worth_it = free.worth > kept.worth * (1.0 + WORTH_LISTING_ANEW);
        worth_it.then(|| free.steps.first().map(|step| self.points[step.1]))?
    }
}

/// Median days under the plan if of the comps that are gone half were sold, and if
/// all were.
fn medians_if_sold(
    selling: &Selling<'_>,
    subject: &Subject<'_>,
    weeks: usize,
    asks: &[f64],
    solution: &Solution,
) -> Option<[Option<f64>; 2]> {
    let (time, wishes) = (selling.time, &selling.wishes);
    // Only the asks of the plan are needed.
    let asks: Vec<f64> = solution.steps.iter().map(|step| asks[step.1]).collect();
    let starts = solution.steps.iter().map(|step| step.0);
    let path = weekly(&starts.zip(0..).collect::<Vec<_>>(), weeks);
    let median = |fit: &WeibullFit| {
        let mut other = Prospects::of(time, fit, subject, weeks);
        let problem = other.problem(time, &asks, wishes);
        let outlook = outlook::of(&other, time, &problem, &path, wishes.discount());
        outlook.chances.median
    };
    time.gone.as_ref().map(|fits| fits.each_ref().map(median))
}
