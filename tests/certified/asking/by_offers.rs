//! One buyer a period, each with a price of their own, the same distribution for
//! all (in the tradition of Karlin 1962, *Stochastic models and optimal policy for
//! selling an asset*; recursions from memory, fractions computed from them).

use super::{assert_reached, certain, grid, path, solve};

/// Uniform prices on [0, 1]: `p_n = (1 + J_{n-1}) / 2`, `J_n = p_n^2`. The value of
/// one period, `p (1 - p) + p J`, has curvature 2, so each loses `(d / 2)^2`.
#[test]
fn uniform_buyers() {
    let d = 1.0 / 2000.0;
    let (asks, best) = (
        [1.0 / 2.0, 5.0 / 8.0, 89.0 / 128.0, 24305.0 / 32768.0],
        [
            1.0 / 4.0,
            25.0 / 64.0,
            7921.0 / 16384.0,
            590_733_025.0 / 1_073_741_824.0,
        ],
    );
    for n in 1..=4 {
        let problem = certain(grid(0.0, d, 2001), n, 0.0, |_, p| (p * (1.0 - p), p));
        let found = solve(&problem);
        assert_reached(found.worth, best[n - 1], n as f64 * (d / 2.0).powi(2));
        // With n periods to go the ask is p_n; a value lower by e moves it by e / 2.
        for (found, right) in path(&problem, &found).iter().zip(asks[..n].iter().rev()) {
            assert!((found - right).abs() <= d / 2.0 + 1e-6, "{found} {right}");
        }
    }
}

/// A buyer comes with chance 0.3: `J_n = J_{n-1} + q (1 - p_n)(p_n - J_{n-1})`.
#[test]
fn a_buyer_now_and_then() {
    let (q, d) = (0.3, 1.0 / 2000.0);
    for (n, best) in [(1, 0.075), (2, 0.139_171_875), (3, 0.194_748_754_6)] {
        let problem = certain(grid(0.0, d, 2001), n, 0.0, |_, p| {
            let sale = q * (1.0 - p);
            (sale * p, 1.0 - sale)
        });
        // 5e-11: the last digit of the third value.
        assert_reached(
            solve(&problem).worth,
            best + 5e-11,
            n as f64 * q * (d / 2.0).powi(2) + 1e-10,
        );
    }
}

/// Exponential prices: `p_n = 1 + J_{n-1}`, `J_n = J_{n-1} + exp(-p_n)`. The
/// curvature at the best ask is `exp(-p)`, below 1/2.
#[test]
fn exponential_buyers() {
    let d = 1.0 / 1000.0;
    let (mut best, mut lost) = (0.0_f64, 0.0);
    for n in 1..=3 {
        best += (-(1.0 + best)).exp();
        lost += 0.25 * (d / 2.0_f64).powi(2);
        let problem = certain(grid(0.0, d, 3001), n, 0.0, |_, p: f64| {
            let sale = (-p).exp();
            (sale * p, 1.0 - sale)
        });
        assert_reached(solve(&problem).worth, best, lost);
    }
    // The printed digits of the recursion.
    assert!((best - 0.819_925_294_3).abs() < 5e-11);
}

/// No deadline, each period costs 0.04: `p = 1 - sqrt(c) = 0.8`, `J = 1 - 2 sqrt(c)
/// = 0.6`. After 200 periods at 0.8 a part of `0.8^200 < 1e-19` is left.
#[test]
fn uniform_buyers_with_a_cost_a_period() {
    let d = 1.0 / 1000.0;
    let mut problem = certain(grid(0.0, d, 1001), 200, 0.6, |_, p| {
        (p * (1.0 - p) - 0.04, p)
    });
    problem.cuts = 0;
    let found = solve(&problem);
    // 0.8 lies on the grid: nothing is lost.
    assert!((found.worth - 0.6).abs() < 1e-12, "{}", found.worth);
    assert!((problem.asks[found.single] - 0.8).abs() < 1e-12);
}

/// No deadline, a period's discount 0.75: `p = 1 / (1 + sqrt(1 - d)) = 2/3`, `J =
/// p^2 = 4/9`. After 100 periods `(0.75 x 2/3)^100 < 1e-30` is left.
#[test]
fn uniform_buyers_with_a_discount() {
    let mut problem = certain(grid(0.0, 1.0 / 900.0, 901), 100, 0.0, |_, p| {
        (p * (1.0 - p), 0.75 * p)
    });
    problem.cuts = 0;
    let found = solve(&problem);
    assert!((found.worth - 4.0 / 9.0).abs() < 1e-12, "{}", found.worth);
    assert!((problem.asks[found.single] - 2.0 / 3.0).abs() < 1e-12);
}
