//! Exit statuses, where messages go, and what wrong usage gets.

use crate::support::program::program;
use crate::support::workshop::{TODAY, Workshop};

#[test]
fn wrong_usage_has_status_2_and_prints_nothing_on_standard_output() {
    let workshop = Workshop::new();
    for (words, said) in [
        (&["frobnicate"][..], "unrecognized subcommand 'frobnicate'"),
        (
            &["price"],
            "Give --style, or --bike ID, or --from BIKES.csv.",
        ),
        (
            &["price", "--style", "boat"],
            "--style 'boat': expected a style (road, hybrid",
        ),
        (
            &["price", "--style", "road", "--made", "20x6"],
            "--made '20x6'",
        ),
        (
            &["price", "--style", "road", "--condition", "6"],
            "--condition '6'",
        ),
        (
            &["price", "--style", "road", "--tier", "best"],
            "--tier 'best'",
        ),
        (
            &["price", "--style", "road", "--seat-tube", "5ft"],
            "--seat-tube '5ft'",
        ),
        (
            &["price", "--style", "road", "--new-price", "1.2.3"],
            "--new-price '1.2.3'",
        ),
        (&["price", "--style", "road", "--cost", "$5"], "--cost '$5'"),
        (&["price", "--style", "road", "--level", "1"], "--level '1'"),
        (
            &["price", "--style", "road", "--level", "NaN"],
            "--level 'NaN'",
        ),
        (
            &["price", "--style", "road", "--bike", "B-1"],
            "cannot be used with",
        ),
        (&["price", "--style", "road", "--format", "xml"], "xml"),
        (
            &["price", "--style", "road", "--as-of", "2.5.26"],
            "--as-of '2.5.26'",
        ),
        (
            &["price", "--style", "road", "--as-of", "2026-02-30"],
            "--as-of '2026-02-30'",
        ),
        (&["import"], "required"),
        (&["import", "swaps", "x.csv"], "swaps"),
        (
            &["import", "sales", "x.csv", "--column", "bike"],
            "--column 'bike': expected OURS=THEIRS",
        ),
        (&["import", "--undo", "one"], "one"),
    ] {
        let output = workshop.run(words);
        output.says(2, &[said]);
        assert_eq!(output.out, "", "{words:?}");
    }
}

#[test]
fn negative_values_are_told_as_such_and_no_mend_speaks_of_cells() {
    let workshop = Workshop::new();
    for (flag, value, said) in [
        (
            "--cost",
            "-5",
            "--cost '-5': expected an amount that is not negative",
        ),
        (
            "--hours",
            "-1",
            "--hours '-1': expected hours that are not negative",
        ),
        (
            "--new-price",
            "-5",
            "--new-price '-5': expected an amount above 0",
        ),
        (
            "--new-price",
            "0",
            "--new-price '0': expected an amount above 0",
        ),
        (
            "--made",
            "20x6",
            "Write the year in full, or leave --made out.",
        ),
        ("--cost", "x", "or leave --cost out."),
        ("--as-of", "2.5.26", "help: Write it as YYYY-MM-DD."),
        ("--as-of", "02/03/2026", "help: Write it as YYYY-MM-DD."),
    ] {
        let output = workshop.run(&["price", "--style", "road", flag, value]);
        output.says(2, &[said]);
        for word in ["cell", "--dates"] {
            assert!(!output.err.contains(word), "{}", output.err);
        }
    }
}

#[test]
fn every_refusal_of_ours_has_a_mend() {
    let workshop = Workshop::new();
    for words in [
        &["price", "--style", "boat"][..],
        &["price", "--bike", "B-1"],
        &["price", "--from", "@nowhere.csv"],
        &["import", "sales", "@nowhere.csv"],
        &["import", "--undo", "3"],
        &["record", "sale", "--bike", "B-1"],
        &["record", "gift"],
        &["start", "--currency", "EUR"],
    ] {
        let output = workshop.run(words);
        assert!(output.err.starts_with("error: "), "{}", output.err);
        let mend = output.err.split("\nhelp: ").nth(1);
        assert!(mend.is_some_and(|m| m.trim().len() > 5), "{}", output.err);
    }
}

#[test]
fn no_message_has_a_number_of_the_system_in_it() {
    let workshop = Workshop::busy();
    let said = workshop.run(&["import", "sales", "@none.csv"]).err;
    assert!(
        said.contains("cannot be opened: No such file or directory\n"),
        "{said}"
    );
}

#[test]
fn no_book_yet_says_how_to_make_one() {
    let workshop = Workshop::empty();
    for words in [
        &["check"][..],
        &["price", "--style", "road"],
        &["import", "--history"],
    ] {
        let output = workshop.run(words);
        output.says(1, &["there is no book at @book.sqlite", "wheelworth start"]);
        assert_eq!(workshop.files(), [""; 0]);
    }
}

#[test]
fn options_stand_before_or_after_the_command() {
    let workshop = Workshop::busy();
    let price = ["price", "--style", "road", "--made", "2015"];
    let options = [
        "--book",
        "@book.sqlite",
        "--as-of",
        "2026-04-01",
        "--format",
        "json",
    ];
    let before = workshop.run_as_typed(&[&options[..], &price].concat(), TODAY);
    let after = workshop.run_as_typed(&[&price[..], &options].concat(), TODAY);
    assert_eq!(before.json()["as_of"], "2026-04-01");
    assert_eq!(before, after);
}

#[test]
fn a_reader_that_closes_the_pipe_is_no_failure() {
    let workshop = Workshop::busy();
    let mut price = program(workshop.folder());
    price.args(["--book", "book.sqlite", "price", "--style", "road"]);
    price
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped());
    let mut child = price.spawn().unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
}

#[test]
fn commands_leave_no_side_files() {
    let workshop = Workshop::busy();
    workshop.run(&["price", "--style", "road"]).done();
    workshop.run(&["import", "--undo", "2"]).done();
    workshop.run(&["check"]).done();
    assert_eq!(
        workshop.files(),
        ["asks.csv", "book.sqlite", "comps.csv", "sales.csv"]
    );
}
