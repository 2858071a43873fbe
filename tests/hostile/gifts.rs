//! Gifts that cannot be, and one reference twice.

use crate::commands::import_gifts::{GIFTS, with_beneficiaries};
use crate::support::workshop::Workshop;

const HEADER: &str = "on,beneficiary,amount,reference";

/// Asserts that a file with a good row and then this one is refused.
#[track_caller]
fn refused(row: &str, said: &[&str]) {
    let workshop = Workshop::new();
    workshop.file(
        "bad.csv",
        format!("{HEADER}\n2026-04-01,Room,2,T-1\n{row}\n"),
    );
    let line = ["import", "gifts", "@bad.csv"];
    workshop.refuses(&line, &[&["@bad.csv, line 3", "help: "], said].concat());
}

#[test]
fn what_cannot_be_true_is_refused_with_its_mend() {
    for (row, said) in [
        ("2026-04-02,Room,0,", "expected an amount above 0"),
        (
            "2026-04-02,Room,-5,",
            "take the gift back with wheelworth import --undo N",
        ),
        ("2026-04-02,,5,", "Fill in beneficiary"),
        (",Room,5,", "Fill in on"),
        ("2026-04-02,Room,,", "Fill in amount"),
        ("2026-05-03,Room,5,", "not one in the future"),
        ("2026-04-02,Room,£5,", "the book's currency, not in '£'"),
        ("2026-04-02,\"Room\n2\",5,", "text without a line break"),
    ] {
        refused(row, &[said]);
    }
}

#[test]
fn the_same_reference_twice() {
    let said = "column 4 'reference': 'T-1', expected a reference that stands once in the file";
    refused("2026-04-02,Room,3,T-1", &[said, "a reference of its own"]);
    // Also where both say the same, and where the book has it already.
    refused("2026-04-01,Room,2, T-1 ", &["a reference that stands once"]);
    let workshop = with_beneficiaries(&["Ferry Lane Reading Room"]);
    workshop.file("gifts.csv", GIFTS);
    workshop.run(&["import", "gifts", "@gifts.csv"]).done();
    let first = GIFTS.lines().nth(1).unwrap();
    workshop.file("twice.csv", format!("{HEADER}\n{first}\n{first}\n"));
    let line = ["import", "gifts", "@twice.csv"];
    workshop.refuses(
        &line,
        &["@twice.csv, line 3", "a reference that stands once"],
    );
    // Set aside, the first of them is the one that is there.
    let output = workshop.run(&[&line[..], &["--skip-bad", "@bad.csv"]].concat());
    output.says(3, &[]);
    assert!(
        output.out.contains("1 unchanged, 1 set aside"),
        "{}",
        output.out
    );
}

#[test]
fn very_many_names_are_taken() {
    let workshop = Workshop::new();
    let rows: String = (0..20_000)
        .map(|n| format!("2026-04-01,Room {n},1,\n"))
        .collect();
    workshop.file("many.csv", format!("{HEADER}\n{rows}"));
    // How long that takes: tests/benches/odd.rs.
    let output = workshop.run(&["import", "gifts", "@many.csv"]).done();
    assert!(output.out.contains("20000 rows added"), "{}", output.out);
}
