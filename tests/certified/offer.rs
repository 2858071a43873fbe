//! What may be paid for a bike, against closed forms of the log-normal.
//!
//! With ln P normal (mean `m`, sd `s`), `E P = exp(m + s^2/2)`; the chance of
//! `P < c` is `Phi(d)`, `d = (ln c - m) / s`, and the mean shortfall below `c` is
//! `c Phi(d) - E P Phi(d - s)` (the put of Black & Scholes 1973, J. Political
//! Economy 81(3), without interest). Values: those forms in double precision with
//! the complementary error function of Python 3.11's `math`; the uncertain repair by
//! 200,000 steps over it. Example: m = ln 260, s = 0.18, fee 5 %, repair 55, waiting
//! 20, margin 40.

use crate::support::tolerance::{TEN_DECIMALS, assert_near};
use wheelworth::pricing::offer::sale::{Outgoings, SaleForecast, most_to_pay, repair, risk};
use wheelworth::pricing::value::levels::Levels;
use wheelworth::statistics::distribution::student_t::Predictive;
use wheelworth::statistics::shapley;

fn log_normal(mean: f64, sd: f64) -> SaleForecast {
    let normal = Predictive {
        freedom: f64::INFINITY,
        location: mean.ln(),
        scale: sd,
    };
    let mean = mean * (sd * sd / 2.0).exp();
    SaleForecast::with_mean(&[(1.0, normal)], Levels::default(), mean)
}

fn example() -> (SaleForecast, Outgoings) {
    let out = Outgoings {
        repair: 55.0,
        repair_variance: 0.0,
        work: 0.0,
        waiting: 20.0,
        fee: 0.05,
        held_back: 0.0,
    };
    (log_normal(260.0, 0.18), out)
}

/// The library's normal distribution function and its inverse carry about eleven
/// digits; amounts of some hundreds leave eight decimals.
const NORMAL: f64 = 1e-8;

#[test]
fn the_most_to_pay_is_what_the_closed_form_gives() {
    let (sale, out) = example();
    let (mean, cautious) = most_to_pay(&sale, &out, 40.0, 0.2);
    assert_near("mean", mean, 136.033_987_072_4, TEN_DECIMALS);
    assert_near("quantile", sale.quantile(0.2), 223.450_476_751_8, NORMAL);
    assert_near("cautious", cautious, 97.277_952_914_3, NORMAL);
}

#[test]
fn chance_and_size_of_a_loss_are_what_the_closed_forms_give() {
    // All costs together are 180.
    let (sale, out) = example();
    let found = risk(&sale, &out, 180.0 - 75.0);
    assert_near("margin", found.margin, 71.033_987_072_4, TEN_DECIMALS);
    assert_near("chance", found.chance_of_loss, 0.039_377_779_0, NORMAL);
    assert_near("shortfall", found.shortfall, 0.482_167_158_2, NORMAL);
}

#[test]
fn a_repair_that_may_cost_more_makes_a_loss_likelier() {
    // 41 equally likely costs stand for a whole log-normal: they cut its far tail
    // off, which is worth up to a few thousandths of the chance.
    let (sale, mut out) = example();
    (out.repair, out.repair_variance) = repair([55.0].into_iter());
    let found = risk(&sale, &out, 180.0 - 75.0);
    assert_near("chance", found.chance_of_loss, 0.063_535_67, 2e-3);
    assert_near("shortfall", found.shortfall, 1.210_456_9, 0.1);
    assert_near("margin", found.margin, 71.033_987_072_4, TEN_DECIMALS);
}

#[test]
fn independent_guesses_add_their_variances() {
    // Var = c^2 (exp(0.35^2) - 1), textbook variance of a log-normal.
    let (mean, variance) = repair([30.0, 40.0].into_iter());
    assert_near("mean", mean, 70.0, 0.0);
    let expected = 2500.0 * (0.35_f64.powi(2).exp() - 1.0);
    assert_near("variance", variance, expected, 1e-9);
}

#[test]
fn a_sale_that_is_moved_keeps_its_spread() {
    let (one, other) = (log_normal(260.0, 0.18), log_normal(130.0, 0.18));
    for p in [0.05, 0.2, 0.5, 0.9] {
        let ratio = one.quantile(p) / other.quantile(p);
        assert_near("ratio", ratio, 2.0, 1e-12);
    }
    assert_near("nothing", one.chance_below(0.0), 0.0, 0.0);
    assert_near("nothing", one.shortfall_below(-5.0), 0.0, 0.0);
}

/// Shares of the causes when `outcome` gives the worth of each set.
fn shares(causes: usize, worth: impl Fn(usize) -> f64) -> Vec<f64> {
    let sets = 1 << causes;
    let all: Vec<usize> = (0..sets).collect();
    let rows = shapley::weights(&vec![0; causes], &all, sets);
    let share = |row: &Vec<f64>| row.iter().enumerate().map(|(set, w)| w * worth(set)).sum();
    rows.iter().map(share).collect()
}

#[test]
fn shares_of_the_glove_game() {
    // One left glove and two right ones, a pair is worth 1: 2/3, 1/6, 1/6 (a
    // textbook example of Shapley's value, from memory).
    let pair = |set: usize| f64::from(u8::from(set & 1 != 0 && set & 6 != 0));
    let found = shares(3, pair);
    for (found, expected) in found.iter().zip([2.0 / 3.0, 1.0 / 6.0, 1.0 / 6.0]) {
        assert_near("share", *found, expected, 1e-15);
    }
}

#[test]
fn shares_of_the_airport_game() {
    // A runway as long as the largest needs, costs 8, 11, 13, 18: each stretch is
    // shared by those who need it (Littlechild & Owen 1973, Management Science
    // 20(3); their theorem, the figures a textbook example, from memory): 2,
    // 2 + 3/3, 2 + 3/3 + 2/2, 2 + 3/3 + 2/2 + 5.
    let cost = [8.0, 11.0, 13.0, 18.0];
    let longest = |set: usize| {
        let needed = (0..4).filter(|i| set & (1 << i) != 0).map(|i| cost[i]);
        needed.fold(0.0, f64::max)
    };
    for (found, expected) in shares(4, longest).iter().zip([2.0, 3.0, 4.0, 9.0]) {
        assert_near("share", *found, expected, 1e-14);
    }
}

#[test]
fn who_comes_first_bears_the_stretch_that_all_need() {
    // The same runway with ranks: the first rank shares what it needs, 11, as above
    // (4, 7); then only what is longer is left, 2 and 5.
    let cost = [8.0, 11.0, 13.0, 18.0];
    let all: Vec<usize> = (0..16).collect();
    let rows = shapley::weights(&[0, 0, 1, 2], &all, 16);
    let longest = |set: usize| {
        let needed = (0..4).filter(|i| set & (1 << i) != 0).map(|i| cost[i]);
        needed.fold(0.0, f64::max)
    };
    for (row, expected) in rows.iter().zip([4.0, 7.0, 2.0, 5.0]) {
        let share: f64 = row.iter().enumerate().map(|(s, w)| w * longest(s)).sum();
        assert_near("share", share, expected, 1e-14);
    }
}
