//! What follows from a plan: chances, days, price, present value.

use super::problem::Problem;
use super::prospects::{Prospects, WEEK};
use crate::pricing::time_on_market::FittedTime;

/// Days of [`Chances::within`].
pub(super) const WITHIN: [f64; 4] = [7.0, 14.0, 30.0, 60.0];

/// Chances of a sale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chances {
    /// Days in which it is sold with an even chance; `None` when that is not
    /// reached within the weeks.
    pub median: Option<f64>,
    /// Days in which nineteen of twenty are sold; `None` when that is not reached.
    pub nearly_all: Option<f64>,
    /// Chance of a sale in the first 7, 14, 30, 60 days.
    pub within: [f64; 4],
    /// Chance that it is unsold at the end.
    pub unsold: f64,
}

/// What follows from a plan; money in units of the currency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlook {
    /// Chances of a sale.
    pub chances: Chances,
    /// Mean price, a quick sale at the end counted.
    pub expected_sale: f64,
    /// Mean days; an unsold bike counts with all of them.
    pub expected_days: f64,
    /// Mean present value.
    pub present_value: f64,
}

/// The place of the ask in each week.
pub(super) fn weekly(steps: &[(usize, usize)], weeks: usize) -> Vec<usize> {
    let ends = steps.iter().skip(1).map(|s| s.0).chain([weeks]);
    steps
        .iter()
        .zip(ends)
        .flat_map(|((start, k), end)| std::iter::repeat_n(*k, end - start))
        .collect()
}

/// Chance of being unsold at which what a plan says further on is for hardly anybody to
/// read (judgement).
const HARDLY_ANY: f64 = 0.05;

/// Computes the outlook of a weekly path of asks; `discount` is -ln of what a
/// week leaves of a price.
pub(super) fn of(
    prospects: &Prospects,
    time: &FittedTime,
    problem: &Problem,
    path: &[usize],
    discount: f64,
) -> Outlook {
    let weights = &problem.weights;
    // Chance of being unsold at the start of each week, by scenario.
    let mut alive = vec![1.0; weights.len()];
    let mean = |alive: &[f64]| alive.iter().zip(weights).map(|(a, w)| a * w).sum::<f64>();
    let (mut sale, mut days, mut value) = (0.0, 0.0, 0.0);
    let mut unsold = vec![1.0];
    let week = discount.exp();
    let mut within = [f64::NAN; 4];
    let mut prices: Option<(usize, Vec<f64>)> = None;
    for (n, k) in path.iter().enumerate() {
        let at = problem.at(n, *k);
        if prices.as_ref().is_none_or(|p| p.0 != *k) {
            prices = Some((*k, prospects.prices(time, problem.asks[*k])));
        }
        let price = prices.as_ref().map_or(&[][..], |p| &p.1);
        let start = WEEK * n as f64;
        let left = (-discount * n as f64).exp();
        for (place, day) in within.iter_mut().zip(WITHIN) {
            if day > start && day <= start + WEEK {
                // The hazard is even within a week.
                let part = (day - start) / WEEK;
                *place = 1.0
                    - (0..alive.len())
                        .map(|i| {
                            let stays = (-part * prospects.hazard(n, *k, i)).exp();
                            alive[i] * weights[i] * stays
                        })
                        .sum::<f64>();
            }
        }
        for (i, a) in alive.iter_mut().enumerate() {
            let w = weights[i];
            let hazard = prospects.hazard(n, *k, i);
            let stays = (problem.keep[at + i] * week).min(1.0);
            let mean_days = if hazard > 1e-9 {
                WEEK * (1.0 - stays) / hazard
            } else {
                WEEK
            };
            days += w * *a * mean_days;
            sale += w * *a * (1.0 - stays) * price[i];
            value += w * *a * left * problem.reward[at + i];
            *a *= stays;
        }
        unsold.push(mean(&alive));
    }
    let end = (-discount * path.len() as f64).exp();
    let last_ask = path.last().map_or(f64::INFINITY, |k| problem.asks[*k]);
    for (i, a) in alive.iter().enumerate() {
        // The last week's reward holds already what a low ask takes off this.
        sale += weights[i] * a * problem.at_end[i].min(last_ask);
        value += weights[i] * a * problem.at_end[i] * end;
    }
    let last = unsold.last().copied().unwrap_or(1.0);
    within
        .iter_mut()
        .filter(|w| w.is_nan())
        .for_each(|w| *w = 1.0 - last);
    Outlook {
        chances: Chances {
            median: fallen_to(0.5, &unsold),
            nearly_all: fallen_to(HARDLY_ANY, &unsold),
            within: never_falling(within),
            unsold: last,
        },
        expected_sale: sale,
        expected_days: days,
        present_value: value,
    }
}

/// Rounding must not make a longer time less likely.
fn never_falling(within: [f64; 4]) -> [f64; 4] {
    let mut most = 0.0_f64;
    within.map(|chance| {
        most = most.max(chance.clamp(0.0, 1.0));
        most
    })
}

/// Day on which the chance of being unsold has fallen to `chance`, log-linear within the
/// week.
fn fallen_to(chance: f64, unsold: &[f64]) -> Option<f64> {
    let week = unsold.iter().position(|s| *s <= chance)?;
    let (before, after) = (unsold.get(week.checked_sub(1)?)?, unsold[week]);
    let part = (before / chance).ln() / (before / after).ln();
    Some(WEEK * ((week - 1) as f64 + part.clamp(0.0, 1.0)))
}

/// What keeping to the plan is worth at the start of each week, should the bike
/// still be there.
pub(super) fn floors(problem: &Problem, path: &[usize]) -> Vec<f64> {
    let s = problem.weights.len();
    let mut value = problem.at_end.clone();
    let mut by_week = vec![0.0; path.len() * s];
    for (n, k) in path.iter().enumerate().rev() {
        problem.back(n, *k, &mut value);
        by_week[n * s..(n + 1) * s].copy_from_slice(&value);
    }
    let mut alive = problem.weights.clone();
    let mut floors = Vec::with_capacity(path.len());
    for (n, k) in path.iter().enumerate() {
        let whole: f64 = alive.iter().sum();
        let here = alive
            .iter()
            .zip(&by_week[n * s..])
            .map(|(a, v)| a * v)
            .sum::<f64>();
        if whole < 1e-9 {
            break; // it is sold by then
        }
        floors.push(here / whole);
        // The discount is the same in every scenario and cancels.
        problem.forth(n, *k, &mut alive);
    }
    floors
}
