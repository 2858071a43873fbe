//! What each of several asks brings from each period of a stretch on, in the order
//! in which the search reads it: eight asks side by side, so that the sums over the
//! scenarios of eight plans are made at once, each in the same order as alone.

use super::solver::Problem;

/// Asks side by side.
pub(super) const ASIDE: usize = 8;

/// Worths by period of the stretch, ask and scenario. Kept from one use to the
/// next for its memory alone.
#[derive(Default)]
pub(super) struct Follows {
    scenarios: usize,
    /// Eights of asks; the last one may be in part unused.
    eights: usize,
    /// Index `((period * eights + eight) * scenarios + scenario) * ASIDE + ask`.
    worths: Vec<f64>,
}

impl Follows {
    /// Fills in the asks `lowest..=highest` for the periods from `start + 1` on, up
    /// to `end`, after which `tail` follows, by scenario.
    pub(super) fn fill(
        &mut self,
        problem: &Problem,
        (start, end): (usize, usize),
        (lowest, highest): (usize, usize),
        tail: &[f64],
    ) {
        self.scenarios = tail.len();
        self.eights = (highest + 1 - lowest).div_ceil(ASIDE);
        let needed = (end - start) * self.eights * self.scenarios * ASIDE;
        if self.worths.len() < needed {
            self.worths.resize(needed, 0.0);
        }
        let mut value = tail.to_vec();
        for (place, ask) in (lowest..=highest).enumerate() {
            value.copy_from_slice(tail);
            for i in (1..end - start).rev() {
                problem.back(start + i, ask, &mut value);
                let from = self.from(i, place / ASIDE) + place % ASIDE;
                let cells = self.worths[from..].iter_mut().step_by(ASIDE);
                cells.zip(&value).for_each(|(cell, worth)| *cell = *worth);
            }
        }
    }

    fn from(&self, i: usize, eight: usize) -> usize {
        (i * self.eights + eight) * self.scenarios * ASIDE
    }

    /// What follows period `i` of the stretch is worth at each of eight asks, over
    /// the scenarios with the weights `alive`.
    pub(super) fn worth(&self, i: usize, eight: usize, alive: &[f64]) -> [f64; ASIDE] {
        let from = self.from(i, eight);
        let (rows, _) = self.worths[from..from + self.scenarios * ASIDE].as_chunks::<ASIDE>();
        let mut sums = [0.0; ASIDE];
        for (alive, row) in alive.iter().zip(rows) {
            for (sum, worth) in sums.iter_mut().zip(row) {
                *sum += alive * worth;
            }
        }
        sums
    }
}
