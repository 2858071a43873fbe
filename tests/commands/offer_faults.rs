//! `offer` with a mechanical fault that is left, and with a date code. That a bike
//! with such a fault is a rider at best is the inspection's own rule: judgement, no
//! source.

use super::inspect::filled;
use super::inspect_kept::told;
use crate::support::workshop::Workshop;
use serde_json::{Value, json};

/// A sheet on which these have failed.
fn sheet(failed: &[&'static str]) -> String {
    let failed: Vec<_> = failed.iter().map(|item| (*item, "fail", "", "")).collect();
    let facts = [("style", "hybrid"), ("brakes", "linear pull")];
    let rest = [
        ("carbon parts", "not_fitted", "", ""),
        ("recall check", "pass", "", "2 May"),
    ];
    filled(&facts, &[&failed[..], &rest].concat())
}

fn offered(sheet: &str, jobs: &str) -> Value {
    let workshop = Workshop::busy();
    workshop.file("sheet.csv", sheet);
    workshop.file("jobs.csv", jobs);
    let line = "offer --made 2015 --condition 2 --tier 2 --sheet @sheet.csv --jobs @jobs.csv --format json";
    let words: Vec<&str> = line.split(' ').collect();
    workshop.run(&words).done().json()
}

const HEADER: &str = "job,cost,clears,condition_after\n";

#[test]
fn a_fault_that_no_job_clears_keeps_it_a_rider() {
    let rider = offered(&sheet(&[]), &format!("{HEADER}polish,3,,3\n"));
    let tidy = offered(&sheet(&[]), &format!("{HEADER}polish,3,,4\n"));
    let left = offered(&sheet(&["shifting"]), &format!("{HEADER}polish,3,,4\n"));
    assert_eq!(left["done"], rider["done"]);
    assert_ne!(left["done"], tidy["done"]);
    insta::assert_snapshot!(told(&left, "faults_left").unwrap(), @"Failed on the sheet, and no job clears it: shifting. Until it is repaired the bike counts as 3 rider at best, whatever condition_after says. Add a job that names it under clears.");
    assert_eq!(told(&tidy, "faults_left"), None);
    // Nothing better than a rider is promised, so nothing is told.
    let small = offered(&sheet(&["shifting"]), &format!("{HEADER}polish,3,,3\n"));
    assert_eq!(told(&small, "faults_left"), None);
}

#[test]
fn only_the_sets_that_clear_the_fault_reach_more() {
    let jobs = format!("{HEADER}polish,3,,4\nset the gears,1,shifting,\n");
    let found = offered(&sheet(&["shifting"]), &jobs);
    let tidy = offered(&sheet(&[]), &format!("{HEADER}polish,3,,4\n"));
    assert_eq!(found["done"], tidy["done"]);
    // The gears alone change nothing, and without them polish makes a rider: so
    // both get a part of what they make together.
    let jobs = found["jobs"].as_array().unwrap();
    for job in jobs {
        let uplift = job["uplift"]["median"].as_f64().unwrap();
        assert!(uplift > 0.0, "{job}");
        assert_eq!(job["pays"], true, "{job}");
    }
    assert_eq!(told(&found, "faults_left"), None);
    assert_eq!(told(&found, "job_without_effect"), None);
    let best = found["best"]["jobs"].as_array().unwrap();
    assert_eq!(best.len(), 2);
}

#[test]
fn a_date_code_tells_the_year_as_for_a_price() {
    let workshop = Workshop::busy();
    workshop.file(
        "codes.csv",
        "begins;position;meaning\nK;2;A=2013 B=2014\nR;2;A=2005..2008\n",
    );
    workshop.file("jobs.csv", "what,cost,condition_after\npolish,3,4\n");
    let offer = |words: &str| {
        let line = format!(
            "offer --style road --condition 3 --tier 2 --jobs @jobs.csv --column job=what {words}"
        );
        let words: Vec<&str> = line.split_whitespace().collect();
        workshop.run(&words)
    };
    let codes = "--date-codes @codes.csv --column prefix=begins --date-code";
    for (code, made) in [
        ("KB7", "2014"),
        ("RA", "2005..2008"),
        ("RA --made 2007..2012", "2007..2008"),
    ] {
        let by_code = offer(&format!("{codes} {code}")).done();
        assert_eq!(
            by_code.out,
            offer(&format!("--made {made}")).done().out,
            "{code}"
        );
        assert!(
            by_code.err.contains(&format!("made {made}, by line")),
            "{}",
            by_code.err
        );
    }
    offer(&format!("{codes} KB --made 2011"))
        .says(1, &["--made 2011 and the code contradict one another"]);
    offer(&format!("{codes} X")).says(1, &["no row of @codes.csv reads it"]);
    offer("--date-code KB").says(2, &["--date-codes"]);
    // A pair that belongs to no file is still refused.
    offer("--column prefix=begins --made 2014").says(1, &["prefix"]);
    let json = offer(&format!("{codes} KB --format json")).done().json();
    assert_ne!(json["done"], json!(null));
}
