//! What must not be fitted is refused, with the right reason. (linfa-linear alone
//! answers `Ok` to much of it; that is its own affair, and no test here needs it.)

use rand::{Rng, SeedableRng};
use wheelworth::statistics::{Design, Fit, FitProblem, RFactor};

fn fit(design: &Design) -> Result<Fit, FitProblem> {
    Fit::of(&design.r_factor()?, design.names())
}

fn design(rows: &[([f64; 3], f64)]) -> Design {
    let mut design = Design::new(["level", "age", "twice the age"]);
    for (x, y) in rows {
        design.push(x, *y, 1.0).unwrap();
    }
    design
}

const COLLINEAR: [([f64; 3], f64); 5] = [
    ([1.0, 1.1, 2.2], 5.9),
    ([1.0, 2.3, 4.6], 5.7),
    ([1.0, 3.7, 7.4], 5.4),
    ([1.0, 5.2, 10.4], 5.3),
    ([1.0, 8.9, 17.8], 4.9),
];

#[test]
fn no_rows() {
    assert_eq!(fit(&design(&[])).unwrap_err(), FitProblem::NoRows);
    assert_eq!(
        Fit::of(&RFactor::new(3), &[]).unwrap_err(),
        FitProblem::NoRows
    );
    // Rows of weight 0 are no rows.
    let mut weightless = design(&[]);
    weightless.push(&[1.0, 2.0, 0.0], 5.0, 0.0).unwrap();
    assert_eq!(fit(&weightless).unwrap_err(), FitProblem::NoRows);
}

#[test]
fn numbers_that_are_not_finite() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for (x, y, weight, column) in [
            ([1.0, bad, 0.0], 5.0, 1.0, "age"),
            ([1.0, 2.0, 0.0], bad, 1.0, "target"),
            ([1.0, 2.0, 0.0], 5.0, bad, "weight"),
        ] {
            let mut design = design(&COLLINEAR[..2]);
            match design.push(&x, y, weight).unwrap_err() {
                FitProblem::NotFinite {
                    row,
                    column: found,
                    value,
                } => {
                    assert_eq!((row, found.as_str()), (2, column));
                    assert_eq!(value.to_bits(), bad.to_bits());
                }
                other => panic!("{other}"),
            }
            assert_eq!(design.rows(), 2, "the bad row is not kept");
            let mut r_factor = RFactor::new(3);
            let problem = r_factor.push(&x, y, weight).unwrap_err();
            assert!(matches!(problem, FitProblem::NotFinite { .. }), "{problem}");
            assert_eq!(r_factor.rows(), 0);
        }
    }
}

#[test]
fn negative_weights() {
    let mut design = design(&COLLINEAR);
    let problem = design.push(&[1.0, 2.0, 0.0], 5.0, -0.5).unwrap_err();
    let expected = FitProblem::NotFinite {
        row: 5,
        column: "weight".into(),
        value: -0.5,
    };
    assert_eq!(problem, expected);
    let mut r_factor = RFactor::new(3);
    assert!(r_factor.push(&[1.0, 2.0, 0.0], 5.0, -0.5).is_err());
    let other = r_factor.clone();
    assert!(r_factor.merge(&other, -1.0).is_err());
    assert!(r_factor.merge(&other, f64::NAN).is_err());
}

#[test]
fn rows_of_the_wrong_width() {
    let expected = FitProblem::Width {
        expected: 3,
        found: 2,
    };
    let mut design = design(&COLLINEAR);
    assert_eq!(design.push(&[1.0, 2.0], 5.0, 1.0).unwrap_err(), expected);
    assert_eq!(
        RFactor::new(3).push(&[1.0, 2.0], 5.0, 1.0).unwrap_err(),
        expected
    );
    assert_eq!(
        RFactor::new(3).merge(&RFactor::new(2), 1.0).unwrap_err(),
        expected
    );
}

#[track_caller]
fn assert_singular(result: Result<Fit, FitProblem>, expected: &str) {
    match result {
        Err(FitProblem::Singular { column, ratio }) => {
            assert_eq!(column, expected);
            assert!(ratio < 1e-13, "{ratio}");
        }
        other => panic!("expected a singular column '{expected}', got {other:?}"),
    }
}

#[test]
fn collinear_columns() {
    assert_singular(fit(&design(&COLLINEAR)), "twice the age");
}

#[test]
fn columns_of_zeros_and_of_one_value() {
    let zeros: Vec<_> = COLLINEAR
        .iter()
        .map(|(x, y)| ([1.0, 0.0, x[2]], *y))
        .collect();
    assert_singular(fit(&design(&zeros)), "age");
    let constant: Vec<_> = COLLINEAR
        .iter()
        .map(|(x, y)| ([1.0, x[1], 0.1], *y))
        .collect();
    assert_singular(fit(&design(&constant)), "twice the age");
}

/// As many rows as columns leave nothing to tell the errors by.
#[test]
fn an_exact_fit_has_no_residual_deviation() {
    let rows = [
        ([1.0, 1.0, 0.0], 5.9),
        ([1.0, 2.0, 0.0], 5.7),
        ([1.0, 3.0, 1.0], 5.4),
    ];
    let fit = fit(&design(&rows)).unwrap();
    assert_eq!((fit.rows, fit.coefficients.len()), (3, 3));
    assert_eq!(fit.residual_sd(), None);
}

#[test]
fn more_columns_than_rows() {
    let two = &COLLINEAR[..2];
    assert_singular(fit(&design(two)), "twice the age");
    let mut one = Design::new(["level", "age"]);
    one.push(&[1.0, 3.0], 5.0, 1.0).unwrap();
    assert_singular(fit(&one), "age");
}

/// 300 random designs of 20 to 3,000 rows in which one column is a random
/// mixture of the others plus nothing: all refused here, by name.
#[test]
fn random_singular_designs() {
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(20);
    for case in 0..300 {
        let (n, p) = (random.random_range(20..3000), random.random_range(3..9));
        let mixture: Vec<f64> = (0..p - 1).map(|_| random.random_range(-2.0..2.0)).collect();
        let mut design = Design::new((0..p).map(|j| format!("b{j}")));
        for _ in 0..n {
            let mut x = vec![1.0];
            x.extend((2..p).map(|_| random.random_range(-50.0..80.0)));
            x.push(x.iter().zip(&mixture).map(|(x, part)| x * part).sum());
            design.push(&x, random.random_range(4.0..7.0), 1.0).unwrap();
        }
        let result = fit(&design);
        assert!(
            matches!(&result, Err(FitProblem::Singular { column, .. }) if *column == format!("b{}", p - 1)),
            "case {case}, {n} rows of {p}: {result:?}"
        );
    }
}

/// Numbers so large or small that their squares leave the range of a double
/// are fitted or refused, never answered with something that is not finite.
#[test]
fn extreme_numbers() {
    for size in [1e-200, 1e-160, 1e-100, 1e100, 1e150, 1e160, 1e200, 1e300] {
        let rows: Vec<_> = COLLINEAR
            .iter()
            .map(|(x, y)| ([1.0, x[1] * size, (x[1] - 3.0).powi(2)], *y))
            .collect();
        if let Ok(fit) = fit(&design(&rows)) {
            assert!(fit.coefficients.iter().all(|b| b.is_finite()), "{size:e}");
            assert!(fit.residual_sum.is_finite(), "{size:e}");
            let slope = fit.coefficients[1] * size;
            assert!((-0.5..0.0).contains(&slope), "{size:e}: {slope}");
        }
    }
}
