//! Laws of the inspection, whatever is ticked.

use proptest::prelude::*;
use wheelworth::pricing::inspection::{Assessment, State, assess};
use wheelworth::report::inspection::text;
use wheelworth::trade::inspection::{
    CheckResult, Degree, Finding, Holds, Item, Measure, Sheet, Unit, Weight, items,
};

fn checks() -> Vec<&'static Item> {
    items().filter(|item| item.as_check().is_some()).collect()
}

fn gates() -> Vec<&'static Item> {
    items().filter(|item| item.is_gate()).collect()
}

/// A sheet on which everything has passed.
fn all_pass() -> Sheet {
    let mut sheet = Sheet::new();
    for item in checks() {
        sheet.put(item, Finding::of(CheckResult::Pass));
    }
    sheet
}

fn measure(unit: Unit, value: i64) -> Measure {
    match unit {
        Unit::Length => Measure::Length(value),
        Unit::Percent => Measure::Percent(value),
    }
}

/// A result for every check, some with a measure, and facts.
pub fn findings() -> impl Strategy<Value = Vec<(&'static Item, Finding)>> {
    let count = items().count();
    // Mostly passes, so that sheets without an open gate are among them.
    let result = prop_oneof![
        12 => Just(CheckResult::Pass),
        1 => Just(CheckResult::Fail),
        1 => Just(CheckResult::Unchecked),
        1 => Just(CheckResult::NotFitted),
    ];
    prop::collection::vec(
        (
            result,
            prop::option::weighted(0.1, 0_i64..60),
            any::<prop::sample::Index>(),
        ),
        count,
    )
    .prop_map(|drawn| {
        items()
            .zip(drawn)
            .map(|(item, (result, value, which))| (item, finding(item, result, value, which)))
            .collect()
    })
}

fn finding(
    item: &Item,
    result: CheckResult,
    value: Option<i64>,
    which: prop::sample::Index,
) -> Finding {
    match item.holds {
        Holds::Check(check) => {
            let measure = check
                .limit
                .zip(value)
                .map(|(limit, v)| measure(limit.unit, v));
            let measure = measure.filter(|_| result != CheckResult::NotFitted);
            Finding {
                result,
                measure,
                note: None,
            }
        }
        Holds::Fact(fact) => {
            use wheelworth::trade::inspection::Fact;
            let measure = match fact {
                Fact::Words(words) if value.is_none() => Some(Measure::Word(which.get(words).word)),
                _ => None,
            };
            Finding {
                result: CheckResult::Unchecked,
                measure,
                note: None,
            }
        }
    }
}

pub fn sheet_of<'a>(findings: impl IntoIterator<Item = &'a (&'static Item, Finding)>) -> Sheet {
    let mut sheet = Sheet::new();
    for (item, finding) in findings {
        sheet.put(item, finding.clone());
    }
    sheet
}

fn open(found: &Assessment) -> Vec<&'static str> {
    found.gates.iter().map(|gate| gate.item.name).collect()
}

/// Whether the text calls the bike ready.
fn says_ready(found: &Assessment, sheet: &Sheet) -> bool {
    let text = text::text(found, sheet, "it");
    text.to_lowercase().contains("ready to ride")
}

#[test]
fn a_sheet_on_which_all_has_passed_is_ready_and_as_new() {
    let sheet = all_pass();
    let found = assess(&sheet);
    assert!(found.ready && says_ready(&found, &sheet));
    assert_eq!(
        (found.condition.unwrap().grade(), found.grade.points),
        (5, 0)
    );
    assert_eq!(
        (open(&found).len(), found.jobs.len(), found.unchecked.len()),
        (0, 0, 0)
    );
}

#[test]
fn an_empty_sheet_has_no_condition_and_every_gate_open() {
    let sheet = Sheet::new();
    let found = assess(&sheet);
    assert_eq!(found.condition, None);
    let names: Vec<&str> = gates().iter().map(|item| item.name).collect();
    assert_eq!(open(&found), names);
    assert!(!found.ready && !says_ready(&found, &sheet));
}

#[test]
fn unchecked_failed_or_missing_counts_as_a_pass_for_no_gate() {
    assert!(gates().len() >= 25);
    for item in gates() {
        let may_lack = item.as_check().unwrap().may_lack;
        for result in [
            CheckResult::Unchecked,
            CheckResult::Fail,
            CheckResult::NotFitted,
        ] {
            let mut sheet = all_pass();
            sheet.put(item, Finding::of(result));
            let found = assess(&sheet);
            // Without the kind of brake nothing explains that its parts are not there.
            let of_a_brake = item.name.ends_with("pads") || item.name.ends_with("cable");
            let clear = result == CheckResult::NotFitted && may_lack && !of_a_brake;
            assert_eq!(found.ready, clear, "{} {result}", item.name);
            assert_eq!(says_ready(&found, &sheet), clear, "{} {result}", item.name);
            let expected = if clear { vec![] } else { vec![item.name] };
            assert_eq!(open(&found), expected);
            assert!(
                clear || found.condition.unwrap().grade() <= 2,
                "{} {result}",
                item.name
            );
        }
        // Left out of the file altogether.
        let mut sheet = Sheet::new();
        for other in checks().into_iter().filter(|other| other.name != item.name) {
            sheet.put(other, Finding::of(CheckResult::Pass));
        }
        assert_eq!(open(&assess(&sheet)), [item.name]);
    }
}

#[test]
fn without_a_road_test_nothing_is_ready_nor_as_new() {
    let road = items().find(|item| item.name == "road test").unwrap();
    for (result, condition, gates) in [
        (CheckResult::Unchecked, 4, 0),
        (CheckResult::NotFitted, 4, 0),
        (CheckResult::Fail, 2, 1),
    ] {
        let mut sheet = all_pass();
        sheet.put(road, Finding::of(result));
        let found = assess(&sheet);
        assert_eq!(found.condition.unwrap().grade(), condition, "{result}");
        assert_eq!(found.gates.len(), gates, "{result}");
        assert!(!found.ready && !says_ready(&found, &sheet), "{result}");
    }
}

#[test]
fn a_bike_with_marks_of_use_is_not_as_new() {
    // The words: 5 is as new, 4 has light marks.
    let mut sheet = all_pass();
    let marks = items().find(|item| item.name == "marks").unwrap();
    sheet.put(marks, Finding::of(CheckResult::Fail));
    assert_eq!(assess(&sheet).condition.unwrap().grade(), 4);
}

#[test]
fn a_mechanical_fault_keeps_a_bike_at_rider() {
    for item in checks() {
        if item.as_check().unwrap().weight == Weight::Fault {
            let mut sheet = all_pass();
            sheet.put(item, Finding::of(CheckResult::Fail));
            let found = assess(&sheet);
            assert_eq!(found.condition.unwrap().grade(), 3, "{}", item.name);
            assert_eq!(found.gates.len(), 0, "{}", item.name);
        }
    }
}

#[test]
fn every_check_that_weighs_has_a_job_but_the_frame_and_the_paint() {
    for item in checks() {
        let check = item.as_check().unwrap();
        let without = [
            "frame",
            "marks",
            "paint",
            "decals",
            "serial number",
            "toe clearance",
        ];
        assert_eq!(
            check.job.is_none(),
            without.contains(&item.name),
            "{}",
            item.name
        );
    }
}

#[test]
fn a_measure_beyond_the_limit_fails_whatever_was_ticked() {
    for item in checks() {
        let Some(limit) = item.as_check().unwrap().limit else {
            continue;
        };
        let beyond = (0..=limit.most_read)
            .find(|v| limit.judge(*v) == Degree::Beyond)
            .unwrap();
        for result in [CheckResult::Pass, CheckResult::Unchecked, CheckResult::Fail] {
            let mut sheet = all_pass();
            sheet.put(item, Finding::measured(result, measure(limit.unit, beyond)));
            let found = assess(&sheet);
            assert_eq!(
                open(&found).contains(&item.name),
                item.is_gate(),
                "{} {result}",
                item.name
            );
            let job = item.as_check().unwrap().job;
            assert!(
                job.is_none_or(|job| found.jobs.iter().any(|j| j.job == job)),
                "{}",
                item.name
            );
        }
        // Within it, but without a result: no pass.
        let good = (0..=limit.most_read)
            .find(|v| limit.judge(*v) == Degree::Good)
            .unwrap();
        let mut sheet = all_pass();
        sheet.put(
            item,
            Finding::measured(CheckResult::Unchecked, measure(limit.unit, good)),
        );
        assert_eq!(assess(&sheet).ready, !item.is_gate(), "{}", item.name);
    }
}

proptest! {
    #[test]
    fn the_order_of_the_rows_does_not_matter(
        (one, other) in findings().prop_flat_map(|f| (Just(f.clone()), Just(f).prop_shuffle()))
    ) {
        let (one, other) = (sheet_of(&one), sheet_of(&other));
        let (first, second) = (assess(&one), assess(&other));
        prop_assert_eq!(text::text(&first, &one, "it"), text::text(&second, &other, "it"));
        prop_assert_eq!(first, second);
    }

    #[test]
    fn a_pass_turned_into_a_fail_never_helps(
        drawn in findings(),
        at in any::<prop::sample::Index>(),
        worse in prop_oneof![Just(CheckResult::Fail), Just(CheckResult::Unchecked)],
    ) {
        let mut sheet = sheet_of(&drawn);
        let item = *at.get(&checks());
        let measured = sheet.finding(item.name).and_then(|f| f.measure.clone());
        sheet.put(item, Finding { result: CheckResult::Pass, measure: measured.clone(), note: None });
        let before = assess(&sheet);
        sheet.put(item, Finding { result: worse, measure: measured, note: None });
        let after = assess(&sheet);
        prop_assert!(after.condition <= before.condition, "{} {worse}", item.name);
        prop_assert!(after.grade.points >= before.grade.points);
        for gate in open(&before) {
            prop_assert!(open(&after).contains(&gate), "{} cleared {gate}", item.name);
        }
        prop_assert!(before.ready || !after.ready);
        prop_assert!(!after.ready || !item.is_gate());
    }

    #[test]
    fn ready_means_every_gate_and_the_road_test(drawn in findings()) {
        let sheet = sheet_of(&drawn);
        let found = assess(&sheet);
        let passed = |item: &&Item| {
            let may_lack = item.as_check().unwrap().may_lack;
            match sheet.result(item.name) {
                CheckResult::Pass => true,
                CheckResult::NotFitted => may_lack,
                CheckResult::Fail | CheckResult::Unchecked => false,
            }
        };
        if found.ready {
            prop_assert!(gates().iter().all(passed));
            prop_assert_eq!(sheet.result("road test"), CheckResult::Pass);
            prop_assert_eq!(found.road_test, State::Pass);
        }
        prop_assert_eq!(says_ready(&found, &sheet), found.ready && !found.may_be_stolen());
        prop_assert!(found.gates.is_empty() || found.condition.is_none_or(|c| c.grade() <= 2));
        prop_assert!(found.grade.points <= 100);
        // Done and checked, the jobs never make it worse.
        prop_assert!(found.when_mended.is_none_or(|mended| Some(mended) >= found.condition));
    }
}
