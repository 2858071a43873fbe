//! The search for the best asks against closed forms of the pricing literature.
//!
//! Every value is what the formula in the named paper gives, computed here from
//! the formula. The problems are put to the same solver that plans mark-downs.
//! A grid of asks `d` apart misses the best ask by `d / 2` at most, and the value
//! is flat there, so what is lost is about half the curvature times `(d / 2)^2`
//! for each period; the tolerances are that, from the problem's own curvature.

mod by_offers;
mod in_time;
mod unknown_value;

use wheelworth::pricing::asking::{problem::Problem, solver::Solution};

/// A problem with one scenario: `period(n, ask)` gives the reward and what is kept.
pub fn certain(
    asks: Vec<f64>,
    periods: usize,
    at_end: f64,
    period: impl Fn(usize, f64) -> (f64, f64),
) -> Problem {
    let mut problem = Problem {
        periods,
        weights: vec![1.0],
        reward: vec![0.0; periods * asks.len()],
        keep: vec![0.0; periods * asks.len()],
        at_end: vec![at_end],
        cuts: periods - 1,
        smallest_cut: 0.0,
        asks,
    };
    for n in 0..periods {
        for k in 0..problem.asks.len() {
            let at = problem.at(n, k);
            (problem.reward[at], problem.keep[at]) = period(n, problem.asks[k]);
        }
    }
    problem
}

/// `count` asks from `low` on, `apart` apart.
pub fn grid(low: f64, apart: f64, count: usize) -> Vec<f64> {
    (0..count).map(|i| low + apart * i as f64).collect()
}

/// Solves without a limit on the first ask.
pub fn solve(problem: &Problem) -> Solution {
    problem
        .solve(usize::MAX)
        .expect("asks and periods are given")
}

/// The ask of every period.
pub fn path(problem: &Problem, solution: &Solution) -> Vec<f64> {
    (0..problem.periods)
        .map(|n| {
            let step = solution.steps.iter().rev().find(|s| s.0 <= n);
            problem.asks[step.expect("the first step is at 0").1]
        })
        .collect()
}

/// `found` is what a grid can reach of `best`: not above it, and below it by `lost`
/// at most.
pub fn assert_reached(found: f64, best: f64, lost: f64) {
    let rounding = 1e-12 * best.abs().max(1.0);
    assert!(
        found <= best + rounding && found >= best - lost - rounding,
        "{found} against {best}, {lost} may be lost"
    );
}
