//! Ratio studies, against the examples of the standard itself and one of a tax office.
//!
//! Tables 1-1, 1-4, D-1 and D-2: IAAO, *Standard on Ratio Studies*, April 2013,
//! appraised value and sale price. Texas: the sample calculation of tables five and
//! six in the Property Value Study of the Texas Comptroller, 2000. 'Printed' are
//! their own figures, held to half a unit of their last digit; the others were
//! computed from the same numbers with numpy 2.4.6, scipy 1.17.1 (`spearmanr`,
//! `binom.cdf`) and statsmodels 0.15.0 (`OLS`, `conf_int`), to eight decimals.

use super::ratio_tables::{
    D_ONE, D_TWO, Figures, ONE_FOUR, ONE_ONE, TABLE_1_4, TABLE_D_1, TABLE_D_2, TEXAN, TEXAS,
};
use super::scores::PARCELS;
use crate::support::tolerance::{EIGHT_DECIMALS, assert_near};
use wheelworth::statistics::evaluation::ratio_study::{Prb, RatioStudy};

fn pairs(flat: &[f64]) -> Vec<(f64, f64)> {
    flat.chunks_exact(2).map(|p| (p[0], p[1])).collect()
}

fn study(pairs: &[(f64, f64)]) -> (RatioStudy, Prb) {
    let study = RatioStudy::of(pairs, 0.95).unwrap();
    let prb = study.prb.unwrap();
    (study, prb)
}

#[test]
fn printed_figures_of_the_standard() {
    for (name, pairs, cod, (prd, last), prb) in [
        ("1-1", PARCELS.to_vec(), 29.8, (0.98, 0.01), 0.232),
        ("1-4", pairs(&TABLE_1_4), 14.5, (0.98, 0.01), 0.135),
        ("D-1", pairs(&TABLE_D_1), 7.5, (1.027, 0.001), -0.120),
        ("D-2", pairs(&TABLE_D_2), 7.8, (1.056, 0.001), -0.011),
    ] {
        let (found, bias) = study(&pairs);
        assert_near(&format!("{name} COD"), found.cod, cod, 0.05);
        assert_near(&format!("{name} PRD"), found.prd, prd, last / 2.0);
        assert_near(&format!("{name} PRB"), bias.slope, prb, 0.0005);
    }
}

/// The tax office works with ratios of two decimals; the middle one is .81, their
/// distances from it add up to 162 hundredths, 6.48 on average, and 8.0 is the COD.
#[test]
fn printed_figures_of_a_tax_office() {
    let hundredths: Vec<(f64, f64)> = pairs(&TEXAS)
        .iter()
        .map(|(appraised, price)| ((100.0 * appraised / price).round(), 100.0))
        .collect();
    let found = RatioStudy::of(&hundredths, 0.95).unwrap();
    assert_eq!(found.median, 0.81);
    assert_near("COD", found.cod, 8.0, 1e-9);
    let average = found.cod * found.median;
    assert_near("average distance", average, 6.48, 1e-9);
    assert_near("sum of distances", average * 25.0, 162.0, 1e-9);
    let (unrounded, _) = study(&pairs(&TEXAS));
    assert_near("COD of the full ratios", unrounded.cod, 8.0, 0.05);
}

type Recomputed<'a> = (&'a str, Vec<(f64, f64)>, Figures);

#[test]
fn figures_recomputed_with_scipy_and_statsmodels() {
    let tables: [Recomputed; 5] = [
        ("1-1", PARCELS.to_vec(), ONE_ONE),
        ("1-4", pairs(&TABLE_1_4), ONE_FOUR),
        ("D-1", pairs(&TABLE_D_1), D_ONE),
        ("D-2", pairs(&TABLE_D_2), D_TWO),
        ("Texas", pairs(&TEXAS), TEXAN),
    ];
    for (name, pairs, expected) in tables {
        let (found, bias) = study(&pairs);
        assert_eq!(found.sales, pairs.len());
        let (low, high) = found.median_interval.unwrap();
        let values = [
            found.median,
            found.mean,
            found.weighted_mean,
            found.cod / 100.0,
            found.prd,
            bias.slope,
            bias.standard_error,
            bias.interval.0,
            bias.interval.1,
            found.spearman.unwrap(),
            low,
            high,
        ];
        for (i, (value, expected)) in values.iter().zip(expected).enumerate() {
            assert_near(&format!("{name} [{i}]"), *value, expected, EIGHT_DECIMALS);
        }
    }
}

/// Which order statistics hold the median: critical values of the two-sided sign
/// test, plus one (Conover, *Practical Nonparametric Statistics*, from memory for
/// n up to 25; all recomputed with scipy's `binom.cdf`).
#[test]
fn order_statistics_that_hold_the_median() {
    for (n, at_95, at_80) in [
        (5, 0, 1),
        (6, 1, 1),
        (8, 1, 2),
        (9, 2, 3),
        (12, 3, 4),
        (15, 4, 5),
        (17, 5, 6),
        (20, 6, 7),
        (25, 8, 9),
        (100, 40, 44),
        (1000, 469, 480),
        (2000, 956, 971),
        (5000, 2431, 2455),
    ] {
        // The ratios are 1, 2, 3 and so on, in no order.
        let pairs: Vec<(f64, f64)> = (0..n)
            .map(|i| f64::from(i * 7 % n + 1))
            .map(|r| (r, 1.0))
            .collect();
        for (confidence, j) in [(0.95, at_95), (0.8, at_80)] {
            let found = RatioStudy::of(&pairs, confidence).unwrap().median_interval;
            let expected = (j > 0).then(|| (f64::from(j), f64::from(n + 1 - j)));
            assert_eq!(found, expected, "{n} ratios at {confidence}");
        }
    }
}

#[test]
fn what_too_few_or_equal_ratios_cannot_say() {
    assert_eq!(RatioStudy::of(&[], 0.95), None);
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(RatioStudy::of(&[(1.0, 1.0), (bad, 1.0)], 0.95), None);
        assert_eq!(RatioStudy::of(&[(1.0, 1.0), (1.0, bad)], 0.95), None);
    }
    let two = RatioStudy::of(&[(90.0, 100.0), (330.0, 300.0)], 0.95).unwrap();
    assert_eq!(
        (two.median_interval, two.prb, two.spearman),
        (None, None, None)
    );
    assert_near("COD of two", two.cod, 10.0, 1e-9);
    let alike = RatioStudy::of(&[(90.0, 100.0); 9], 0.95).unwrap();
    assert_eq!((alike.cod, alike.prb, alike.spearman), (0.0, None, None));
    assert_eq!(alike.median_interval, Some((0.9, 0.9)));
}

/// Ratios that are all 0.9 on paper differ by roundings; that is no order.
#[test]
fn roundings_are_ties() {
    let pairs: Vec<(f64, f64)> = (1..40)
        .map(|i| f64::from(i) * 7.3)
        .map(|a| (0.9 * a, a))
        .collect();
    let (found, bias) = study(&pairs);
    assert_eq!(found.spearman, None);
    assert_near("PRB", bias.slope, 0.0, 1e-14);
}
