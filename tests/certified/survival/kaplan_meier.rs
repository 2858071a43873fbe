//! Kaplan-Meier curves: Freireich's two arms, `aml` (Miller 1981, *Survival
//! Analysis*, here as listed with R's package survival), the lung patients, and
//! five lives found late.

use super::{leukemia, life, lung};
use crate::support::tolerance::{SAME_NUMBER, SIX_DECIMALS, assert_close, assert_near};
use wheelworth::statistics::survival::kaplan_meier::{Life, SurvivalCurve};

/// `survfit` prints survival to three digits and errors to four decimals.
const PRINTED: f64 = 5.1e-4;
const PRINTED_ERROR: f64 = 5.1e-5;

fn arm(placebo: f64) -> SurvivalCurve {
    let rows = leukemia().into_iter().filter(|row| row[2] == placebo);
    let lives: Vec<Life> = rows.map(|row| life(&row)).collect();
    assert_eq!(lives.len(), 21);
    SurvivalCurve::of(&lives, 0.95).unwrap()
}

#[test]
fn the_six_mp_arm_has_its_table() {
    let curve = arm(0.0);
    // t, n, d; S in full by lifelines 0.30.3; Greenwood's error as in textbooks
    // (from memory); log-log limits computed with scipy.
    let table = [
        (
            6.0,
            21.0,
            3.0,
            0.857142857142857,
            0.076360,
            0.619718,
            0.951552,
        ),
        (
            7.0,
            17.0,
            1.0,
            0.8067226890756299,
            0.086935,
            0.563147,
            0.922809,
        ),
        (
            10.0,
            15.0,
            1.0,
            0.7529411764705878,
            0.096350,
            0.503200,
            0.889362,
        ),
        (
            13.0,
            12.0,
            1.0,
            0.6901960784313722,
            0.106815,
            0.431610,
            0.849066,
        ),
        (
            16.0,
            11.0,
            1.0,
            0.6274509803921566,
            0.114054,
            0.367511,
            0.804912,
        ),
        (
            22.0,
            7.0,
            1.0,
            0.5378151260504199,
            0.128234,
            0.267779,
            0.746791,
        ),
        (
            23.0,
            6.0,
            1.0,
            0.44817927170868327,
            0.134591,
            0.188052,
            0.680143,
        ),
    ];
    assert_eq!(curve.steps.len(), table.len());
    for (step, (t, n, d, s, error, low, high)) in curve.steps.iter().zip(table) {
        assert_eq!((step.time, step.at_risk, step.events), (t, n, d));
        assert_close("S", step.survival, s, SAME_NUMBER);
        assert_near("Greenwood", step.standard_error, error, SIX_DECIMALS);
        assert_near("low", step.low, low, SIX_DECIMALS);
        assert_near("high", step.high, high, SIX_DECIMALS);
        assert_eq!(curve.survival(t), step.survival);
    }
    assert_eq!(curve.survival(5.9), 1.0);
    assert_eq!((curve.lives, curve.events, curve.last), (21.0, 9.0, 35.0));
}

/// Medians (Klein & Moeschberger, from memory) and their log-log limits and
/// means by lifelines 0.30.3; the mean to 23 weeks computed with scipy.
#[test]
fn medians_and_restricted_means_of_both_arms() {
    let treated = arm(0.0);
    assert_eq!(treated.median(), Some(23.0));
    assert_eq!(treated.median_limits(), (Some(13.0), None));
    assert_near(
        "to 23",
        treated.restricted_mean(23.0),
        17.9092436975,
        5.1e-11,
    );
    let all = treated.restricted_mean(35.0);
    assert_close("to 35", all, 23.287394957983185, SAME_NUMBER);

    let placebo = arm(1.0);
    assert_eq!(placebo.median(), Some(8.0));
    assert_eq!(placebo.median_limits(), (Some(4.0), Some(11.0)));
    let all = placebo.restricted_mean(23.0);
    assert_close("all ended: the mean", all, 182.0 / 21.0, SAME_NUMBER);
}

/// Without censoring S is a plain share and its error the binomial one:
/// 8/21 at 8 weeks, .105971 (computed with scipy).
#[test]
fn the_placebo_arm_is_a_share() {
    let curve = arm(1.0);
    for step in &curve.steps {
        let left = step.at_risk - step.events;
        let share = left / 21.0;
        assert_close("S", step.survival, share, SAME_NUMBER);
        let error = (share * (1.0 - share) / 21.0).sqrt();
        assert_near("binomial", step.standard_error, error, SAME_NUMBER);
    }
    let eight = &curve.steps[5];
    assert_near("at 8", eight.survival, 8.0 / 21.0, SAME_NUMBER);
    assert_near("at 8", eight.standard_error, 0.105971, SIX_DECIMALS);
    // The end, where all is sold: the upper limit stays as it was.
    let [.., before, last] = curve.steps.as_slice() else {
        panic!("two steps");
    };
    assert_eq!(
        (last.survival, last.standard_error, last.low),
        (0.0, 0.0, 0.0)
    );
    assert_eq!(last.high, before.high);
}

fn aml(events: &[f64], censored: &[f64]) -> SurvivalCurve {
    let ended = events.iter().map(|t| life(&[*t, 1.0]));
    let open = censored.iter().map(|t| life(&[*t, 0.0]));
    SurvivalCurve::of(&ended.chain(open).collect::<Vec<_>>(), 0.95).unwrap()
}

/// As printed by `survfit` (package survival 3.8-11, tests/doaml.Rout.save), whose
/// limits are of another kind and not compared; medians and their log-log limits by
/// lifelines 0.30.3.
#[test]
fn aml_as_printed() {
    let kept = aml(
        &[9.0, 13.0, 18.0, 23.0, 31.0, 34.0, 48.0],
        &[13.0, 28.0, 45.0, 161.0],
    );
    let printed = [
        (9.0, 0.909, 0.0867),
        (13.0, 0.818, 0.1163),
        (18.0, 0.716, 0.1397),
        (23.0, 0.614, 0.1526),
        (31.0, 0.491, 0.1642),
        (34.0, 0.368, 0.1627),
        (48.0, 0.184, 0.1535),
    ];
    assert_eq!(kept.steps.len(), printed.len());
    for (step, (t, s, error)) in kept.steps.iter().zip(printed) {
        assert_eq!(step.time, t);
        assert_near("S", step.survival, s, PRINTED);
        assert_near("error", step.standard_error, error, PRINTED_ERROR);
    }
    assert_eq!(kept.median(), Some(31.0));
    assert_eq!(kept.median_limits(), (Some(13.0), None));
    assert_close(
        "mean",
        kept.restricted_mean(161.0),
        52.645454545454555,
        SAME_NUMBER,
    );

    let not = aml(
        &[5.0, 5.0, 8.0, 8.0, 12.0, 23.0, 27.0, 30.0, 33.0, 43.0, 45.0],
        &[16.0],
    );
    assert_eq!(not.median(), Some(23.0));
    assert_eq!(not.median_limits(), (Some(5.0), Some(33.0)));
    assert_close(
        "mean",
        not.restricted_mean(45.0),
        22.70833333333333,
        SAME_NUMBER,
    );
    assert_close("S(43)", not.survival(43.0), 0.0972222222222222, SAME_NUMBER);
}

/// By sex: R survival 3.5-3 with `conf.type = "log-log"`. All: lifelines 0.30.3.
#[test]
fn lung_medians() {
    let rows = lung(&["sex"]);
    let of = |sex: Option<f64>| {
        let some = rows
            .iter()
            .filter(|row| sex.is_none_or(|sex| row[2] == sex));
        SurvivalCurve::of(&some.map(|row| life(row)).collect::<Vec<_>>(), 0.95).unwrap()
    };
    for (sex, n, median, low, high, mean) in [
        (None, 228.0, 310.0, 284.0, 361.0, 376.27474614784944),
        (Some(1.0), 138.0, 270.0, 210.0, 306.0, 326.08410966887436),
        (Some(2.0), 90.0, 426.0, 345.0, 524.0, 455.90408751167325),
    ] {
        let curve = of(sex);
        assert_eq!(curve.lives, n);
        assert_eq!(curve.median(), Some(median));
        assert_eq!(curve.median_limits(), (Some(low), Some(high)));
        assert_close("mean", curve.restricted_mean(curve.last), mean, SAME_NUMBER);
    }
    assert_close(
        "S(212)",
        of(None).survival(212.0),
        0.6468966539370161,
        SAME_NUMBER,
    );
}

/// By hand.
#[test]
fn five_lives_two_of_them_found_late() {
    let rows = [
        (0.0, 3.0, 1.0),
        (0.0, 5.0, 0.0),
        (2.0, 4.0, 1.0),
        (4.0, 6.0, 1.0),
        (1.0, 6.0, 0.0),
    ];
    let lives = rows.map(|(entry, exit, event)| Life {
        entry,
        exit,
        event,
        weight: 1.0,
    });
    let curve = SurvivalCurve::of(&lives, 0.95).unwrap();
    let found: Vec<_> = curve.steps.iter().map(|s| (s.time, s.at_risk)).collect();
    // At 3 all but the fourth; at 4 the second, third and fifth, for the
    // fourth is found at 4 and counts after it; at 6 the fourth and fifth.
    assert_eq!(found, [(3.0, 4.0), (4.0, 3.0), (6.0, 2.0)]);
    for (t, share) in [(3.0, 3.0 / 4.0), (4.0, 1.0 / 2.0), (6.0, 1.0 / 4.0)] {
        assert_close("S", curve.survival(t), share, SAME_NUMBER);
    }
    // Taken as seen from the start, the shares are other ones.
    let naive = SurvivalCurve::of(&lives.map(|l| Life { entry: 0.0, ..l }), 0.95).unwrap();
    for (t, share) in [(3.0, 4.0 / 5.0), (4.0, 3.0 / 5.0), (6.0, 3.0 / 10.0)] {
        assert_close("naive S", naive.survival(t), share, SAME_NUMBER);
    }
}
