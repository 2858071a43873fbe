//! Bikes that must not be called ready, bought or passed on, whatever they bring.

use super::inspect::{filled, inspected};
use super::offer::{JOBS, PARTS};
use crate::support::workshop::{Output, Workshop};

const FACTS: [(&str, &str); 2] = [("style", "touring"), ("brakes", "cantilever")];
const RIDDEN: (&str, &str, &str, &str) =
    ("recall check", "pass", "", "2 May, the authority's list");

fn offered(sheet: &str, more: &[&str]) -> Output {
    let workshop = Workshop::busy();
    workshop.file("sheet.csv", sheet);
    workshop.file("jobs.csv", JOBS);
    workshop.file("parts.csv", PARTS);
    let line = [
        &[
            "offer",
            "--style",
            "touring",
            "--made",
            "2009",
            "--sheet",
            "@sheet.csv",
        ],
        more,
    ];
    workshop.run(&line.concat())
}

/// Pads and cables that are not there, with no kind of brake that does without
/// them: the bike has no brakes.
#[test]
fn a_bike_without_pads_or_cables_is_never_ready() {
    let missing = |names: &[&'static str], facts: &[(&str, &str)]| {
        let found: Vec<_> = names
            .iter()
            .map(|name| (*name, "not_fitted", "", ""))
            .chain([RIDDEN, ("carbon parts", "not_fitted", "", "")])
            .collect();
        inspected(&filled(facts, &found)).done().out
    };
    let all = [
        "front pads",
        "rear pads",
        "front brake cable",
        "rear brake cable",
    ];
    let no_kind = &FACTS[..1];
    let back_pedal = [("style", "cruiser"), ("brakes", "back pedal")];
    let drum = [("style", "city"), ("brakes", "drum")];
    for (names, facts) in [
        (&all[..], no_kind),
        (&all[1..2], no_kind),
        (&all[3..], no_kind),
        (&all[..1], &FACTS[..]),
        (&all[2..3], &FACTS[..]),
        (&all[..], &back_pedal[..]),
        (&all[2..3], &drum[..]),
    ] {
        let out = missing(names, facts);
        assert!(out.contains("NOT READY"), "{names:?} {facts:?}\n{out}");
        assert!(out.contains("brakes: "), "{names:?} {facts:?}\n{out}");
    }
    // A drum has no pads; a back-pedal brake at the rear has neither.
    for (names, facts) in [
        (&all[..2], &drum[..]),
        (&["rear pads", "rear brake cable"], &FACTS[..]),
    ] {
        let out = missing(names, facts);
        assert!(!out.contains("NOT READY"), "{names:?} {facts:?}\n{out}");
    }
}

#[test]
fn a_bike_that_may_be_stolen_is_left_at_any_price() {
    let sheet = filled(
        &FACTS,
        &[("serial number", "fail", "", "filed off"), RIDDEN],
    );
    for more in [
        &["--asking", "5"][..],
        &["--parts", "@parts.csv"],
        &[
            "--jobs",
            "@jobs.csv",
            "--parts",
            "@parts.csv",
            "--asking",
            "1",
        ],
    ] {
        let out = offered(&sheet, more).done().out;
        assert!(
            out.contains("Leave it: its serial number is missing"),
            "{out}"
        );
        assert!(
            !out.contains("Buy it") && !out.contains("most to pay"),
            "{out}"
        );
    }
    let words = ["--asking", "5", "--format", "json"];
    let answer = offered(&sheet, &words).done().json();
    assert_eq!(answer["barred"], "serial_number");
    assert_eq!(answer["verdict"]["say"], "leave");
    assert_eq!(answer["most_to_pay"]["mean"], 0.0);
    assert!(answer["best"].is_null() && answer["take_apart"].is_null());
}

#[test]
fn what_is_recalled_is_not_passed_on_and_a_settled_recall_is() {
    let sheet = filled(&FACTS, &[("recall check", "fail", "", "fork recalled")]);
    let out = offered(&sheet, &["--parts", "@parts.csv", "--asking", "5"])
        .done()
        .out;
    assert!(
        out.contains("Leave it until its recall is settled"),
        "{out}"
    );
    let workshop = Workshop::busy();
    workshop.file("sheet.csv", &sheet);
    workshop.file(
        "jobs.csv",
        "job,cost,hours,safety,clears\nnew fork by the maker,0,1,yes,recall check\n",
    );
    let line = "offer --style touring --made 2009 --sheet @sheet.csv --jobs @jobs.csv --asking 5";
    let words: Vec<&str> = line.split(' ').collect();
    let out = workshop.run(&words).done().out;
    assert!(!out.contains("recall is settled"), "{out}");
}

#[test]
fn a_cracked_frame_without_a_list_of_parts_is_left() {
    let sheet = filled(
        &FACTS,
        &[("frame", "fail", "", "crack at the head tube"), RIDDEN],
    );
    let out = offered(&sheet, &["--asking", "5"]).done().out;
    assert!(out.contains("Leave it: its frame has failed"), "{out}");
    let out = offered(&sheet, &["--asking", "5", "--parts", "@parts.csv"])
        .done()
        .out;
    assert!(out.contains("for its parts"), "{out}");
    assert!(!out.contains("passed on only as a project"), "{out}");
}

/// A sound bike that may be stolen is not to be priced, and a wheel that rubs or
/// rocks is not to be ridden.
#[test]
fn a_sheet_says_first_what_must_not_be_done() {
    let passed = [RIDDEN, ("carbon parts", "not_fitted", "", "")];
    let with = |one: (&'static str, &'static str, &'static str, &'static str)| {
        let found = [&passed[..], &[one]].concat();
        inspected(&filled(&FACTS, &found)).done().out
    };
    let out = with(("serial number", "fail", "", "filed off"));
    assert!(
        out.contains("DO NOT SELL IT") && out.contains("1. Ask the police"),
        "{out}"
    );
    assert!(
        !out.contains("Ready to ride") && !out.contains("Price it"),
        "{out}"
    );
    for one in [
        ("front wheel true", "pass", "30 mm", ""),
        ("rear wheel true", "fail", "", "rubs"),
        ("front hub", "pass", "12 mm", ""),
        ("rear hub", "unchecked", "", ""),
    ] {
        let out = with(one);
        assert!(
            out.contains("NOT READY: 1 safety check not passed"),
            "{one:?}\n{out}"
        );
        assert!(out.contains(one.0), "{out}");
    }
    assert!(with(("front hub", "pass", "1 mm", "")).contains("Ready to ride"));
}

/// Kept with its bike, it is told wherever the bike is sold.
#[test]
fn a_kept_bike_that_may_be_stolen_is_not_to_be_sold() {
    let workshop = Workshop::busy();
    let sheet = filled(
        &FACTS,
        &[("serial number", "fail", "", "filed off"), RIDDEN],
    );
    workshop.file("sheet.csv", sheet);
    workshop
        .run(&["inspect", "@sheet.csv", "--bike", "B-49"])
        .done();
    let out = workshop.run(&["price", "--bike", "B-49"]).done().out;
    assert!(out.contains("Do not sell it before the police"), "{out}");
    assert!(!out.contains("every safety check passed"), "{out}");
    let out = workshop.run(&["stock"]).done().out;
    let row = out.lines().find(|line| line.starts_with("B-49")).unwrap();
    assert!(
        row.contains("do not sell") && !row.contains("cut to"),
        "{row}"
    );
    let stock = workshop.run(&["stock", "--format", "json"]).done().out;
    assert!(stock.contains("not_to_be_sold"), "{stock}");
}
