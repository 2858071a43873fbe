//! Laws of the duration statistics, on random lives and episodes.

use crate::support::tolerance::{SAME_NUMBER, assert_all_close, assert_close, assert_near};
use proptest::prelude::*;
use wheelworth::statistics::DurationProblem;
use wheelworth::statistics::survival::incidence::Incidence;
use wheelworth::statistics::survival::kaplan_meier::{Life, SurvivalCurve};
use wheelworth::statistics::survival::risk_sets::Course;
use wheelworth::statistics::survival::weibull::{Episode, NormalPrior, WeibullFit, WeibullModel};

/// Two searches for one top end where the slope is some roundings of sums over
/// the rows; the curvature of random rows is up to about 1e4 flatter one way.
const SAME_TOP: f64 = 1e-7;

/// Whole days, so that there are ties; some found late, some of no length.
fn lives() -> impl Strategy<Value = Vec<Life>> {
    let share = prop_oneof![Just(0.0), Just(1.0), 0.0..1.0_f64];
    let life = (0..20_u32, 0..60_u32, share, 1..4_u32, any::<bool>());
    let life = life.prop_map(|(entry, exit, event, weight, late)| Life {
        entry: if late { f64::from(entry) } else { 0.0 },
        exit: f64::from(exit),
        event,
        weight: f64::from(weight),
    });
    prop::collection::vec(life, 1..60)
}

fn seen(lives: &[Life]) -> bool {
    lives.iter().any(|life| life.exit > life.entry)
}

fn curve(lives: &[Life]) -> SurvivalCurve {
    SurvivalCurve::of(lives, 0.9).unwrap()
}

fn assert_same_curve(found: &SurvivalCurve, expected: &SurvivalCurve) {
    assert_eq!(found.steps.len(), expected.steps.len());
    for (f, e) in found.steps.iter().zip(&expected.steps) {
        let numbers = |s: &wheelworth::statistics::survival::kaplan_meier::Step| {
            [
                s.time,
                s.at_risk,
                s.events,
                s.survival,
                s.standard_error,
                s.low,
                s.high,
            ]
        };
        assert_all_close("step", &numbers(f), &numbers(e), 1e-9);
    }
}

proptest! {
    #[test]
    fn survival_never_rises_and_its_limits_hold_it(lives in lives()) {
        prop_assume!(seen(&lives));
        let curve = curve(&lives);
        let mut before = 1.0;
        for step in &curve.steps {
            prop_assert!(step.survival <= before && step.survival >= 0.0);
            prop_assert!(0.0 <= step.low && step.low <= step.survival);
            prop_assert!(step.survival <= step.high && step.high <= 1.0);
            prop_assert!(step.events > 0.0 && step.events <= step.at_risk * (1.0 + 1e-12));
            before = step.survival;
        }
        let whole = curve.restricted_mean(curve.last);
        prop_assert!((0.0..=curve.last).contains(&whole));
    }

    #[test]
    fn order_does_not_matter_and_a_weight_of_two_is_two_lives(lives in lives()) {
        prop_assume!(seen(&lives));
        let mut turned = lives.clone();
        turned.reverse();
        assert_same_curve(&curve(&turned), &curve(&lives));
        let doubled: Vec<Life> = lives.iter().map(|l| Life { weight: 2.0 * l.weight, ..*l }).collect();
        let twice = [lives.clone(), lives].concat();
        assert_same_curve(&curve(&doubled), &curve(&twice));
    }

    #[test]
    fn a_life_cut_in_two_is_the_same_life(lives in lives(), part in 0.1..0.9_f64) {
        prop_assume!(seen(&lives));
        let cut: Vec<Life> = lives.iter().flat_map(|l| {
            let at = l.entry + (l.exit - l.entry).max(0.0) * part;
            [Life { exit: at, event: 0.0, ..*l }, Life { entry: at, ..*l }]
        }).collect();
        assert_same_curve(&curve(&cut), &curve(&lives));
    }

    #[test]
    fn what_ended_and_what_did_not_add_up_to_one(lives in lives(), share in 0.0..1.0_f64) {
        prop_assume!(seen(&lives));
        let courses: Vec<Course> = lives.iter().map(|l| Course {
            entry: l.entry,
            exit: l.exit,
            events: [l.event * share, l.event * (1.0 - share)],
            weight: l.weight,
        }).collect();
        let found = Incidence::of(&courses).unwrap();
        let curve = curve(&lives);
        for rise in &found.rises {
            let all = rise.share[0] + rise.share[1] + rise.survival;
            assert_close("sum", all, 1.0, SAME_NUMBER);
            assert_close("survival", rise.survival, curve.survival(rise.time), 1e-9);
        }
    }
}

/// An intercept and two columns, one of them far from 0; at least 6 events.
fn episodes() -> impl Strategy<Value = Vec<Episode>> {
    let episode = (
        -1.0..1.0_f64,
        2000.0..2020.0_f64,
        0.0..5.0_f64,
        0.1..40.0_f64,
        0.0..1.0_f64,
        0.5..2.0_f64,
    );
    let episode = episode.prop_map(|(a, b, entry, length, event, weight)| Episode {
        x: vec![1.0, a, b],
        entry,
        exit: entry + length,
        event: if event < 0.3 {
            0.0
        } else if event < 0.9 {
            1.0
        } else {
            event
        },
        weight,
    });
    prop::collection::vec(episode, 25..60)
}

fn model() -> WeibullModel {
    let names = ["intercept", "a", "year"].map(str::to_owned).to_vec();
    let priors = vec![
        NormalPrior::FLAT,
        NormalPrior::new(0.2, 0.5),
        NormalPrior::new(0.0, 0.1),
    ];
    WeibullModel::new(names, priors, NormalPrior::new(0.0, 0.3))
}

fn assert_same_fit(found: &WeibullFit, expected: &WeibullFit) {
    assert_all_close(
        "coefficients",
        &found.coefficients,
        &expected.coefficients,
        SAME_TOP,
    );
    assert_close("ln s", found.ln_scale, expected.ln_scale, SAME_TOP);
    assert_all_close(
        "errors",
        &found.standard_errors(),
        &expected.standard_errors(),
        SAME_TOP,
    );
    assert_close(
        "log likelihood",
        found.log_likelihood,
        expected.log_likelihood,
        1e-10,
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_slope_is_that_of_the_log_likelihood(rows in episodes(), g in -0.5..0.5_f64, s in -0.5..0.5_f64) {
        let at = [3.0, g, 1e-4, s];
        let value = |at: &[f64]| model().log_likelihood(&rows, &at[..3], at[3]).unwrap();
        let (_, slope) = value(&at);
        for j in 0..4 {
            let h = if j == 2 { 1e-8 } else { 1e-5 };
            let (mut up, mut down) = (at, at);
            up[j] += h;
            down[j] -= h;
            let found = (value(&up).0 - value(&down).0) / (2.0 * h);
            // A central difference: a part of about h^2 and rounding over h.
            let size = slope[j].abs().max(if j == 2 { 1e5 } else { 100.0 });
            assert_near("slope", found, slope[j], 1e-5 * size);
        }
    }

    #[test]
    fn a_cut_episode_an_order_and_a_weight_change_no_fit(rows in episodes(), part in 0.1..0.9_f64) {
        let fit = model().fit(&rows).unwrap();
        let cut: Vec<Episode> = rows.iter().rev().flat_map(|e| {
            let at = e.entry + (e.exit - e.entry) * part;
            [Episode { exit: at, event: 0.0, ..e.clone() }, Episode { entry: at, ..e.clone() }]
        }).collect();
        assert_same_fit(&model().fit(&cut).unwrap(), &fit);
        let halves: Vec<Episode> = rows.iter().flat_map(|e| {
            let half = Episode { weight: e.weight / 2.0, ..e.clone() };
            [half.clone(), half]
        }).collect();
        assert_same_fit(&model().fit(&halves).unwrap(), &fit);
    }

    #[test]
    fn longer_days_move_the_intercept_alone(rows in episodes(), factor in 0.01..100.0_f64) {
        let fit = model().fit(&rows).unwrap();
        let longer: Vec<Episode> = rows.iter().map(|e| Episode {
            entry: e.entry * factor,
            exit: e.exit * factor,
            ..e.clone()
        }).collect();
        let mut moved = model().fit(&longer).unwrap();
        moved.coefficients[0] -= factor.ln();
        // The density of times is thinner by the factor, once an event.
        moved.log_likelihood += fit.events * factor.ln();
        assert_same_fit(&moved, &fit);
    }

    #[test]
    fn a_bound_holds_and_is_told(rows in episodes(), bound in 0.5..1.5_f64) {
        let mut bounded = model();
        bounded.lower[1] = Some(bound);
        let (free, fit) = (model().fit(&rows).unwrap(), bounded.fit(&rows).unwrap());
        if free.coefficients[1] >= bound {
            prop_assert!(fit.bounded.is_empty());
            assert_same_fit(&fit, &free);
        } else {
            prop_assert_eq!(&fit.bounded, &vec![1]);
            prop_assert_eq!(fit.coefficients[1], bound);
            prop_assert_eq!(fit.standard_errors()[1], 0.0);
            prop_assert!(fit.log_posterior <= free.log_posterior + 1e-9);
            // The same as a fit with that coefficient held, but for its prior.
            let mut held = model();
            held.priors[1] = NormalPrior::held(bound);
            assert_same_fit(&fit, &held.fit(&rows).unwrap());
        }
    }

    #[test]
    fn proper_priors_keep_any_rows_finite(
        rows in prop::collection::vec((prop::bool::ANY, 0.0..1e4_f64, prop::bool::ANY), 0..8),
        sd in 0.1..3.0_f64,
    ) {
        let rows: Vec<Episode> = rows.into_iter().map(|(one, exit, event)| Episode {
            x: vec![1.0, f64::from(u8::from(one))],
            entry: 0.0,
            exit,
            event: f64::from(u8::from(event && exit > 0.0)),
            weight: 1.0,
        }).collect();
        let names = ["intercept", "one"].map(str::to_owned).to_vec();
        let priors = vec![NormalPrior::new(3.4, sd), NormalPrior::new(0.0, sd)];
        let model = WeibullModel::new(names, priors, NormalPrior::new(0.0, 0.3));
        let fit = model.fit(&rows).unwrap();
        prop_assert!(fit.coefficients.iter().all(|g| g.is_finite()));
        prop_assert!(fit.standard_errors().iter().all(|e| *e > 0.0 && e.is_finite()));
        prop_assert!(fit.log_posterior.is_finite());
        if rows.iter().all(|row| row.exit == 0.0) {
            assert_all_close("the prior", &fit.coefficients, &[3.4, 0.0], SAME_NUMBER);
            assert_all_close("the prior", &fit.standard_errors(), &[sd, sd, 0.3], SAME_NUMBER);
        }
    }
}

/// What plain likelihood cannot settle is named, and priors settle it.
#[test]
fn rows_that_settle_nothing_are_refused() {
    let row = |one: f64, exit: f64, event: f64| Episode {
        x: vec![1.0, one],
        entry: 0.0,
        exit,
        event,
        weight: 1.0,
    };
    let plain = WeibullModel::flat(&["intercept", "one"]);
    let unsettled = |rows: &[Episode]| match plain.fit(rows) {
        Err(DurationProblem::Unsettled { name }) => name,
        other => panic!("{other:?}"),
    };
    assert_eq!(unsettled(&[]), "intercept");
    assert_eq!(unsettled(&[row(0.0, 9.0, 0.0)]), "intercept");
    // One event: its own age fits it with no spread at all.
    assert_eq!(unsettled(&[row(0.0, 9.0, 1.0)]), "ln s");
    // Every event has 'one' 0: nothing says how long the others last.
    let parted = [3.0, 8.0, 15.0, 4.0].map(|t| row(0.0, t, 1.0));
    let open = [7.0, 30.0].map(|t| row(1.0, t, 0.0));
    assert_eq!(unsettled(&[parted.as_slice(), &open].concat()), "one");
    // A column that repeats the intercept.
    let same: Vec<Episode> = [3.0, 8.0, 15.0].map(|t| row(1.0, t, 1.0)).to_vec();
    assert_eq!(unsettled(&same), "one");

    let late = Episode {
        entry: 9.0,
        ..row(0.0, 9.0, 1.0)
    };
    let refused = plain.fit(&[late]);
    assert!(matches!(
        refused,
        Err(DurationProblem::EventBeforeEntry { row: 0, .. })
    ));
    let nan = plain.fit(&[row(0.0, f64::NAN, 1.0)]);
    assert!(matches!(
        nan,
        Err(DurationProblem::Number { what: "exit", .. })
    ));
}

/// Lives of e^3 days want a level of 3: held between 0 and 1 it rests on the 1 exactly, and
/// between 4 and 9 on the 4.
#[test]
fn a_coefficient_rests_on_the_bound_that_is_near() {
    let lives: Vec<Episode> = (0..4)
        .map(|_| Episode {
            x: vec![1.0],
            entry: 0.0,
            exit: 3.0_f64.exp(),
            event: 1.0,
            weight: 1.0,
        })
        .collect();
    for (low, high, rests) in [(0.0, 1.0, 1.0), (4.0, 9.0, 4.0)] {
        let mut model = WeibullModel::flat(&["level"]);
        model.ln_scale = NormalPrior::held(0.0);
        model.lower = vec![Some(low)];
        model.upper = vec![Some(high)];
        let fit = model.fit(&lives).unwrap();
        assert_eq!((fit.coefficients, fit.bounded), (vec![rests], vec![0]));
    }
}
