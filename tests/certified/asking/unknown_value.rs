//! One value, unknown to the seller: that nobody bought speaks for a lower one.

use super::{path, solve};
use wheelworth::pricing::asking::problem::Problem;

/// Every buyer pays an ask up to the value V, uniform on [0, 1]; one comes with
/// chance `q` a period; `discount` a period. V has 600 equally likely places.
fn lazear(periods: usize, q: f64, discount: f64, apart: usize) -> Problem {
    let places = 600;
    let asks: Vec<f64> = (0..=places / apart)
        .map(|i| (i * apart) as f64 / places as f64)
        .collect();
    let values: Vec<f64> = (0..places)
        .map(|i| (i as f64 + 0.5) / places as f64)
        .collect();
    let mut problem = Problem {
        periods,
        weights: vec![1.0 / places as f64; places],
        reward: vec![0.0; periods * asks.len() * places],
        keep: vec![0.0; periods * asks.len() * places],
        at_end: vec![0.0; places],
        cuts: periods - 1,
        smallest_cut: 0.0,
        asks,
    };
    for n in 0..periods {
        for k in 0..problem.asks.len() {
            let (at, ask) = (problem.at(n, k), problem.asks[k]);
            for (i, value) in values.iter().enumerate() {
                let sale = if *value >= ask { q } else { 0.0 };
                problem.reward[at + i] = sale * ask;
                problem.keep[at + i] = (1.0 - sale) * discount;
            }
        }
    }
    problem
}

/// Lazear 1986, AER 76(1):14-32 (abstract read: sales are equally likely in each
/// period): `p_i = (N + 1 - i) / (N + 1)`, profit `N / (2 (N + 1))`. The prices lie
/// on the grid and between the places of V, so nothing is lost.
#[test]
fn two_and_three_periods() {
    for (periods, asks) in [
        (1, vec![0.5]),
        (2, vec![2.0 / 3.0, 1.0 / 3.0]),
        (3, vec![0.75, 0.5, 0.25]),
    ] {
        let problem = lazear(periods, 1.0, 1.0, 10);
        let found = solve(&problem);
        let n = periods as f64;
        assert!(
            (found.worth - n / (2.0 * (n + 1.0))).abs() < 1e-12,
            "{}",
            found.worth
        );
        for (found, right) in path(&problem, &found).iter().zip(&asks) {
            assert!((found - right).abs() < 1e-12, "{found} {right}");
        }
    }
}

/// A genuine buyer comes with chance q: `p1 = (1 + q) / (2 + q)`, `p2 = 1 / (2 + q)`,
/// profit `q / (2 + q)` (derived from Lazear's model; q = 0.5 lies on the grid).
#[test]
fn thin_market() {
    let problem = lazear(2, 0.5, 1.0, 10);
    let found = solve(&problem);
    assert!((found.worth - 0.2).abs() < 1e-12, "{}", found.worth);
    let asks = path(&problem, &found);
    assert!(
        (asks[0] - 0.6).abs() < 1e-12 && (asks[1] - 0.4).abs() < 1e-12,
        "{asks:?}"
    );
}

/// Discount 0.9: `p1 = 2 / (4 - d)`, `p2 = p1 / 2`, profit `1 / (4 - d)`. The profit
/// `p1 (1 - p1) + d p2 (p1 - p2)` has second derivatives of size 2 and `2 d`, so a
/// grid 1/600 apart loses less than `(1 + d) (1/1200)^2` and the cross term's
/// `d (1/1200)^2`.
#[test]
fn two_periods_with_a_discount() {
    let problem = lazear(2, 1.0, 0.9, 1);
    let found = solve(&problem);
    let lost = 2.8 * (1.0 / 1200.0_f64).powi(2);
    super::assert_reached(found.worth, 1.0 / 3.1, lost);
    let asks = path(&problem, &found);
    assert!((asks[0] - 0.645_161_290_3).abs() < 1.0 / 600.0, "{asks:?}");
    assert!((asks[1] - 0.322_580_645_2).abs() < 1.0 / 600.0, "{asks:?}");
}
