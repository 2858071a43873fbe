//! Kaplan-Meier curves. The two arms of Freireich et al. 1963 (*Blood*
//! 21:699-716; times as printed in many textbooks, here from memory) and the two of `aml`
//! (Miller 1981, *Survival Analysis*; rows as printed by R's package survival).

use crate::support::tolerance::{SAME_NUMBER, assert_close, assert_near};
use wheelworth::statistics::survival_curve::{Life, SurvivalCurve};

/// Events, then censored ages.
pub fn lives(events: &[f64], censored: &[f64]) -> Vec<Life> {
    let life = |event| {
        move |exit: &f64| Life {
            entry: 0.0,
            exit: *exit,
            event,
            weight: 1.0,
        }
    };
    let ended = events.iter().map(life(1.0));
    ended.chain(censored.iter().map(life(0.0))).collect()
}

/// 6-MP arm, weeks in remission.
pub fn six_mp() -> Vec<Life> {
    lives(
        &[6.0, 6.0, 6.0, 7.0, 10.0, 13.0, 16.0, 22.0, 23.0],
        &[
            6.0, 9.0, 10.0, 11.0, 17.0, 19.0, 20.0, 25.0, 32.0, 32.0, 34.0, 35.0,
        ],
    )
}

/// Placebo arm.
pub fn placebo() -> Vec<Life> {
    lives(
        &[
            1.0, 1.0, 2.0, 2.0, 3.0, 4.0, 4.0, 5.0, 5.0, 8.0, 8.0, 8.0, 8.0, 11.0, 11.0, 12.0,
            12.0, 15.0, 17.0, 22.0, 23.0,
        ],
        &[],
    )
}

/// A value computed to six decimals.
const SIX_DECIMALS: f64 = 5.1e-7;

#[test]
fn the_six_mp_arm_has_its_table() {
    let curve = SurvivalCurve::of(&six_mp(), 0.95).unwrap();
    // t, n, d, S and Greenwood's error as in textbooks (from memory); log-log
    // limits computed with scipy 1.17, S in full by lifelines 0.30.3.
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
    }
    assert_eq!(curve.median(), Some(23.0));
    assert_eq!(curve.median_limits(), (Some(13.0), None));
    assert_eq!((curve.lives, curve.events, curve.last), (21.0, 9.0, 35.0));
}
