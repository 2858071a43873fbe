//! `start`.

use crate::support::program::{both, program};
use crate::support::workshop::{TODAY, Workshop};

#[test]
fn start_makes_a_book_and_says_what_comes_next() {
    let workshop = Workshop::empty();
    let line = [
        "start",
        "--currency",
        "eur",
        "--beneficiary",
        "Reading room",
    ];
    let output = workshop.run(&line).done();
    insta::assert_snapshot!(output.out, @r"
    Made @book.sqlite (EUR).
    What next? A file of your own bikes, and one of bikes that you saw for sale:
      wheelworth import sales YOUR.csv
      wheelworth import comps SEEN.csv
    No file yet? Note a bike, and ask for a price:
      wheelworth record sale --bike B-1 --style city --condition rider --purchase 20
      wheelworth price --bike B-1
    ");
    assert_eq!(output.err, "");
    assert_eq!(workshop.files(), ["book.sqlite"]);
}

#[test]
fn start_check_and_undo_answer_in_json() {
    let workshop = Workshop::empty();
    let line = "start --currency eur --beneficiary A=70 --format json";
    let json = |line: &str| {
        let words: Vec<&str> = line.split(' ').collect();
        workshop.run(&words).done().json()
    };
    let made = serde_json::json!({
        "book": "@book.sqlite", "currency": "EUR",
        "beneficiaries": [{"name": "A", "weight": 70}],
    });
    assert_eq!(json(line), made);
    workshop.file("sales.csv", "bike,style\nS1,road\n");
    json("import sales @sales.csv --format json");
    let found = serde_json::json!({
        "book": "@book.sqlite", "sound": true, "sales": 1, "asks": 0, "comps": 0,
        "costs": 0, "gifts": 0, "inspections": 0, "offers": 0, "returns": 0,
    });
    assert_eq!(json("check --format json"), found);
    let undone = serde_json::json!({
        "undone": 1, "on": "2026-05-02", "removed": 1, "restored": 0,
    });
    assert_eq!(json("import --undo 1 --format json"), undone);
}

#[test]
fn start_takes_every_setting() {
    let workshop = Workshop::empty();
    let line = "start --currency KWD --beneficiary A=70 --beneficiary B=30 --give net --share 33.33 --year-starts 7";
    let words: Vec<&str> = line.split(' ').collect();
    let output = workshop.run(&words).done();
    assert!(
        output
            .out
            .starts_with("Made @book.sqlite (KWD).\nWhat next?")
    );
    workshop.run(&["check"]).done();
}

#[test]
fn start_without_a_beneficiary_says_so() {
    let output = Workshop::empty()
        .run(&["start", "--currency", "EUR"])
        .done();
    assert!(output.out.contains("No beneficiary is named yet."));
}

#[test]
fn a_book_is_never_overwritten() {
    let workshop = Workshop::new();
    let said = ["@book.sqlite exists already", "never overwritten", "help: "];
    workshop.refuses(&["start", "--currency", "EUR"], &said);
}

#[test]
fn settings_that_make_no_sense_are_wrong_usage() {
    for (words, said) in [
        (
            &["--currency", "XYZ"][..],
            "--currency 'XYZ': expected an ISO 4217 code",
        ),
        (&["--currency", "EUR", "--share", "0"], "--share '0'"),
        (&["--currency", "EUR", "--share", "101"], "--share '101'"),
        (
            &["--currency", "EUR", "--share", "33.333"],
            "--share '33.333'",
        ),
        (&["--currency", "EUR", "--year-starts", "13"], "13"),
        (&["--currency", "EUR", "--give", "all"], "all"),
        (
            &["--currency", "EUR", "--beneficiary", "A=0"],
            "--beneficiary 'A=0'",
        ),
        (
            &["--currency", "EUR", "--beneficiary", " "],
            "expected a name",
        ),
        (&[], "--currency"),
    ] {
        let workshop = Workshop::empty();
        let output = workshop.run(&[&["start"], words].concat());
        output.says(2, &[said]);
        assert_eq!(workshop.files(), [""; 0], "{words:?}");
    }
}

#[test]
fn the_book_is_in_the_working_folder_or_where_the_environment_says() {
    let workshop = Workshop::empty();
    let start = ["start", "--currency", "EUR"];
    let here = program(workshop.folder()).args(start).output().unwrap();
    assert!(here.status.success(), "{}", both(&here));
    assert!(both(&here).contains("  wheelworth import sales YOUR.csv"));
    let mut there = program(workshop.folder());
    there.env("WHEELWORTH_BOOK", "other.sqlite").args(start);
    let there = there.output().unwrap();
    assert!(there.status.success(), "{}", both(&there));
    assert!(both(&there).contains("  wheelworth import sales YOUR.csv"));
    // Another book is named in what is to be typed next: else that would change this one.
    let mut named = program(workshop.folder());
    named.args(["--book", "a third.sqlite"]).args(start);
    let named = both(&named.output().unwrap());
    let next = "  wheelworth --book 'a third.sqlite' import sales YOUR.csv";
    assert!(named.contains(next), "{named}");
    let files = ["a third.sqlite", "other.sqlite", "wheelworth.sqlite"];
    assert_eq!(workshop.files(), files);
}

#[test]
fn a_folder_that_is_not_there_is_named() {
    let workshop = Workshop::empty();
    let line = [
        "start",
        "--currency",
        "EUR",
        "--book",
        "@nowhere/book.sqlite",
    ];
    let output = workshop.run_as_typed(&line, TODAY);
    output.says(
        1,
        &["there is no folder", "nowhere", "help: Make the folder"],
    );
}
