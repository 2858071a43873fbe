//! A selling problem in periods.
//!
//! A problem is a grid of asks, a number of periods and a few scenarios (what
//! may be true of the bike and its buyers), each with a weight. In scenario `s`,
//! period `n` at ask `k` brings `reward` (expected, as of the period's start) and
//! goes on with `keep` (chance of not selling times the discount of a period):
//!
//! `V_s(n) = reward(n, k_n, s) + keep(n, k_n, s) V_s(n + 1)`, `V_s(N) = at_end(s)`,
//! and the plan's worth is the weighted mean of `V_s(0)`.
//!
//! Nothing is seen before the sale but that there was none, so a plan is a fixed
//! sequence; that an unsold bike speaks for the poorer scenarios is in the sums
//! already, because they are taken over whole lives (Lazear 1986, AER 76(1)).

use crate::statistics::dot;

/// Gain below which two plans are equally good, as a part of the worth.
pub(super) const NO_GAIN: f64 = 1e-12;

/// A selling problem; see the module.
#[derive(Clone, Debug)]
pub struct Problem {
    /// Asks, ascending.
    pub asks: Vec<f64>,
    /// Number of periods, at least 1.
    pub periods: usize,
    /// Weights of the scenarios; they add up to 1.
    pub weights: Vec<f64>,
    /// Index [`Problem::at`]: what a period brings.
    pub reward: Vec<f64>,
    /// The same: the part of what follows that is kept.
    pub keep: Vec<f64>,
    /// By scenario: what is left after the last period is worth.
    pub at_end: Vec<f64>,
    /// Mark-downs allowed.
    pub cuts: usize,
    /// Smallest mark-down, as a part of the ask before it.
    pub smallest_cut: f64,
}

impl Problem {
    /// Where the numbers of period `n` at ask `k` start: one for each scenario.
    pub fn at(&self, n: usize, k: usize) -> usize {
        (n * self.asks.len() + k) * self.weights.len()
    }

    fn cell(&self, n: usize, k: usize) -> (&[f64], &[f64]) {
        let from = self.at(n, k);
        let to = from + self.weights.len();
        (&self.reward[from..to], &self.keep[from..to])
    }

    /// One period back at ask `k`: `tail` becomes what period `n` and what
    /// follows are worth, by scenario.
    pub(super) fn back(&self, n: usize, k: usize, tail: &mut [f64]) {
        let (reward, keep) = self.cell(n, k);
        for ((v, r), q) in tail.iter_mut().zip(reward).zip(keep) {
            *v = r + q * *v;
        }
    }

    /// One period on: `alive` (the weight of what is still unsold, discounted) is
    /// carried through period `n`; returns what the period brings.
    pub(super) fn forth(&self, n: usize, k: usize, alive: &mut [f64]) -> f64 {
        let (reward, keep) = self.cell(n, k);
        let brings = dot(alive, reward);
        for (a, q) in alive.iter_mut().zip(keep) {
            *a *= q;
        }
        brings
    }

    /// Whether `lower` is far enough below `higher` for a mark-down.
    pub(super) fn is_cut(&self, higher: usize, lower: usize) -> bool {
        self.asks[lower] <= self.asks[higher] * (1.0 - self.smallest_cut) + 1e-9 * self.asks[higher]
            && lower < higher
    }

    /// What a sequence of steps is worth.
    pub fn worth(&self, steps: &[(usize, usize)]) -> f64 {
        let mut value = self.at_end.clone();
        let mut end = self.periods;
        for (start, k) in steps.iter().rev() {
            for n in (*start..end).rev() {
                self.back(n, *k, &mut value);
            }
            end = *start;
        }
        value.iter().zip(&self.weights).map(|(v, w)| v * w).sum()
    }

    /// What each ask is worth when it is never changed, in the order of the asks.
    pub fn singles(&self) -> Vec<f64> {
        (0..self.asks.len())
            .map(|k| self.worth(&[(0, k)]))
            .collect()
    }
}
