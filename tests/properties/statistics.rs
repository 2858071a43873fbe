//! Laws of the least squares, on random designs.

use crate::support::tolerance::{assert_all_close, assert_close};
use proptest::prelude::*;
use wheelworth::statistics::distribution::student_t::{Predictive, quantile};
use wheelworth::statistics::{Bounds, Design, Fit, RFactor};

/// Random designs can be poorly conditioned (up to about 1e4 here).
const RANDOM_DESIGN: f64 = 1e-9;

/// `(x, y, weight)`.
type Row = (Vec<f64>, f64, f64);

/// An intercept, `p - 1` columns, 3 p to 60 rows.
fn rows(p: usize) -> impl Strategy<Value = Vec<Row>> {
    let row = (
        prop::collection::vec(-3.0..3.0_f64, p - 1),
        -5.0..5.0_f64,
        0.1..4.0_f64,
    )
        .prop_map(|(rest, y, weight)| {
            let x = std::iter::once(1.0).chain(rest).collect();
            (x, y, weight)
        });
    prop::collection::vec(row, 3 * p..60)
}

fn r_factor(p: usize, rows: &[Row]) -> RFactor {
    let mut r_factor = RFactor::new(p);
    for (x, y, weight) in rows {
        r_factor.push(x, *y, *weight).unwrap();
    }
    r_factor
}

fn fit(r_factor: &RFactor) -> Fit {
    Fit::of(r_factor, &[]).unwrap()
}

fn assert_same(found: &Fit, expected: &Fit) {
    assert_all_close(
        "coefficients",
        &found.coefficients,
        &expected.coefficients,
        RANDOM_DESIGN,
    );
    assert_close(
        "residual sum",
        found.residual_sum,
        expected.residual_sum,
        RANDOM_DESIGN,
    );
    assert_all_close(
        "errors",
        &found.standard_errors(1.0),
        &expected.standard_errors(1.0),
        RANDOM_DESIGN,
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn order_of_rows_does_not_matter(
        (straight, shuffled) in rows(4).prop_flat_map(|r| (Just(r.clone()), Just(r).prop_shuffle()))
    ) {
        assert_same(&fit(&r_factor(4, &shuffled)), &fit(&r_factor(4, &straight)));
    }

    /// c times the prices: c times the coefficients, c squared times the residual sum.
    #[test]
    fn scaling_the_target_scales_the_coefficients(rows in rows(4), c in 1e-6..1e6_f64) {
        let scaled: Vec<Row> = rows.iter().map(|(x, y, w)| (x.clone(), c * y, *w)).collect();
        let (plain, mut scaled) = (fit(&r_factor(4, &rows)), fit(&r_factor(4, &scaled)));
        scaled.coefficients.iter_mut().for_each(|b| *b /= c);
        scaled.residual_sum /= c * c;
        assert_same(&scaled, &plain);
    }

    /// A shift of ln price moves the level alone.
    #[test]
    fn shifting_the_target_moves_the_level(rows in rows(4), shift in -20.0..20.0_f64) {
        let moved: Vec<Row> = rows.iter().map(|(x, y, w)| (x.clone(), y + shift, *w)).collect();
        let (plain, mut moved) = (fit(&r_factor(4, &rows)), fit(&r_factor(4, &moved)));
        moved.coefficients[0] -= shift;
        assert_same(&moved, &plain);
    }

    #[test]
    fn merging_is_associative(a in rows(3), b in rows(3), c in rows(3)) {
        let [a, b, c] = [a, b, c].map(|rows| r_factor(3, &rows));
        let join = |left: &RFactor, right: &RFactor| {
            let mut joined = left.clone();
            joined.merge(right, 1.0).unwrap();
            joined
        };
        let (left, right) = (join(&join(&a, &b), &c), join(&a, &join(&b, &c)));
        assert_same(&fit(&left), &fit(&right));
        prop_assert_eq!(left.rows(), right.rows());
        assert_close("log weights", left.log_weights(), right.log_weights(), RANDOM_DESIGN);
        assert_same(&fit(&join(&b, &a)), &fit(&join(&a, &b)));
    }

    /// Bounds hold exactly, and no other choice of columns held at a bound fits
    /// better: all 3^p are tried.
    #[test]
    fn bounded_fit_is_the_best_of_all_active_sets(
        rows in rows(4),
        limits in prop::collection::vec((-1.0..0.5_f64, 0.0..1.5_f64), 4),
        open in prop::collection::vec(0..3_u8, 4),
    ) {
        let bounds = Bounds {
            limits: limits
                .iter()
                .zip(&open)
                .enumerate()
                .map(|(j, ((low, width), open))| match open {
                    0 => (j, *low, low + width),
                    1 => (j, *low, f64::INFINITY),
                    _ => (j, f64::NEG_INFINITY, low + width),
                })
                .collect(),
        };
        check_bounds(&rows, &bounds);
    }

    /// The steps of condition and tier: a level that is free, steps not below 0.
    #[test]
    fn steps_not_below_zero(rows in rows(5)) {
        check_bounds(&rows, &Bounds { limits: (1..5).map(|j| (j, 0.0, f64::INFINITY)).collect() });
    }

    /// Six columns that share most of what they say: here columns held early
    /// must often be released again.
    #[test]
    fn bounds_on_columns_that_are_much_alike(
        rows in prop::collection::vec(
            (-1.0..1.0_f64, prop::collection::vec(-0.4..0.4_f64, 6), -3.0..3.0_f64),
            8..14,
        )
    ) {
        let rows: Vec<Row> = rows
            .into_iter()
            .map(|(shared, own, y)| (own.iter().map(|v| shared + v).collect(), y, 1.0))
            .collect();
        check_bounds(&rows, &Bounds { limits: (0..6).map(|j| (j, 0.0, f64::INFINITY)).collect() });
    }

    /// Correlated columns, as condition and tier are coded: step k is 1 from
    /// grade k on. A weak prior row for each column keeps empty grades solvable.
    #[test]
    fn steps_of_a_grade(sales in prop::collection::vec((0..5_usize, 0.0..1.0_f64, 4.0..6.0_f64), 1..40)) {
        let mut rows: Vec<Row> = sales
            .iter()
            .map(|(grade, other, y)| {
                let mut x = vec![1.0, *other];
                x.extend((1..5).map(|k| f64::from(u8::from(*grade >= k))));
                (x, *y, 1.0)
            })
            .collect();
        for j in 0..6 {
            let x = (0..6).map(|k| f64::from(u8::from(j == k))).collect();
            rows.push((x, 0.1, 0.1));
        }
        check_bounds(&rows, &Bounds { limits: (2..6).map(|j| (j, 0.0, f64::INFINITY)).collect() });
    }

    /// The same fit in another unit of the target.
    #[test]
    fn bounded_fit_does_not_depend_on_the_unit(rows in rows(4), power in -6..6_i32) {
        let c = 10_f64.powi(power);
        let scaled: Vec<Row> = rows.iter().map(|(x, y, w)| (x.clone(), c * y, *w)).collect();
        let bounds = Bounds { limits: (1..4).map(|j| (j, 0.0, f64::INFINITY)).collect() };
        let within = |rows: &[Row]| Fit::within(&r_factor(4, rows), &[], &bounds).unwrap();
        let (plain, mut scaled) = (within(&rows), within(&scaled));
        scaled.coefficients.iter_mut().for_each(|b| *b /= c);
        assert_all_close("coefficients", &scaled.coefficients, &plain.coefficients, RANDOM_DESIGN);
    }

    #[test]
    fn quantiles_rise_with_p(
        parts in prop::collection::vec((0.01..1.0_f64, 1.0..50.0_f64, 3.0..9.0_f64, 0.01..2.0_f64), 1..8),
        p in 0.01..0.98_f64,
    ) {
        let parts: Vec<(f64, Predictive)> = parts
            .into_iter()
            .map(|(weight, freedom, location, scale)| (weight, Predictive { freedom, location, scale }))
            .collect();
        prop_assert!(quantile(&parts, p) < quantile(&parts, p + 0.01));
        // The search may hit it on the spot, as for the median of one alone.
        let found = wheelworth::statistics::distribution::student_t::mixture_cdf(&parts, quantile(&parts, p));
        prop_assert!((found - p).abs() < 1e-9, "{} for {}", found, p);
        let (_, one) = parts[0];
        prop_assert!((quantile(&[(1.0, one)], 0.5) - one.location).abs() < 1e-9 * one.scale);
    }
}

fn sum_of_squares(rows: &[Row], b: &[f64]) -> f64 {
    rows.iter()
        .map(|(x, y, w)| {
            let fitted: f64 = x.iter().zip(b).map(|(x, b)| x * b).sum();
            w * (y - fitted).powi(2)
        })
        .sum()
}

/// Coefficients of the best fit within `bounds`, by trying every set of columns
/// held at one of their bounds and keeping the best that is within all of them.
fn best_of_all(p: usize, rows: &[Row], bounds: &Bounds) -> Vec<f64> {
    let places = 3_usize.pow(bounds.limits.len() as u32);
    let mut best: Option<(f64, Vec<f64>)> = None;
    'sets: for set in 0..places {
        let mut held = vec![None; p];
        let mut code = set;
        for (j, low, high) in &bounds.limits {
            held[*j] = [None, Some(*low), Some(*high)][code % 3];
            code /= 3;
            if held[*j].is_some_and(f64::is_infinite) {
                continue 'sets;
            }
        }
        let free: Vec<usize> = (0..p).filter(|j| held[*j].is_none()).collect();
        let mut b: Vec<f64> = held.iter().map(|h| h.unwrap_or(0.0)).collect();
        if !free.is_empty() {
            let mut design = Design::new(free.iter().map(|j| format!("b{j}")));
            for (x, y, w) in rows {
                let fixed: f64 = x.iter().zip(&b).map(|(x, b)| x * b).sum();
                let part: Vec<f64> = free.iter().map(|j| x[*j]).collect();
                design.push(&part, y - fixed, *w).unwrap();
            }
            let part = Fit::of(&design.r_factor().unwrap(), design.names()).unwrap();
            free.iter()
                .zip(&part.coefficients)
                .for_each(|(j, v)| b[*j] = *v);
        }
        let inside = |(j, low, high): &(usize, f64, f64)| b[*j] >= *low && b[*j] <= *high;
        if !bounds.limits.iter().all(inside) {
            continue;
        }
        let sum = sum_of_squares(rows, &b);
        if best.as_ref().is_none_or(|(least, _)| sum < *least) {
            best = Some((sum, b));
        }
    }
    best.expect("holding every bounded column at a bound is always within the bounds")
        .1
}

fn check_bounds(rows: &[Row], bounds: &Bounds) {
    let p = rows[0].0.len();
    let fit = Fit::within(&r_factor(p, rows), &[], bounds).unwrap();
    for (j, low, high) in &bounds.limits {
        let b = fit.coefficients[*j];
        assert!(
            b >= *low && b <= *high,
            "column {j}: {b} outside [{low}, {high}]"
        );
    }
    for j in &fit.held {
        let (_, low, high) = bounds.limits.iter().find(|l| l.0 == *j).unwrap();
        let b = fit.coefficients[*j];
        assert!(
            b == *low || b == *high,
            "column {j} is held at {b}, no bound"
        );
    }
    let best = best_of_all(p, rows, bounds);
    let (found, least) = (
        sum_of_squares(rows, &fit.coefficients),
        sum_of_squares(rows, &best),
    );
    assert_close("residual sum", found, least, RANDOM_DESIGN);
    assert_close(
        "reported residual sum",
        fit.residual_sum,
        found,
        RANDOM_DESIGN,
    );
    assert_all_close("coefficients", &fit.coefficients, &best, 1e-6);
}
