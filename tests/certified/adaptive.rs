//! Ranges that adapt: Gibbs & Candès 2021, *Adaptive Conformal Inference Under
//! Distribution Shift*, the update (their eq. 2) and the bound on the share of
//! misses, which holds for any outcomes (proposition 4.1, from memory; it follows
//! from adding up the updates).

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use statrs::distribution::{ContinuousCDF, Normal};
use wheelworth::statistics::evaluation::adaptive::AdaptiveLevel;

#[test]
fn a_miss_lowers_alpha_so_that_the_next_range_is_wider() {
    let mut level = AdaptiveLevel::new(0.2, 0.05);
    assert!((level.alpha - 0.2).abs() < 1e-15);
    level.saw(true);
    assert!((level.alpha - 0.16).abs() < 1e-15); // 0.2 + 0.05 (0.2 - 1)
    level.saw(false);
    assert!((level.alpha - 0.17).abs() < 1e-15); // 0.16 + 0.05 * 0.2
}

const OUTCOMES: usize = 20_000;

/// The share of misses after each outcome, of ranges that a level asks for.
fn misses(mut level: AdaptiveLevel, mut missed: impl FnMut(usize, f64) -> bool) -> Vec<f64> {
    let mut count = 0.0;
    (1..=OUTCOMES)
        .map(|t| {
            let alpha = level.alpha;
            // A range at alpha 0 or less holds everything, at 1 or more nothing.
            let miss = alpha > 0.0 && (alpha >= 1.0 || missed(t, alpha));
            level.saw(miss);
            count += if miss { 1.0 } else { 0.0 };
            count / t as f64
        })
        .collect()
}

fn assert_bounded(what: &str, shares: &[f64], target: f64, reach: f64, rate: f64) {
    for (t, share) in (1..).zip(shares) {
        // The room beside the bound is for the roundings of the 20,000 sums.
        let bound = (reach + rate) / (f64::from(t) * rate) + 1e-9;
        let off = (share - target).abs();
        assert!(
            off <= bound,
            "{what}: off by {off} after {t}, bound {bound}"
        );
    }
}

/// Normal outcomes whose spread, taken to be 1, grows to 3 and falls back at once.
fn drifting(seed: u64) -> Vec<f64> {
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    (0..OUTCOMES)
        .map(|t| {
            let z: f64 = StandardNormal.sample(&mut chance);
            z * (1.0 + 2.0 * (t % 8000) as f64 / 8000.0)
        })
        .collect()
}

#[test]
fn misses_stay_within_the_published_bound_while_the_spread_drifts() {
    let normal = Normal::standard();
    let outcomes = drifting(1);
    let reach = |alpha: f64| normal.inverse_cdf(1.0 - alpha / 2.0);
    for (target, rate) in [(0.2_f64, 0.05), (0.2, 0.02), (0.5, 0.05), (0.05, 0.01)] {
        let level = AdaptiveLevel::new(target, rate);
        let shares = misses(level, |t, alpha| outcomes[t - 1].abs() > reach(alpha));
        let farthest = target.max(1.0 - target);
        assert_bounded("drift", &shares, target, farthest, rate);
    }
    // The same ranges without the update miss half as often again at least.
    let fixed = outcomes.iter().filter(|y| y.abs() > reach(0.2)).count();
    assert!(fixed as f64 > 0.3 * OUTCOMES as f64, "{fixed} missed");
}

#[test]
fn misses_stay_within_the_bound_against_the_worst_outcomes() {
    for (target, rate) in [(0.2_f64, 0.05), (0.1, 0.5)] {
        let farthest = target.max(1.0 - target);
        let level = AdaptiveLevel::new(target, rate);
        let always = misses(level, |_, _| true);
        assert_bounded("always", &always, target, farthest, rate);
        let never = misses(level, |_, _| false);
        assert_bounded("never", &never, target, farthest, rate);
    }
}
