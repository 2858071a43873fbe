//! The best non-increasing sequence of asks for a problem in periods.
//!
//! The search adds one mark-down at a time where it gains most, and after each
//! moves every ask and every day of a cut a little while anything improves; at
//! the end by any distance. Tests hold it against trying every plan.

use super::block::{Block, Path};
use super::problem::Problem;

/// The plan found.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// First period and place of the ask, by time; the first starts at 0.
    pub steps: Vec<(usize, usize)>,
    /// Its worth.
    pub worth: f64,
    /// Place of the best ask that is never changed.
    pub single: usize,
    /// What that is worth.
    pub single_worth: f64,
}

impl Problem {
    /// The best plan that starts at or below the ask `first`. `None` when there
    /// is no ask or no period.
    pub fn solve(&self, first: usize) -> Option<Solution> {
        if self.periods == 0 || self.asks.is_empty() {
            return None;
        }
        let singles = self.singles();
        let (single, single_worth) = singles
            .iter()
            .copied()
            .enumerate()
            .take(first.saturating_add(1))
            .fold((0, f64::NEG_INFINITY), |best, here| {
                if here.1 > best.1 { here } else { best }
            });
        let mut path = Path::new(self, first.min(self.asks.len() - 1));
        path.blocks = vec![Block {
            start: 0,
            k: single,
        }];
        let mut worth = single_worth;
        for _ in 0..self.cuts.min(self.periods - 1) {
            let Some((blocks, better)) = path.best_insertion(worth) else {
                break;
            };
            path.blocks = blocks;
            worth = path.improve_nearby(better);
        }
        worth = path.improve(worth);
        path.place_anew(worth);
        let steps: Vec<(usize, usize)> = path.blocks.iter().map(|b| (b.start, b.k)).collect();
        Some(Solution {
            worth: self.worth(&steps),
            steps,
            single,
            single_worth,
        })
    }
}
