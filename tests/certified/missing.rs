//! Unknown features: the completion against regression and closed forms.

use crate::support::tolerance::{SAME_NUMBER, assert_all_close, assert_close};
use rand::{Rng, SeedableRng};
use wheelworth::statistics::linear::missing::{Completions, Moments};
use wheelworth::statistics::{Design, Fit};

/// The symmetric solve raises the diagonal by 1e-9 of itself, so slopes agree
/// to about that times the condition number of the covariance (some tens here).
const LIFTED: f64 = 1e-7;

/// Three entries, each a group of its own that may be unknown.
fn moments(prior_mean: [f64; 3], prior_covariance: [f64; 9], prior_rows: f64) -> Moments {
    Moments::new(
        vec![0..1, 1..2, 2..3],
        prior_mean.to_vec(),
        prior_covariance.to_vec(),
        prior_rows,
    )
}

const ALL: u32 = 0b111;

/// With nothing but a prior the answer is the conditional normal distribution:
/// one known entry, `E[a | b] = ma + rho sa / sb (b - mb)`, variance
/// `sa^2 (1 - rho^2)`.
#[test]
fn bivariate_normal_in_closed_form() {
    let (sa, sb, rho) = (0.3, 2.0, -0.6);
    let m = Moments::new(
        vec![0..1, 1..2],
        vec![5.0, 8.0],
        vec![sa * sa, rho * sa * sb, rho * sa * sb, sb * sb],
        10.0,
    );
    let completion = m.completion(0b10);
    let mut row = [0.0, 11.0];
    completion.fill(&mut row);
    assert_close("mean", row[0], 5.0 + rho * sa / sb * 3.0, LIFTED);
    let left = completion.variance(&[2.0, 7.0]);
    assert_close(
        "variance of 2a",
        left,
        4.0 * sa * sa * (1.0 - rho * rho),
        LIFTED,
    );
    assert_close("the known entry stays", row[1], 11.0, SAME_NUMBER);
}

/// Two known entries. With correlations r12, r13, r23 and unit deviations the
/// slopes of 1 on 2 and 3 are `(r12 - r13 r23) / (1 - r23^2)` and
/// `(r13 - r12 r23) / (1 - r23^2)`, and the variance left is `1 - R^2` with
/// `R^2 = (r12^2 + r13^2 - 2 r12 r13 r23) / (1 - r23^2)`.
#[test]
fn trivariate_normal_in_closed_form() {
    let (r12, r13, r23) = (0.5, -0.3, 0.2);
    let m = moments([0.0; 3], [1.0, r12, r13, r12, 1.0, r23, r13, r23, 1.0], 4.0);
    let completion = m.completion(0b110);
    let mut row = [f64::NAN, 1.4, -0.8];
    completion.fill(&mut row);
    let rest = 1.0 - r23 * r23;
    let mean = ((r12 - r13 * r23) * 1.4 + (r13 - r12 * r23) * -0.8) / rest;
    assert_close("mean", row[0], mean, LIFTED);
    let explained = (r12 * r12 + r13 * r13 - 2.0 * r12 * r13 * r23) / rest;
    assert_close(
        "variance",
        completion.variance(&[1.0, 9.0, 9.0]),
        1.0 - explained,
        LIFTED,
    );
}

/// With complete rows and a prior worth next to nothing, completion is the
/// least squares regression of the unknown entry on the known ones, and the
/// variance left is the residual sum over n.
#[test]
fn complete_rows_give_the_regression() {
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(31);
    let mut m = moments(
        [0.0; 3],
        [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0],
        1e-9,
    );
    let mut design = Design::new(["level", "b", "c"]);
    for _ in 0..60 {
        let b = random.random_range(0.0..20.0);
        let c = 0.1 * b + random.random_range(1.0..5.0);
        let a = 6.0 - 0.08 * b + 0.25 * c + random.random_range(-0.4..0.4);
        m.push(&[a, b, c], ALL, 1.0);
        design.push(&[1.0, b, c], a, 1.0).unwrap();
    }
    let fit = Fit::of(&design.r_factor().unwrap(), design.names()).unwrap();
    let completion = m.completion(0b110);
    for (b, c) in [(0.0, 1.0), (7.5, 4.0), (30.0, 2.0)] {
        let mut row = [0.0, b, c];
        completion.fill(&mut row);
        assert_close("regression", row[0], fit.predict(&[1.0, b, c]), LIFTED);
    }
    let left = completion.variance(&[1.0, 0.0, 0.0]);
    assert_close("variance left", left, fit.residual_sum / 60.0, LIFTED);
}

/// A small table with gaps and a prior worth two rows. Expected values computed
/// with numpy 2.4.6: means, pairwise covariances centred at the means of the
/// rows that know both, `linalg.solve`.
#[test]
fn table_with_gaps() {
    let mut m = moments(
        [3.0, 5.0, 2.0],
        [4.0, 3.0, 1.0, 3.0, 9.0, 2.0, 1.0, 2.0, 2.0],
        2.0,
    );
    // Entries that are unknown hold a value that must not be read.
    for (row, known) in [
        ([1.0, 2.0, 0.5], ALL),
        ([2.0, 999.0, 1.5], 0b101),
        ([3.0, 5.5, 999.0], 0b011),
        ([4.0, 7.5, 3.0], ALL),
        ([5.0, 9.0, 2.5], ALL),
        ([6.5, 999.0, 4.0], 0b101),
        ([7.0, 13.0, 4.5], ALL),
    ] {
        m.push(&row, known, 1.0);
    }
    assert_all_close(
        "means",
        &m.means(),
        &[3.833_333_333_333_333_5, 6.714_285_714_285_714, 2.5],
        SAME_NUMBER,
    );
    let completions = Completions::of_all(&m);
    let two_known = completions.known(0b101).unwrap();
    let mut row = [4.5, 0.0, 2.2];
    two_known.fill(&mut row);
    assert_close("one unknown", row[1], 6.589_900_771_063_805, LIFTED);
    let left = two_known.variance(&[0.0, 1.0, 0.0]);
    assert_close("its variance", left, 2.129_288_138_000_305_3, LIFTED);
    let one_known = completions.known(0b001).unwrap();
    let mut row = [4.5, 0.0, 0.0];
    one_known.fill(&mut row);
    let expected = [4.5, 7.667_556_742_323_097_5, 2.882_710_280_373_831_6];
    assert_all_close("two unknown", &row, &expected, LIFTED);
    let left = one_known.variance(&[0.0, 0.7, -0.3]);
    assert_close(
        "variance of 0.7 b - 0.3 c",
        left,
        1.378_584_258_177_570_2,
        LIFTED,
    );
}

#[test]
fn nothing_unknown_changes_nothing() {
    let m = moments(
        [3.0, 5.0, 2.0],
        [4.0, 3.0, 1.0, 3.0, 9.0, 2.0, 1.0, 2.0, 2.0],
        2.0,
    );
    let completion = m.completion(ALL);
    let mut row = [1.0, 2.0, 3.0];
    completion.fill(&mut row);
    assert_eq!(row, [1.0, 2.0, 3.0]);
    assert_eq!(completion.variance(&[1.0, 1.0, 1.0]), 0.0);
}
