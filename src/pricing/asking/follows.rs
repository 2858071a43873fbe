//! What each of several asks brings from each period of a stretch on, in the order
//! in which the search reads it: eight asks side by side, so that the sums over the
//! scenarios of eight plans are made at once, each in the same order as alone.

use super::solver::Problem;

/// Asks side by side.
pub(super) const ASIDE: usize = 8;

/// Numbers of eight asks.
type Eight = [f64; ASIDE];

/// The problem laid out in eights of asks, and what is worked out of it: one eight at
/// a time, so that it stays near the processor.
pub(super) struct Follows {
    scenarios: usize,
    /// Eights of all asks; in the last one may be places without an ask.
    eights: usize,
    /// Index `(period * eights + eight) * scenarios + scenario`: what a period
    /// brings, and the part of what follows that is kept.
    periods: Vec<(Eight, Eight)>,
    /// By period of the stretch and scenario, at the asks of one eight.
    worths: Vec<Eight>,
    /// By ask before the cut and period of the stretch: what was brought so far, and
    /// by scenario what is alive.
    brought: Vec<f64>,
    alive: Vec<f64>,
}

impl Follows {
    pub(super) fn new(problem: &Problem) -> Self {
        let (scenarios, asks) = (problem.weights.len(), problem.asks.len());
        let eights = asks.div_ceil(ASIDE);
        let mut periods = vec![([0.0; ASIDE], [0.0; ASIDE]); problem.periods * eights * scenarios];
        for n in 0..problem.periods {
            for k in 0..asks {
                let from = (n * eights + k / ASIDE) * scenarios;
                let at = problem.at(n, k);
                let numbers = problem.reward[at..].iter().zip(&problem.keep[at..]);
                let places = periods[from..from + scenarios].iter_mut();
                for ((rewards, keeps), (reward, keep)) in places.zip(numbers) {
                    rewards[k % ASIDE] = *reward;
                    keeps[k % ASIDE] = *keep;
                }
            }
        }
        Self {
            scenarios,
            eights,
            periods,
            worths: Vec::new(),
            brought: Vec::new(),
            alive: Vec::new(),
        }
    }

    /// Works out what each ask `lowest..=highest` has brought, from `before` on, and
    /// leaves alive, of `alive`, at the start of each period from `start` to `end`.
    pub(super) fn before(
        &mut self,
        problem: &Problem,
        (start, end): (usize, usize),
        (lowest, highest): (usize, usize),
        (before, alive): (f64, &[f64]),
    ) {
        self.brought.clear();
        self.alive.clear();
        let mut left = alive.to_vec();
        for ask in lowest..=highest {
            let mut brought = before;
            left.copy_from_slice(alive);
            for n in start..end {
                self.brought.push(brought);
                self.alive.extend_from_slice(&left);
                brought += problem.forth(n, ask, &mut left);
            }
        }
    }

    /// Works out what an eight of asks brings from each period from `start + 1` on, up
    /// to `end`, after which `tail` follows, by scenario.
    pub(super) fn after(&mut self, (start, end): (usize, usize), eight: usize, tail: &[f64]) {
        let needed = (end - start) * self.scenarios;
        if self.worths.len() < needed {
            self.worths.resize(needed, [0.0; ASIDE]);
        }
        let mut value: Vec<Eight> = tail.iter().map(|worth| [*worth; ASIDE]).collect();
        for i in (1..end - start).rev() {
            let from = ((start + i) * self.eights + eight) * self.scenarios;
            let period = &self.periods[from..from + self.scenarios];
            let worths = &mut self.worths[i * self.scenarios..][..self.scenarios];
            for ((value, worth), (reward, keep)) in value.iter_mut().zip(worths).zip(period) {
                for ask in 0..ASIDE {
                    value[ask] = reward[ask] + keep[ask] * value[ask];
                }
                *worth = *value;
            }
        }
    }

    /// What the plans are worth that keep to an ask (its place in [`Self::before`],
    /// times the periods of the stretch, plus the period of the cut) up to period `i`
    /// of the stretch, and to each ask of the eight in [`Self::after`] from then on.
    pub(super) fn worth(&self, i: usize, place: usize) -> Eight {
        let alive = &self.alive[place * self.scenarios..][..self.scenarios];
        let worths = &self.worths[i * self.scenarios..][..self.scenarios];
        let mut sums = [0.0; ASIDE];
        for (alive, worth) in alive.iter().zip(worths) {
            for ask in 0..ASIDE {
                sums[ask] += alive * worth[ask];
            }
        }
        sums.map(|sum| self.brought[place] + sum)
    }
}
