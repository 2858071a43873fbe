//! What a weight means, and that the `r_factor` does not care how rows reach it.
//! No outside values here but identities that any weighted least squares obeys.

use crate::support::tolerance::{EIGHT_DECIMALS, SAME_NUMBER, assert_all_close, assert_close};
use rand::seq::SliceRandom;
use rand::{Rng, SeedableRng};
use wheelworth::statistics::{Design, Fit, RFactor};

struct Row {
    x: [f64; 4],
    y: f64,
    weight: f64,
}

/// Rows of a made-up regression, seeded.
fn rows(count: usize, seed: u64) -> Vec<Row> {
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(seed);
    (0..count)
        .map(|_| {
            let mut uniform = |low: f64, high: f64| random.random_range(low..high);
            let x = [
                1.0,
                uniform(0.0, 20.0),
                uniform(-1.0, 1.0),
                uniform(5.0, 9.0),
            ];
            Row {
                x,
                y: 6.0 - 0.05 * x[1] + 0.3 * x[2] + 0.1 * x[3] + uniform(-0.3, 0.3),
                weight: uniform(0.1, 3.0),
            }
        })
        .collect()
}

fn design_of<'a>(rows: impl IntoIterator<Item = &'a Row>) -> Design {
    let mut design = Design::new(["level", "a", "b", "c"]);
    for row in rows {
        design.push(&row.x, row.y, row.weight).unwrap();
    }
    design
}

fn r_factor_of(rows: &[Row]) -> RFactor {
    design_of(rows).r_factor().unwrap()
}

fn fit_of(r_factor: &RFactor) -> Fit {
    Fit::of(r_factor, &[]).unwrap()
}

#[track_caller]
fn assert_same(what: &str, found: &RFactor, expected: &RFactor) {
    let (a, b) = (fit_of(found), fit_of(expected));
    assert_eq!(a.rows, b.rows, "{what}: rows");
    assert_all_close(what, &a.coefficients, &b.coefficients, SAME_NUMBER);
    assert_close(what, a.residual_sum, b.residual_sum, SAME_NUMBER);
    assert_all_close(
        what,
        &a.standard_errors(1.0),
        &b.standard_errors(1.0),
        SAME_NUMBER,
    );
    assert_close(
        what,
        a.log_det_information(),
        b.log_det_information(),
        SAME_NUMBER,
    );
    assert_close(
        what,
        found.log_weights(),
        expected.log_weights(),
        SAME_NUMBER,
    );
}

#[test]
fn weight_zero_is_the_row_removed() {
    let mut all = rows(40, 1);
    let (zeroed, kept) = all.split_at_mut(15);
    zeroed.iter_mut().for_each(|row| row.weight = 0.0);
    let kept = r_factor_of(kept);
    assert_same("weight 0", &r_factor_of(&all), &kept);
}

#[test]
fn weight_two_is_the_row_twice() {
    let mut once = rows(30, 2);
    once.iter_mut().for_each(|row| row.weight = 1.0);
    let twice = design_of(once.iter().chain(&once[..10]))
        .r_factor()
        .unwrap();
    once[..10].iter_mut().for_each(|row| row.weight = 2.0);
    let (double, twice) = (fit_of(&r_factor_of(&once)), fit_of(&twice));
    assert_all_close(
        "coefficients",
        &double.coefficients,
        &twice.coefficients,
        SAME_NUMBER,
    );
    assert_close(
        "residual sum",
        double.residual_sum,
        twice.residual_sum,
        SAME_NUMBER,
    );
    assert_all_close(
        "standard errors",
        &double.standard_errors(1.0),
        &twice.standard_errors(1.0),
        SAME_NUMBER,
    );
    // Only the count of rows tells them apart, and with it the residual deviation.
    assert_eq!((double.rows, twice.rows), (30, 40));
}

#[test]
fn weights_change_the_fit() {
    let weighted = rows(30, 3);
    let mut plain = rows(30, 3);
    plain.iter_mut().for_each(|row| row.weight = 1.0);
    let [ours, unweighted] = [weighted, plain].map(|rows| fit_of(&r_factor_of(&rows)));
    let moved = (ours.coefficients[0] - unweighted.coefficients[0]).abs();
    assert!(moved > 1e-3, "the weights must matter here: {moved}");
}

#[test]
fn merged_r_factors_are_one() {
    // 700 rows: several blocks, one of them part full, on both sides.
    let all = rows(700, 4);
    let whole = r_factor_of(&all);
    for cut in [0, 1, 3, 191, 192, 193, 500, 700] {
        let mut merged = r_factor_of(&all[..cut]);
        merged.merge(&r_factor_of(&all[cut..]), 1.0).unwrap();
        assert_same(&format!("cut at {cut}"), &merged, &whole);
    }
}

#[test]
fn merging_with_a_factor_is_weighing() {
    let (own, others) = (rows(12, 5), rows(300, 6));
    let mut merged = r_factor_of(&own);
    merged.merge(&r_factor_of(&others), 0.25).unwrap();
    let quarter: Vec<Row> = others
        .into_iter()
        .map(|row| Row {
            weight: row.weight / 4.0,
            ..row
        })
        .collect();
    assert_same(
        "factor 1/4",
        &merged,
        &design_of(own.iter().chain(&quarter)).r_factor().unwrap(),
    );
    let mut none = r_factor_of(&own);
    none.merge(&r_factor_of(&quarter), 0.0).unwrap();
    assert_same("factor 0", &none, &r_factor_of(&own));
}

#[test]
fn order_of_rows_does_not_matter() {
    let mut all = rows(500, 7);
    let straight = r_factor_of(&all);
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(8);
    for _ in 0..5 {
        all.shuffle(&mut random);
        assert_same("shuffled", &r_factor_of(&all), &straight);
    }
}

/// The four sales and the prior row of the toy case: their `r_factor`, computed
/// with numpy 2.4.6 (`qr` of two halves, stacked and factored again), to eight
/// decimals. A row's sign is free, so sizes are compared.
#[test]
fn r_factor_of_the_toy_case() {
    let expected = [
        [2.0, 3.5, 11.35],
        [0.0, 4.974_937_19, 0.668_350_15],
        [0.0, 0.0, 0.246_592_95],
    ];
    let rows = [
        ([1.0, 0.0], 6.0),
        ([1.0, 1.0], 5.8),
        ([1.0, 2.0], 5.7),
        ([1.0, 4.0], 5.2),
        ([0.0, 4.0], -0.4),
    ];
    let half = |part: &[([f64; 2], f64)]| {
        let mut r_factor = RFactor::new(2);
        for (x, y) in part {
            r_factor.push(x, *y, 1.0).unwrap();
        }
        r_factor
    };
    let mut merged = half(&rows[..2]);
    merged.merge(&half(&rows[2..]), 1.0).unwrap();
    let sizes: Vec<f64> = merged.factor().iter().map(|v| v.abs()).collect();
    assert_all_close("R", &sizes, &expected.concat(), EIGHT_DECIMALS);
}
