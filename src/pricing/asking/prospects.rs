//! What each ask may bring in each week: the scenarios of value and of buyers,
//! and the numbers of the selling problem.

use super::problem::Problem;
use super::wishes::{CUTS, SMALLEST_CUT, SellingWishes};
use crate::pricing::design::features::Facts;
use crate::pricing::time_on_market::LEAST_LN_SCALE;
use crate::pricing::time_on_market::columns::{self, COLUMNS, PREMIUM};
use crate::pricing::time_on_market::premium::thinning;
use crate::pricing::time_on_market::{FittedTime, after};
use crate::statistics::distribution::student_t::student_t_quantile;
use crate::statistics::survival::weibull::WeibullFit;
use crate::trade::Day;

/// Days in a period.
pub(super) const WEEK: f64 = 7.0;
/// Values that the bike may have: equally likely quantiles.
const NODES: usize = 9;
/// What the quantiles' spread is multiplied by: nine of them have 0.931 of a
/// normal distribution's standard deviation (computed from the quantiles).
const NODES_SPREAD: f64 = 1.0 / 0.9311;
/// Uncertain numbers of the time model: level, elasticity, shape.
const DIMENSIONS: usize = 3;
/// Largest ln of the scale in a scenario, where the hazard falls as fast.
const LARGEST_LN_SCALE: f64 = -LEAST_LN_SCALE;
/// Smallest elasticity of the hazard in a scenario.
const LEAST_ELASTICITY: f64 = 1.2;

/// A bike to be sold.
#[derive(Clone, Debug)]
pub struct Subject<'a> {
    /// Its facts.
    pub facts: &'a Facts,
    /// The day of the answer.
    pub as_of: Day,
    /// ln of its value.
    pub ln_value: f64,
    /// ln of the upper end of the range that holds four sales in five: no first ask
    /// stands above it.
    pub ln_highest: f64,
    /// Variance of what buyers see around that, and its degrees of freedom.
    pub variance: f64,
    /// See `variance`.
    pub freedom: f64,
    /// What one costs new, in units.
    pub new_price: Option<f64>,
    /// The most that a buyer of such a bike has paid, in units.
    pub most_paid: Option<f64>,
    /// Days it has stood listed, and its asks so far: age and ln ask.
    pub stood: Option<(f64, Vec<(f64, f64)>)>,
}

impl Subject<'_> {
    /// What it asks now, in units; `None` when it is not listed or asks nothing.
    pub(super) fn last_ask(&self) -> Option<f64> {
        let (_, asks) = self.stood.as_ref()?;
        Some(asks.last()?.1.exp())
    }
}

/// One scenario.
#[derive(Clone, Copy, Debug)]
struct Scenario {
    ln_value: f64,
    location: f64,
    elasticity: f64,
    /// 1 / s.
    shape: f64,
}

/// Scenarios with the hazard of each week, before the ask.
pub(super) struct Prospects {
    scenarios: Vec<Scenario>,
    pub(super) weights: Vec<f64>,
    /// By week and scenario: cumulative hazard of the week at the value.
    base: Vec<f64>,
    /// By ask and scenario: what the ask makes of it; filled by [`Self::problem`].
    thin: Vec<f64>,
    pub(super) weeks: usize,
    buyers: f64,
}

impl Prospects {
    /// The scenarios of a bike under one fit, for `weeks` weeks from now.
    pub(super) fn of(
        time: &FittedTime,
        fit: &WeibullFit,
        subject: &Subject<'_>,
        weeks: usize,
    ) -> Self {
        let row = |day: Day| {
            let mut x = [0.0; COLUMNS];
            columns::of_bike(subject.facts, true, &mut x);
            columns::of_day(day, &mut x);
            x
        };
        let stood = subject.stood.as_ref().map_or(0.0, |s| s.0);
        let points = parameter_points(fit, &row(after(subject.as_of, 14)));
        let spread = subject.variance.max(0.0).sqrt() * NODES_SPREAD;
        let values: Vec<f64> = (0..NODES)
            .map(|i| (i as f64 + 0.5) / NODES as f64)
            .map(|p| subject.ln_value + spread * student_t_quantile(p, subject.freedom))
            .collect();
        let mut scenarios = Vec::with_capacity(values.len() * points.len());
        for ln_value in values {
            scenarios.extend(points.iter().map(|(level, elasticity, shape)| Scenario {
                ln_value,
                location: *level,
                elasticity: *elasticity,
                shape: *shape,
            }));
        }
        // The wave moves the level week by week; around it the points stand.
        let wave = |day: Day| columns::wave(&row(day), &fit.coefficients);
        let middle = wave(after(subject.as_of, 14));
        let mut base = Vec::with_capacity(weeks * scenarios.len());
        for week in 0..weeks {
            let shift = wave(after(subject.as_of, week as i64 * 7 + 3)) - middle;
            let from = stood + WEEK * week as f64;
            // Before the ask it is the same at every value.
            let one_value = scenarios.iter().take(points.len());
            let hazards: Vec<f64> = one_value
                .map(|s| s.hazard(from, from + WEEK, shift))
                .collect();
            (0..NODES).for_each(|_| base.extend_from_slice(&hazards));
        }
        let mut weights = vec![1.0 / scenarios.len() as f64; scenarios.len()];
        if let Some((days, asks)) = &subject.stood {
            let ends = asks.iter().skip(1).map(|a| a.0).chain([f64::INFINITY]);
            for ((from, ask), to) in asks.iter().zip(ends) {
                let (from, to) = (from.min(*days), to.min(*days));
                let day = after(subject.as_of, (f64::midpoint(from, to) - days) as i64);
                let shift = wave(day) - middle;
                for (weight, s) in weights.iter_mut().zip(&scenarios) {
                    let thin = s.thinned(ask - s.ln_value, time.buyers);
                    *weight *= (-s.hazard(from, to, shift) * thin).exp();
                }
            }
            let all: f64 = weights.iter().sum();
            // A bike that nearly every scenario says is sold long ago tells that
            // the scenarios are wrong, not which one is right.
            let fallback = 1.0 / weights.len() as f64;
            for weight in &mut weights {
                *weight = if all > 1e-12 { *weight / all } else { fallback };
            }
        }
        Self {
            scenarios,
            weights,
            base,
            thin: Vec::new(),
            weeks,
            buyers: time.buyers,
        }
    }

    /// The selling problem for asks given in units.
    pub(super) fn problem(
        &mut self,
        time: &FittedTime,
        asks: &[f64],
        wishes: &SellingWishes,
    ) -> Problem {
        let discount = wishes.discount();
        let s = self.scenarios.len();
        let mut problem = Problem {
            asks: asks.to_vec(),
            periods: self.weeks,
            weights: self.weights.clone(),
            reward: vec![0.0; self.weeks * asks.len() * s],
            keep: vec![0.0; self.weeks * asks.len() * s],
            at_end: self
                .scenarios
                .iter()
                .map(|one| wishes.quick_sale * one.ln_value.exp())
                .collect(),
            cuts: CUTS,
            smallest_cut: SMALLEST_CUT,
        };
        self.thin.clear();
        for (k, ask) in asks.iter().enumerate() {
            let ln_ask = ask.ln();
            let thin: Vec<f64> = self
                .scenarios
                .iter()
                .map(|one| one.thinned(ln_ask - one.ln_value, self.buyers))
                .collect();
            let price: Vec<f64> = self
                .scenarios
                .iter()
                .map(|one| ask * time.haggle.kept(ln_ask - one.ln_value))
                .collect();
            self.thin.extend_from_slice(&thin);
            for n in 0..self.weeks {
                let at = problem.at(n, k);
                for i in 0..s {
                    let hazard = self.base[n * s + i] * thin[i];
                    let rate = hazard + discount;
                    let keep = (-rate).exp();
                    problem.keep[at + i] = keep;
                    problem.reward[at + i] = if rate > 1e-12 {
                        price[i] * hazard / rate * (1.0 - keep)
                    } else {
                        0.0
                    };
                    // Unsold after the last week it brings no more than was asked.
                    if n + 1 == self.weeks {
                        let over = problem.at_end[i] - problem.at_end[i].min(*ask);
                        problem.reward[at + i] -= keep * over;
                    }
                }
            }
        }
        problem
    }

    /// Cumulative hazard of week `n` at the ask `k` in scenario `i`.
    pub(super) fn hazard(&self, n: usize, k: usize, i: usize) -> f64 {
        let s = self.scenarios.len();
        self.base[n * s + i] * self.thin[k * s + i]
    }

    /// Adds to `sums`, by scenario, a `part` of week `n`'s hazard at `ln_ask`.
    pub(super) fn add_hazard(&self, n: usize, ln_ask: f64, part: f64, sums: &mut [f64]) {
        let s = self.scenarios.len();
        let week = self.base[n * s..(n + 1) * s].iter();
        for ((sum, base), one) in sums.iter_mut().zip(week).zip(&self.scenarios) {
            *sum += part * base * one.thinned(ln_ask - one.ln_value, self.buyers);
        }
    }

    /// Expected sale price of a sale at an ask, in units, by scenario.
    pub(super) fn prices(&self, time: &FittedTime, ask: f64) -> Vec<f64> {
        self.scenarios
            .iter()
            .map(|s| ask * time.haggle.kept(ask.ln() - s.ln_value))
            .collect()
    }
}

impl Scenario {
    /// Cumulative hazard from age `from` to age `to` at the value.
    fn hazard(&self, from: f64, to: f64, shift: f64) -> f64 {
        let scale = (-(self.location + shift) * self.shape).exp();
        (to.powf(self.shape) - from.powf(self.shape)).max(0.0) * scale
    }

    /// What a premium makes of it.
    fn thinned(&self, u: f64, buyers: f64) -> f64 {
        (-self.elasticity * thinning(u, buyers)).exp()
    }
}

/// Level (ln days), elasticity of the hazard and shape at the points of the
/// cubature rule of degree 3 in three dimensions: two on each axis of the
/// covariance, `sqrt(3)` deviations away, equally likely (Arasaratnam & Haykin
/// 2009, IEEE Trans. Automatic Control 54(6); from memory).
fn parameter_points(fit: &WeibullFit, x: &[f64; COLUMNS]) -> Vec<(f64, f64, f64)> {
    let p = COLUMNS + 1;
    let mut level = x.to_vec();
    level[PREMIUM] = 0.0;
    level.push(0.0);
    let unit = |place: usize| {
        (0..p)
            .map(|j| f64::from(u8::from(j == place)))
            .collect::<Vec<_>>()
    };
    let directions = [level, unit(PREMIUM), unit(COLUMNS)];
    let covariance = |a: &[f64], b: &[f64]| -> f64 {
        a.iter()
            .enumerate()
            .map(|(i, a)| {
                a * b
                    .iter()
                    .enumerate()
                    .map(|(j, b)| fit.covariance[i * p + j] * b)
                    .sum::<f64>()
            })
            .sum()
    };
    let mut c = [[0.0; DIMENSIONS]; DIMENSIONS];
    for (i, a) in directions.iter().enumerate() {
        for (j, b) in directions.iter().enumerate() {
            c[i][j] = covariance(a, b);
        }
    }
    let root = cholesky(c);
    let mean = [
        directions[0]
            .iter()
            .zip(&fit.coefficients)
            .map(|(x, b)| x * b)
            .sum::<f64>(),
        fit.coefficients[PREMIUM],
        fit.ln_scale,
    ];
    let far = (DIMENSIONS as f64).sqrt();
    let mut points = Vec::with_capacity(2 * DIMENSIONS);
    let axes: [[f64; DIMENSIONS]; DIMENSIONS] =
        std::array::from_fn(|axis| std::array::from_fn(|i| root[i][axis]));
    for axis in axes {
        for sign in [-far, far] {
            let [level, elasticity, ln_scale] = std::array::from_fn(|i| mean[i] + sign * axis[i]);
            let shape = (-f64::clamp(ln_scale, LEAST_LN_SCALE, LARGEST_LN_SCALE)).exp();
            points.push((level, (elasticity * shape).max(LEAST_ELASTICITY), shape));
        }
    }
    points
}

/// Lower triangular root; an axis without variance gives zeros.
fn cholesky(c: [[f64; DIMENSIONS]; DIMENSIONS]) -> [[f64; DIMENSIONS]; DIMENSIONS] {
    let mut root = [[0.0; DIMENSIONS]; DIMENSIONS];
    for j in 0..DIMENSIONS {
        let square: f64 = (0..j).map(|k| root[j][k] * root[j][k]).sum();
        root[j][j] = (c[j][j] - square).max(0.0).sqrt();
        for i in j + 1..DIMENSIONS {
            let sum: f64 = (0..j).map(|k| root[i][k] * root[j][k]).sum();
            root[i][j] = if root[j][j] > 0.0 {
                (c[i][j] - sum) / root[j][j]
            } else {
                0.0
            };
        }
    }
    root
}
