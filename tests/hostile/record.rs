//! Events that cannot be: every message names the flag, never a line or a
//! column, and the book stays as it was.

use crate::commands::import_asks;
use crate::commands::import_costs::with_bikes;
use crate::commands::import_gifts::with_beneficiaries;
use crate::support::workshop::Workshop;

/// Asserts exit status and words, that nothing was done, and that no word is of
/// files.
#[track_caller]
fn refused(workshop: &Workshop, words: &[&str], code: u8, said: &[&str]) {
    let before = workshop.book_bytes();
    let output = workshop.run(&[&["record"], words].concat());
    output.says(code, said);
    assert_eq!(output.out, "");
    assert!(workshop.book_bytes() == before, "{words:?}");
    for word in ["line ", "column", "cell", "_on", "_price", "Fill in"] {
        assert!(!output.err.contains(word), "'{word}' in {}", output.err);
    }
}

#[test]
fn what_cannot_be_read_is_wrong_usage() {
    let workshop = with_bikes();
    let sale = ["sale", "--bike", "B-2"];
    for (more, said) in [
        (
            &["--made", "20x6"][..],
            "--made '20x6': expected a model year of four digits",
        ),
        (
            &["--condition", "6"],
            "--condition '6': expected a condition: 1 to 5, or a word",
        ),
        (&["--style", "hybird"], "help: Did you mean hybrid?"),
        (&["--style", ""], "--style '': expected a value"),
        (
            &["--seat-tube", "5ft"],
            "Write it with its unit, or leave --seat-tube out.",
        ),
        (
            &["--purchase", "-5"],
            "--purchase '-5': expected an amount that is not negative",
        ),
        (
            &["--ask", "0"],
            "help: Leave --ask out if the amount is not known.",
        ),
        (
            &["--hours", "-1"],
            "--hours '-1': expected hours that are not negative",
        ),
        (
            &["--listed-on", "2026-05-03"],
            "--listed-on '2026-05-03': expected a day up to 2026-05-02",
        ),
        (
            &["--listed-on", "03/04/2026"],
            "help: Say which: --dates dmy reads it as 2026-04-03, --dates mdy as 2026-03-04",
        ),
        (
            &["--note", "a\u{7}b"],
            "--note 'a\u{fffd}b': expected text without the control character U+0007",
        ),
        (
            &["--sold-price", "90"],
            "--sold-price '90': expected --sold-on beside --sold-price",
        ),
        (
            &["--sold-on", "2026-04-01"],
            "help: Give --sold-price, or empty --sold-on if it is not sold.",
        ),
    ] {
        refused(&workshop, &[&sale[..], more].concat(), 2, &[said]);
    }
    let long = "x".repeat(2 << 20);
    refused(
        &workshop,
        &["sale", "--bike", "B-2", "--note", &long],
        2,
        &["longer than 1 MiB"],
    );
}

#[test]
fn all_that_is_wrong_is_told_in_one_go() {
    let line = [
        "cost",
        "--kind",
        "suply",
        "--amount",
        "-3",
        "--from-box",
        "perhaps",
    ];
    let said = [
        "error: --kind 'suply': expected a kind of cost",
        "\n--amount '-3': expected an amount that is not negative",
        "\n--from-box 'perhaps': expected yes or no",
        "\nhelp: --kind: Did you mean supply?",
        "\nhelp: --from-box: Write one of these words, or leave --from-box out.",
    ];
    refused(&with_bikes(), &line, 2, &said);
}

#[test]
fn what_does_not_fit_what_the_book_has_names_its_value() {
    let workshop = with_bikes();
    let line = ["sale", "--bike", "B-1", "--listed-on", "2026-01-05"];
    let said = [
        "--sold-on (not given, so '2025-12-20'): expected a day not before --listed-on, 2026-01-05",
        "help: Correct --sold-on or --listed-on.",
    ];
    refused(&workshop, &line, 2, &said);
}

#[test]
fn a_bike_that_is_not_there_is_refused_with_the_one_that_was_meant() {
    let workshop = with_bikes();
    let line = ["sale", "--bike", "B-02", "--sold-on", "2026-04-01"];
    let said = [
        "--bike 'B-02': the book has no such bike, and a new one needs --style",
        "Did you mean B-2? For a new bike give --style: road hybrid mountain",
    ];
    refused(&workshop, &line, 1, &said);
    let line = ["cost", "--bike", "B-02", "--kind", "part", "--amount", "5"];
    let said = [
        "--bike 'B-02': expected a bike that is among the sales in the book",
        "Did you mean B-2? A new bike comes in with import sales or record sale.",
    ];
    refused(&workshop, &line, 1, &said);
    refused(
        &workshop,
        &["ask", "--bike", "zzz", "--ask", "5"],
        1,
        &["wheelworth record sale"],
    );
    refused(
        &workshop,
        &["sale", "--bike", "", "--style", "road"],
        2,
        &["--bike '': expected a value"],
    );
}

#[test]
fn a_day_outside_the_listing_is_refused_also_where_it_was_not_given() {
    let workshop = import_asks::with_bikes();
    let before = workshop.book_bytes();
    let output = workshop.run(&["record", "ask", "--bike", "B-1", "--ask", "200"]);
    let said =
        "--on (not given, so '2026-05-02'): expected a day in the listing of B-1: from 2026-01-10";
    output.says(1, &[said, "help: Correct the day"]);
    assert!(workshop.book_bytes() == before);
}

#[test]
fn a_gift_needs_an_amount_and_somebody() {
    let workshop = with_beneficiaries(&["Ferry Lane Reading Room", "Mill Street Kitchen"]);
    refused(
        &workshop,
        &["gift"],
        2,
        &["record gift: how much?", "help: Give --amount"],
    );
    let said = [
        "record gift: who received it?",
        "Ferry Lane Reading Room or Mill Street Kitchen.",
    ];
    refused(&workshop, &["gift", "--amount", "5"], 2, &said);
    let line = ["gift", "--reference", "T-9"];
    refused(
        &workshop,
        &line,
        1,
        &["--reference 'T-9': the book has no gift with it"],
    );
    let line = ["gift", "--amount", "5", "--beneficiary", ""];
    refused(&workshop, &line, 2, &["--beneficiary '': expected a value"]);
    let line = [
        "gift",
        "--amount",
        "-5",
        "--beneficiary",
        "Mill Street Kitchen",
    ];
    refused(
        &workshop,
        &line,
        2,
        &["take the gift back with wheelworth import --undo N"],
    );
    let nobody = with_beneficiaries(&[]);
    refused(
        &nobody,
        &["gift", "--amount", "5"],
        2,
        &["the book names nobody"],
    );
}

#[test]
fn without_an_event_or_its_flags_it_is_wrong_usage() {
    let workshop = with_bikes();
    for (words, said) in [
        (&[][..], "Usage: wheelworth record"),
        (&["swap"], "unrecognized subcommand 'swap'"),
        (
            &["cost", "--kind", "fee"],
            "record cost: --amount is not given",
        ),
        (&["ask", "--bike", "B-2"], "record ask: --ask is not given"),
        (&["sale"], "record sale: --bike is not given"),
        (
            &["cost", "--kind", "fee", "--amount", "1", "--note", "x"],
            "unexpected argument '--note'",
        ),
    ] {
        let output = workshop.run(&[&["record"], words].concat());
        output.says(2, &[said]);
        assert_eq!(output.out, "");
    }
}
