//! How the market moved, and its season: contrasts of the fitted value model.
//!
//! A contrast `x` is worth `x'b`; its variance under each scale of the priors is
//! the leverage `x' (A'WA)^-1 x` (weights are one over variances, so it needs no
//! factor), corrected like every range of the model. The range is that of the
//! mixture over the scales, each a Student t with the degrees of freedom of one
//! sale: wider than the comps alone would have it.

use crate::pricing::design::coding::Coding;
use crate::pricing::design::features::{COLUMNS, HALF_YEAR, SEASON, TREND, facts};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::value::reduce::{CompMet, Observer};
use crate::statistics::distribution::student_t::{Predictive, quantile};
use crate::trade::calendar::quarter_number;
use crate::trade::{Bike, Day, Style};
use jiff::ToSpan as _;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Rows below which a period rests on the belief that markets move slowly.
pub const FEW_ROWS: f64 = 5.0;

/// Quarters walked back at most: the model has steps for fifteen years.
const QUARTERS: i32 = 64;

/// In days.
const HALF_A_QUARTER: i64 = 46;

/// A factor with its range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// The factor on prices.
    pub factor: f64,
    /// Lower end of the range.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Factor {
    /// Whether the range leaves no change out.
    pub fn may_be_none(&self) -> bool {
        self.low <= 1.0 && self.high >= 1.0
    }
}

/// A stretch of time with one level of the market.
#[derive(Clone, Debug, PartialEq)]
pub struct Period {
    /// First and last quarter, as [`quarter_number`].
    pub from: i32,
    /// See `from`.
    pub to: i32,
    /// Prices in it, several listings of one bike counted once.
    pub rows: f64,
    /// Level against today's.
    pub level: Factor,
}

impl Period {
    /// Whether too few prices speak for it.
    pub fn rests_on_prior(&self) -> bool {
        self.rows < FEW_ROWS
    }

    /// `2025-Q3`, or `2019-Q2 to 2020-Q1`.
    pub fn label(&self) -> String {
        let name = |q: i32| format!("{}-Q{}", q.div_euclid(4), q.rem_euclid(4) + 1);
        if self.from == self.to {
            name(self.to)
        } else {
            format!("{} to {}", name(self.from), name(self.to))
        }
    }
}

/// The season through the year against its mean.
#[derive(Clone, Debug, PartialEq)]
pub struct Season {
    /// January to December, each the mean over its days.
    pub months: Vec<Factor>,
    /// Place in the year (0 to 1) and factor, for a curve.
    pub curve: Vec<(f64, Factor)>,
    /// Months that have prices of their own (the rest is the wave's form).
    pub months_seen: usize,
    /// Whether some month differs from the mean by more than noise would make it:
    /// its [`CLEAR`] range leaves the mean out.
    pub is_clear: bool,
}

/// Range that must leave the mean out in some month for the season to be clear:
/// of 100 simulated books without a season 23 were called clear so, and 78 by
/// the 80 % range, since there are twelve months to choose from.
pub const CLEAR: f64 = 0.95;

impl Season {
    /// The months with the highest and the lowest factor, from 0.
    pub fn best_and_weakest(&self) -> (usize, usize) {
        let by_factor = |a: &(usize, &Factor), b: &(usize, &Factor)| {
            a.1.factor.total_cmp(&b.1.factor).then(b.0.cmp(&a.0))
        };
        let months = || self.months.iter().enumerate();
        let best = months().max_by(by_factor).map_or(0, |(month, _)| month);
        let weakest = months().min_by(by_factor).map_or(0, |(month, _)| month);
        (best, weakest)
    }
}

/// Prices by the quarter and by the month (0 to 11) for which they speak.
#[derive(Clone, Debug, Default)]
pub(super) struct SeenPrices {
    quarters: BTreeMap<i32, f64>,
    months: [f64; 12],
}

impl SeenPrices {
    pub(super) fn push(&mut self, day: Day, weight: f64) {
        *self.quarters.entry(quarter_number(day)).or_default() += weight;
        let month = usize::from(day.month().unsigned_abs()).saturating_sub(1);
        if let Some(count) = self.months.get_mut(month) {
            *count += weight;
        }
    }
}

impl Observer for SeenPrices {
    fn comp(&mut self, met: CompMet<'_>, _: &Coding, _: &[f64]) {
        self.push(met.seen.day, met.seen.weight);
    }
}

/// `exp(x'b)` with its range; exactly 1 for a contrast of nothing.
fn factor(model: &FittedValue, x: &[f64], level: f64) -> Factor {
    let mixture: Vec<(f64, Predictive)> = model
        .components
        .iter()
        .map(|one| {
            let predictive = Predictive {
                freedom: model.own_freedom,
                location: one.fit.predict(x),
                scale: model.range_factor * one.fit.leverage(x).sqrt(),
            };
            (one.weight, predictive)
        })
        .collect();
    let middle: f64 = mixture.iter().map(|(weight, p)| weight * p.location).sum();
    let end = |p: f64| {
        let end = quantile(&mixture, p);
        if end.is_finite() { end } else { middle }
    };
    Factor {
        factor: middle.exp(),
        low: end((1.0 - level) / 2.0).exp(),
        high: end(f64::midpoint(1.0, level)).exp(),
    }
}

/// The market's level in each period back to the oldest price, newest first.
pub(super) fn movement(model: &FittedValue, seen: &SeenPrices, level: f64) -> Vec<Period> {
    let coding = &model.coding;
    let any = facts(&Bike::of(Style::Hybrid), coding.as_of, &model.currency);
    let now = quarter_number(coding.as_of);
    let oldest = seen.quarters.keys().next().copied().unwrap_or(now);
    let mut periods: Vec<Period> = Vec::new();
    let mut x = vec![0.0; coding.width()];
    let mut passed = 0;
    for quarter in (oldest.max(now - QUARTERS)..=now).rev() {
        let Some(day) = first_day(quarter) else {
            continue;
        };
        // A quarter that is over is told of its middle, and this one of today.
        let middle = day.saturating_add(HALF_A_QUARTER.days());
        coding.row(&any, middle.min(coding.as_of), None, &mut x);
        let trend = x[TREND];
        coding.row(&any, day, None, &mut x);
        let (bike, market) = x.split_at_mut(COLUMNS);
        let steps = market.iter().filter(|v| **v != 0.0).count();
        bike.fill(0.0);
        if quarter < now {
            bike[TREND] = trend;
        }
        let rows = seen.quarters.get(&quarter).copied().unwrap_or(0.0);
        match periods.last_mut().filter(|_| steps == passed) {
            Some(period) => {
                period.from = quarter;
                period.rows += rows;
            }
            None => periods.push(Period {
                from: quarter,
                to: quarter,
                rows,
                level: factor(model, &x, level),
            }),
        }
        passed = steps;
    }
    // What lies further back is of the last period's level.
    if let Some(last) = periods.last_mut() {
        let before = seen.quarters.range(..last.from);
        last.rows += before.map(|(_, rows)| rows).sum::<f64>();
        last.from = last.from.min(oldest);
    }
    periods
}

fn first_day(quarter: i32) -> Option<Day> {
    let year = i16::try_from(quarter.div_euclid(4)).ok()?;
    let month = i8::try_from(quarter.rem_euclid(4) * 3 + 1).ok()?;
    Day::new(year, month, 1).ok()
}

/// The season against the mean of the year, which is 0 for every wave.
pub(super) fn season(model: &FittedValue, seen: &SeenPrices, level: f64) -> Season {
    /// Days of each month, in a year without a leap day.
    const DAYS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let wave = |place: f64, x: &mut [f64], weight: f64| {
        let angle = TAU * place;
        for (first, angle) in [(SEASON.start, angle), (HALF_YEAR.start, 2.0 * angle)] {
            if let Some([sine, cosine]) = x.get_mut(first..first + 2) {
                *sine += weight * angle.sin();
                *cosine += weight * angle.cos();
            }
        }
    };
    let width = model.coding.width();
    let mut first = 0;
    let mut is_clear = false;
    let months = DAYS.map(|days| {
        let mut x = vec![0.0; width];
        for day in first..first + days {
            wave(f64::from(day) / 365.0, &mut x, 1.0 / f64::from(days));
        }
        first += days;
        is_clear |= !factor(model, &x, CLEAR).may_be_none();
        factor(model, &x, level)
    });
    let curve = (0..=52).map(|week| {
        let place = f64::from(week) / 52.0;
        let mut x = vec![0.0; width];
        wave(place, &mut x, 1.0);
        (place, factor(model, &x, level))
    });
    Season {
        months: months.to_vec(),
        curve: curve.collect(),
        is_clear,
        months_seen: seen.months.iter().filter(|rows| **rows > 0.0).count(),
    }
}
