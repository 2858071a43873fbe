//! Buyers in continuous time, cut into periods.

use super::{assert_reached, certain, grid, path, solve};
use wheelworth::pricing::asking::problem::Problem;

/// Asks held for a period each, buyers at rate `rate(ask)` a day, holding cost `h`
/// a day, discount rate `r`; `net(ask)` is what a sale brings.
fn timed(
    asks: Vec<f64>,
    (periods, length): (usize, f64),
    at_end: f64,
    (h, r): (f64, f64),
    rate: impl Fn(f64) -> f64,
    net: impl Fn(f64) -> f64,
) -> Problem {
    certain(asks, periods, at_end, |_, p| {
        let all = rate(p) + r;
        let gone = -(-all * length).exp_m1();
        ((net(p) * rate(p) - h) / all * gone, 1.0 - gone)
    })
}

/// What steps in price (`d`) and in time lose where buyers come at rate
/// `a exp(-alpha p)`: an ask off by `x` loses `rate alpha x^2 / 2` a day (the
/// curvature of `rate (p - V)` at the best ask). In a period of `length` the best
/// ask moves by `rate length / alpha`; the constant one is off by that and half a
/// step of the grid at most. Doubled for the higher orders.
fn lost(alpha: f64, d: f64, length: f64, rates: impl Iterator<Item = f64>) -> f64 {
    2.0 * rates
        .map(|rate| {
            let off = d / 2.0 + rate * length / alpha;
            0.5 * alpha * rate * length * off * off
        })
        .sum::<f64>()
}

/// Gallego & van Ryzin 1994, Management Science 40(8), one item, exponential
/// demand: `V(t) = ln(1 + a t / e) / alpha`, `p = V + 1 / alpha` (abstract read;
/// the formula is from memory and was checked there by its differential equation).
#[test]
fn gallego_and_van_ryzin() {
    let e = std::f64::consts::E;
    for (a, alpha, t) in [(1.0, 1.0, 1.0), (1.0, 1.0, 10.0), (2.0, 0.01, 30.0)] {
        let value = |t: f64| (1.0 + a * t / e).ln() / alpha;
        let (periods, d) = (60, 0.004 / alpha);
        let length = t / periods as f64;
        let highest = value(t) + 1.5 / alpha;
        let asks = grid(0.5 / alpha, d, ((highest - 0.5 / alpha) / d) as usize);
        let problem = timed(
            asks,
            (periods, length),
            0.0,
            (0.0, 0.0),
            |p| a * (-alpha * p).exp(),
            |p| p,
        );
        let found = solve(&problem);
        let rates = (0..periods).map(|n| a * (-(alpha * value(length * n as f64) + 1.0)).exp());
        assert_reached(found.worth, value(t), lost(alpha, d, length, rates));
        // The first ask lies between the best ones of the first period's two ends.
        let first = path(&problem, &found)[0];
        let (from, to) = (value(t - length) + 1.0 / alpha, value(t) + 1.0 / alpha);
        assert!(first >= from - d && first <= to + d, "{first} {from} {to}");
    }
    // Printed digits of the formula.
    assert!(((1.0 + 10.0 / e).ln() - 1.543_040_472_4).abs() < 5e-11);
    assert!(((1.0 + 60.0 / e).ln() / 0.01 - 313.865_298_1).abs() < 5e-8);
}

/// The same with salvage `S` at the end and a holding cost `h` a day: `V(t) =
/// ln[K + (exp(alpha S) - K) exp(-alpha h t)] / alpha`, `K = a / (e alpha h)`
/// (derived from the differential equation `V' = a exp(-alpha V - 1) / alpha - h`).
#[test]
fn exponential_demand_with_salvage_and_holding_cost() {
    let (a, alpha, h, salvage, t) = (2.0, 0.01, 1.0, 50.0, 30.0);
    let k = a / (std::f64::consts::E * alpha * h);
    let value =
        |t: f64| (k + (f64::exp(alpha * salvage) - k) * (-alpha * h * t).exp()).ln() / alpha;
    assert!((value(t) - 301.017_410_6).abs() < 5e-8);
    let (periods, d) = (60, 0.4);
    let length = t / periods as f64;
    let problem = timed(
        grid(100.0, d, 800),
        (periods, length),
        salvage,
        (h, 0.0),
        |p| a * (-alpha * p).exp(),
        |p| p,
    );
    let rates = (0..periods).map(|n| a * (-(alpha * value(length * n as f64) + 1.0)).exp());
    assert_reached(
        solve(&problem).worth,
        value(t),
        lost(alpha, d, length, rates),
    );
}

/// Constant elasticity: rate `K p^-eps`, `K = v^eps / tau`. `V(t) = [S^eps + K
/// ((eps - 1) / eps)^(eps - 1) t]^(1 / eps)`, `p = eps / (eps - 1) V` (that a closed
/// form exists: `McAfee` & te Velde 2008; this one is derived for a single item).
#[test]
fn constant_elasticity() {
    let (v, tau, eps) = (300.0_f64, 30.0, 4.0);
    let k = v.powf(eps) / tau;
    let rate = |p: f64| k * p.powf(-eps);
    for (t, salvage, printed) in [
        (30.0, 0.0, 241.778_234_7),
        (30.0, 150.0, 250.274_547_4),
        (90.0, 150.0, 322.055_701_9),
    ] {
        let value = |t: f64| {
            let grown = k * ((eps - 1.0) / eps).powf(eps - 1.0) * t;
            (f64::powf(salvage, eps) + grown).powf(1.0 / eps)
        };
        assert!((value(t) - printed).abs() < 5e-8, "{}", value(t));
        let (periods, d) = (90, 0.5);
        let length = t / periods as f64;
        let problem = timed(
            grid(20.0, d, 900),
            (periods, length),
            salvage,
            (0.0, 0.0),
            rate,
            |p| p,
        );
        let found = solve(&problem);
        // The curvature of rate (p - V) at the best ask is rate (eps - 1) / p; the
        // best ask moves by p' = eps / (eps - 1) V', V' = rate p / eps.
        let lost: f64 = (0..periods)
            .map(|n| {
                let (early, late) = (value(length * (n + 1) as f64), value(length * n as f64));
                let best = |v: f64| v * eps / (eps - 1.0);
                let off = d / 2.0 + best(early) - best(late);
                let p = best(late).max(best(early) / 2.0).max(20.0);
                0.5 * rate(p) * (eps - 1.0) / p * off * off * length
            })
            .sum();
        assert_reached(found.worth, value(t), 2.0 * lost);
    }
}

/// The same in few equal periods: what one, two, four and thirty prices reach
/// (computed with a general optimiser, scipy 1.17, and printed to these digits).
#[test]
fn few_prices() {
    let (v, tau, eps, salvage, t) = (300.0_f64, 30.0, 4.0, 150.0, 30.0);
    let k = v.powf(eps) / tau;
    let d = 0.05;
    for (periods, worth, first) in [
        (1, 245.484_69, 287.65),
        (2, 248.551_45, 312.05),
        (4, 249.738_93, 323.6),
        (30, 250.263_47, 333.0),
    ] {
        let problem = timed(
            grid(180.0, d, 3200),
            (periods, t / periods as f64),
            salvage,
            (0.0, 0.0),
            |p| k * p.powf(-eps),
            |p| p,
        );
        let found = solve(&problem);
        // Curvature rate (eps - 1) / p is below 0.0004 a day here: (d / 2)^2 of it
        // over 30 days is 4e-6, within the printed 5e-6.
        assert!(
            (found.worth - worth).abs() < 1e-5,
            "{} {worth}",
            found.worth
        );
        if periods < 30 {
            assert!(
                (path(&problem, &found)[0] - first).abs() < 0.05 + d,
                "{first}"
            );
        }
    }
}

/// One posted price, no deadline. An ask off by `x` loses `x^2 / 2` times the
/// curvature of its value, computed by differences.
fn posted(
    rate: impl Fn(f64) -> f64 + Copy,
    net: impl Fn(f64) -> f64 + Copy,
    h: f64,
    r: f64,
    best: (f64, f64),
    low: f64,
    d: f64,
) {
    let days = 60.0 / rate(best.0); // unsold by then: exp(-60)
    let mut problem = timed(grid(low, d, 6000), (1, days), 0.0, (h, r), rate, net);
    problem.cuts = 0;
    let found = solve(&problem);
    let worth = |p: f64| (net(p) * rate(p) - h) / (rate(p) + r);
    let step = best.0 * 1e-4;
    let curvature =
        -(worth(best.0 + step) - 2.0 * worth(best.0) + worth(best.0 - step)) / step.powi(2);
    // 5e-8: half of the last printed digit.
    assert_reached(
        found.worth,
        best.1 + 5e-8,
        0.6 * curvature * (d / 2.0).powi(2) + 1e-7,
    );
    assert!((problem.asks[found.single] - best.0).abs() <= d / 2.0 + 1e-6);
}

#[test]
fn posted_price_with_holding_cost() {
    // Exponential demand: p = ln(a / (alpha h)) / alpha, value p - 1 / alpha.
    posted(
        |p| 2.0 * (-0.01 * p).exp(),
        |p| p,
        1.0,
        0.0,
        (529.831_736_7, 429.831_736_7),
        400.0,
        0.05,
    );
    // Constant elasticity: p = v [v / (h eps tau)]^(1 / (eps - 1)), value p (1 - 1 / eps).
    let rate = |p: f64| (p / 300.0).powf(-4.0) / 30.0;
    posted(
        rate,
        |p| p,
        1.0,
        0.0,
        (407.162_642_5, 305.371_981_9),
        300.0,
        0.05,
    );
    // With a fee of 5 % and haggling: a sale at ask p brings 0.95 c p^0.7 v^0.3,
    // c = 0.95; p = v [v 0.95 c 0.7 / (h eps tau)]^(1 / (eps - 1 + 0.3)).
    let net = |p: f64| 0.95 * 0.95 * p.powf(0.7) * 300.0_f64.powf(0.3);
    let best = 300.0 * (300.0 * 0.95 * 0.95 * 0.7 / 120.0_f64).powf(1.0 / 3.3);
    assert!((best - 344.562_732_6).abs() < 5e-8, "{best}");
    posted(rate, net, 1.0, 0.0, (best, 246.107_782_7), 250.0, 0.05);
}

/// Discount only: `p = (K / (r (eps - 1)))^(1 / eps)`.
#[test]
fn posted_price_with_a_discount() {
    let rate = |p: f64| (p / 300.0).powf(-4.0) / 30.0;
    posted(
        rate,
        |p| p,
        0.0,
        0.002,
        (460.577_935_2, 345.433_451_4),
        350.0,
        0.05,
    );
}
