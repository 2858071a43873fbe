//! What was learned of time on market and haggling, and what that rests on.

use super::haggling::Haggle;
use super::history::{History, ListingEnd};
use super::premium::Habit;
use crate::statistics::survival::weibull::{Episode, WeibullFit};

/// How selling goes: time and haggling.
#[derive(Clone, Debug)]
pub struct FittedTime {
    /// The regression of ln days.
    pub fit: WeibullFit,
    /// The same with comps of unknown end half sold, and all sold; `None` where
    /// there are no such comps.
    pub gone: Option<[WeibullFit; 2]>,
    /// Haggling.
    pub haggle: Haggle,
    /// First asks of the user above the value.
    pub own_habit: Habit,
    /// Spread of buyers in [`thinning`](super::premium::thinning).
    pub buyers: f64,
    /// What it rests on.
    pub rests_on: RestsOn,
}

/// What the time model rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RestsOn {
    /// Own listings with a day of listing.
    pub own: usize,
    /// Of these sold.
    pub own_sold: usize,
    /// Comps with a day of listing, watched for more than a moment.
    pub comps: usize,
    /// Of these sold.
    pub comps_sold: usize,
    /// Of these gone for an unknown reason.
    pub comps_gone: usize,
    /// Whether the elasticity was held at its smallest.
    pub held: bool,
    /// Sales observed and expected in the first two weeks, to a month, to two
    /// months and later.
    pub observed: [f64; 4],
    /// See `observed`.
    pub expected: [f64; 4],
}

/// Ages (days) at which sales observed and expected are compared.
const BANDS: [f64; 3] = [14.0, 30.0, 60.0];

impl RestsOn {
    /// Whether no listing spoke at all.
    pub fn belief_only(&self) -> bool {
        self.own + self.comps == 0
    }

    /// The band (days from, days to or none, observed, expected) where the fitted
    /// curve is furthest from what was seen, if it is further than chance allows:
    /// three standard errors of a Poisson count.
    pub fn disagreement(&self) -> Option<(f64, Option<f64>, f64, f64)> {
        let from = [0.0].into_iter().chain(BANDS);
        let to = BANDS.into_iter().map(Some).chain([None]);
        from.zip(to)
            .zip(self.observed.iter().zip(&self.expected))
            .map(|((from, to), (o, e))| (from, to, *o, *e))
            .filter(|(.., o, e)| (o - e).abs() > 3.0 * e.max(1.0).sqrt())
            .max_by(|a, b| {
                let off =
                    |x: &(f64, Option<f64>, f64, f64)| (x.2 - x.3).abs() / x.3.max(1.0).sqrt();
                off(a).total_cmp(&off(b))
            })
    }
}

impl RestsOn {
    /// Counts the histories by owner and end.
    pub(super) fn count(histories: &[History]) -> Self {
        let mut sum = Self::default();
        for history in histories {
            match (history.own, history.end) {
                (true, end) => {
                    sum.own += 1;
                    sum.own_sold += usize::from(end == ListingEnd::Sold);
                }
                (false, end) => {
                    sum.comps += 1;
                    sum.comps_sold += usize::from(end == ListingEnd::Sold);
                    sum.comps_gone += usize::from(end == ListingEnd::Gone);
                }
            }
        }
        sum
    }

    /// Sales observed and expected by age: the fitted curve beside the records.
    pub(super) fn compare(&mut self, fit: &WeibullFit, rows: &[Episode]) {
        let ends = BANDS.into_iter().chain([f64::INFINITY]);
        let starts = [0.0].into_iter().chain(BANDS);
        for (band, (start, end)) in starts.zip(ends).enumerate() {
            for row in rows {
                let (from, to) = (row.entry.max(start), row.exit.min(end));
                if to > from {
                    let h = |t| fit.cumulative_hazard(&row.x, t);
                    self.expected[band] += row.weight * (h(to) - h(from));
                }
                if row.exit > start && row.exit <= end {
                    self.observed[band] += row.weight * row.event;
                }
            }
        }
    }
}
