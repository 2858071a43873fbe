//! What a sheet says otherwise than the book, its notes, and the jobs of what is
//! missing or beyond mending.

use super::inspect::{filled, inspected, inspected_json};
use super::inspect_kept::{but, failed, keep, passed, price, shed};
use serde_json::json;

const FACTS: [(&str, &str); 8] = [
    ("style", "city"),
    ("frame material", "chrome moly"),
    ("brakes", "dual pivot"),
    ("wheels", "double wall"),
    ("gears", "9"),
    ("crank", "square taper"),
    ("seat tube", "61cm"),
    ("reach", "420mm"),
];

#[test]
fn each_difference_from_the_book_is_told_and_nothing_is_taken_over() {
    let workshop = shed();
    let sales = workshop.text("sales.csv");
    workshop.run(&["export", "sales", "@before.csv"]).done();
    workshop.file("sheet.csv", filled(&FACTS, &[("marks", "fail", "", "")]));
    let output = workshop
        .run(&["inspect", "@sheet.csv", "--bike", "L1"])
        .done();
    insta::assert_snapshot!(output.err, @r"
    caution 1: the book says style hybrid, the sheet city; the book's counts. If the sheet is right: wheelworth record sale --bike L1 --style city --correct
    caution 2: the book says tier 2 sport, the sheet's facts say 3 club; the book's counts. If the sheet is right: wheelworth record sale --bike L1 --tier 3
    caution 3: the book says no size, the sheet's lengths say XL; the book's counts. If the sheet is right: wheelworth record sale --bike L1 --seat-tube 610mm
    ");
    workshop.run(&["export", "sales", "@after.csv"]).done();
    assert_eq!(workshop.text("before.csv"), workshop.text("after.csv"));
    assert!(sales.contains("L1,hybrid,2015,4,2"));
    // What it says to do settles it.
    let told = output
        .err
        .lines()
        .filter_map(|line| line.split_once("If the sheet is right: wheelworth "));
    let lines: Vec<&str> = told.map(|(_, line)| line).collect();
    assert!(!lines.is_empty());
    for line in &lines {
        let words: Vec<&str> = line.split(' ').collect();
        workshop.run(&words).done();
    }
    let again = workshop
        .run(&["inspect", "@sheet.csv", "--bike", "L1"])
        .done();
    assert_eq!(again.err, "");
}

#[test]
fn a_sheet_that_agrees_or_says_nothing_is_kept_in_silence() {
    let workshop = shed();
    workshop.file("sheet.csv", passed());
    let line = ["inspect", "@sheet.csv", "--bike", "L1"];
    assert_eq!(workshop.run(&line).done().err, "");
    // The lid on the grade is no difference to correct.
    workshop.file("sheet.csv", failed());
    insta::assert_snapshot!(workshop.run(&line).done().err, @"caution 1: the book says condition 4 tidy, the sheet condition 2 project; while this is its latest inspection, 'price' and 'stock' count it as 2 project");
}

#[test]
fn long_before_the_purchase_is_told() {
    let workshop = shed();
    workshop.file("sheet.csv", passed());
    // L1 was bought on 1 March: 14 days before are the 15th of February.
    let on = |day: &str| {
        let line = ["inspect", "@sheet.csv", "--bike", "L1", "--on", day];
        let err = workshop.run(&line).done().err;
        err.lines()
            .filter(|line| line.contains("before it was bought"))
            .collect::<String>()
    };
    assert_eq!(on("2026-03-02"), "");
    assert_eq!(on("2026-02-15"), "");
    insta::assert_snapshot!(on("2026-02-14"), @"caution 1: L1 was inspected 15 days before it was bought: what happened to it since is not in it. Look at it again before it is sold, or correct the day with --on");
}

#[test]
fn notes_of_what_passed_are_told_too() {
    let long = "x".repeat(200);
    let sheet = filled(
        &[("style", "touring")],
        &[
            ("recall check", "pass", "", "2 May, the list"),
            ("front tyre", "pass", "", "worn, next year"),
            ("rear tyre", "fail", "", "perished"),
            ("chain", "pass", "0.2 %", &long),
        ],
    );
    let out = inspected(&sheet).done().out;
    let (_, notes) = out.split_once("\nNotes\n").unwrap();
    let notes: Vec<&str> = notes.lines().take_while(|line| !line.is_empty()).collect();
    insta::assert_snapshot!(notes.join("\n"), @r"
    recall check  pass        2 May, the list
    front tyre    pass        worn, next year
    chain         pass        xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx
                              xxxxxxxxxxxxxxxxxxxxxxxxxxxx...
    ");
    assert_eq!(
        out.matches("perished").count(),
        1 + out.matches("not perished").count()
    );
    let found = inspected_json(&sheet);
    assert_eq!(
        found["notes"],
        json!([
            {"item": "recall check", "result": "pass", "note": "2 May, the list"},
            {"item": "front tyre", "result": "pass", "note": "worn, next year"},
            {"item": "rear tyre", "result": "fail", "note": "perished"},
            {"item": "chain", "result": "pass", "note": long},
        ])
    );
    assert!(
        !inspected(&filled(&[("style", "touring")], &[]))
            .done()
            .out
            .contains("\nNotes")
    );
}

#[test]
fn a_missing_brake_is_to_be_fitted_and_a_bad_one_adjusted() {
    let jobs = |result: &str| {
        let sheet = filled(&[("style", "city")], &[("front brake", result, "", "")]);
        inspected_json(&sheet)["jobs"].clone()
    };
    assert_eq!(jobs("not_fitted"), json!(["fit the missing brake"]));
    assert_eq!(jobs("fail"), json!(["adjust the brakes"]));
}

#[test]
fn on_a_failed_frame_nothing_is_to_be_mended() {
    let found = [
        ("frame", "fail", "", "crack"),
        ("fork", "fail", "", "bent"),
        ("front tyre", "fail", "", ""),
    ];
    let sheet = filled(&[("style", "city")], &found);
    let answer = inspected_json(&sheet);
    assert_eq!(
        (&answer["jobs"], &answer["job_items"]),
        (&json!([]), &json!([]))
    );
    assert_eq!(answer["gates"].as_array().unwrap().len(), 3);
    let out = inspected(&sheet).done().out;
    assert!(
        out.contains("NOT READY: the frame has failed. Do not ride: it is good only for its parts"),
        "{out}"
    );
    assert!(
        !out.contains("\nJobs") && !out.contains("new fork"),
        "{out}"
    );
    // A failed fork alone can be changed.
    let fork = filled(&[("style", "city")], &found[1..2]);
    assert_eq!(inspected_json(&fork)["jobs"], json!(["new fork"]));
}

#[test]
fn the_sheet_that_differs_counts_as_the_book_says() {
    let workshop = shed();
    let before = price(&workshop, "L1", &[])["value"].clone();
    keep(
        &workshop,
        &but(&[]).replace("hybrid", "road"),
        "L1",
        "2026-05-01",
    );
    assert_eq!(price(&workshop, "L1", &[])["value"], before);
}

#[test]
fn what_was_meant_is_named_for_both_ends_and_never_another_number() {
    let workshop = shed();
    for (row, said) in [
        ("brake pads,pass,", "Did you mean front pads or rear pads?"),
        ("tyre,pass,", "Did you mean front tyre or rear tyre?"),
        ("rear_brake pads,pass,", "Did you mean rear pads?"),
        ("frnt tyre,pass,", "Did you mean front tyre?"),
        ("bike frame,pass,", "Did you mean frame?"),
        ("headsett,pass,", "Did you mean headset?"),
        ("gears,,21 speed", "Count the sprockets at the back alone"),
        ("gears,,hub gaer", "Did you mean hub gear?"),
    ] {
        workshop.file("bad.csv", format!("item,result,measure\n{row}\n"));
        let output = workshop.refuses(&["inspect", "@bad.csv"], &[said]);
        assert!(!output.err.contains("12 speed?"), "{}", output.err);
    }
    for (clears, said) in [
        ("brake pads", "Did you mean front pads or rear pads?"),
        (
            "brake cables",
            "Did you mean front brake cable or rear brake cable?",
        ),
        ("front pad", "Did you mean front pads?"),
    ] {
        workshop.file("jobs.csv", format!("job,cost,clears\nx,5,{clears}\n"));
        let line = ["offer", "--style", "road", "--jobs", "@jobs.csv"];
        workshop.refuses(&line, &[said]);
    }
}
