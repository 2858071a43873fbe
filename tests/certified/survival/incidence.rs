//! Shares ended by either of two causes.

use crate::support::tolerance::{SAME_NUMBER, TEN_DECIMALS, assert_close, assert_near};
use wheelworth::statistics::survival::incidence::Incidence;
use wheelworth::statistics::survival::kaplan_meier::{Life, SurvivalCurve};
use wheelworth::statistics::survival::risk_sets::Course;

fn course(exit: f64, events: [f64; 2], weight: f64) -> Course {
    Course {
        entry: 0.0,
        exit,
        events,
        weight,
    }
}

/// By hand: five lives end at 1 to 5 by cause 1, 2, 1, not at all, 1. S before
/// each is 1, 4/5, 3/5, 2/5, 2/5, so cause 1 gains 1/5, 1/5 and 2/5.
#[test]
fn five_lives() {
    let (one, two, none) = ([1.0, 0.0], [0.0, 1.0], [0.0; 2]);
    let ends = [(1.0, one), (2.0, two), (3.0, one), (4.0, none), (5.0, one)];
    let courses = ends.map(|(t, events)| course(t, events, 1.0));
    let found = Incidence::of(&courses).unwrap();
    for (t, expected) in [
        (0.9, [0.0, 0.0]),
        (1.0, [0.2, 0.0]),
        (2.0, [0.2, 0.2]),
        (3.5, [0.4, 0.2]),
        (5.0, [0.8, 0.2]),
    ] {
        for (share, expected) in found.share(t).iter().zip(expected) {
            assert_close(&format!("at {t}"), *share, expected, SAME_NUMBER);
        }
    }
    // Counting the other cause as censored says 7/15 at 3, too much.
    let lives = courses.map(|c| Life {
        entry: 0.0,
        exit: c.exit,
        event: c.events[0],
        weight: 1.0,
    });
    let alone = SurvivalCurve::of(&lives, 0.95).unwrap();
    assert_close("alone", 1.0 - alone.survival(3.0), 7.0 / 15.0, SAME_NUMBER);
}

/// Without censoring the shares are those counted.
#[test]
fn shares_without_censoring_are_counts() {
    let courses: Vec<Course> = (0..40)
        .map(|i| {
            let events = if i % 3 == 0 { [0.0, 1.0] } else { [1.0, 0.0] };
            course(f64::from(1 + (i * 7) % 23), events, 1.0)
        })
        .collect();
    let found = Incidence::of(&courses).unwrap();
    for rise in &found.rises {
        for cause in 0..2 {
            let f = rise.share[cause];
            let n = courses
                .iter()
                .filter(|c| c.exit <= rise.time && c.events[cause] == 1.0);
            assert_close("share", f, n.count() as f64 / 40.0, SAME_NUMBER);
        }
    }
}

/// With one cause only, the share is 1 - S.
#[test]
fn one_cause_alone_is_the_survival_curve() {
    let ends = [
        (2.0, 1.0),
        (3.0, 0.0),
        (3.0, 1.0),
        (5.0, 1.0),
        (6.0, 0.0),
        (7.0, 1.0),
        (9.0, 0.0),
    ];
    let courses = ends.map(|(t, event)| course(t, [event, 0.0], 1.0));
    let lives = ends.map(|(exit, event)| Life {
        entry: 0.0,
        exit,
        event,
        weight: 1.0,
    });
    let (found, curve) = (
        Incidence::of(&courses).unwrap(),
        SurvivalCurve::of(&lives, 0.95).unwrap(),
    );
    for (rise, step) in found.rises.iter().zip(&curve.steps) {
        assert_close("share", rise.share[0], 1.0 - step.survival, SAME_NUMBER);
    }
}

/// Constant hazards a and b: `F_a(t) = a / (a + b) (1 - exp(-(a + b) t))`. A
/// population that follows them exactly, seen in steps of a 1000th of a day, gives
/// the same at the end of each step.
#[test]
fn constant_hazards() {
    let (a, b, width) = (0.02, 0.01, 0.001);
    let steps = 40_000;
    let courses: Vec<Course> = (1..=steps)
        .map(|i| {
            let t = f64::from(i) * width;
            let start = (-(a + b) * (t - width)).exp();
            let weight = start - (-(a + b) * t).exp();
            course(t, [a / (a + b), b / (a + b)], weight)
        })
        .chain([course(41.0, [0.0; 2], (-(a + b) * 40.0_f64).exp())])
        .collect();
    let found = Incidence::of(&courses).unwrap();
    let closed = a / (a + b) * -(-(a + b) * 30.0_f64).exp_m1();
    assert_near("closed form", closed, 0.395_620_226_8, TEN_DECIMALS);
    // The sum of 40,000 shares rounds to about 1e-12.
    assert_near("sum", found.share(30.0 + width / 2.0)[0], closed, 1e-11);

    let lives: Vec<Life> = courses
        .iter()
        .map(|c| Life {
            entry: 0.0,
            exit: c.exit,
            event: c.events[0],
            weight: c.weight,
        })
        .collect();
    let alone = SurvivalCurve::of(&lives, 0.95).unwrap();
    let cause_alone = 1.0 - alone.survival(30.0 + width / 2.0);
    // 1 - exp(-0.6). In one step both causes share the lives, so the exponent is
    // low by a part `b width / 2` = 5e-6: 0.6 exp(-0.6) 5e-6 = 1.6e-6.
    assert_near("alone", cause_alone, 0.451_188_364_0, 2e-6);
}
