//! Costs of bikes that are not there, and what cannot be spent.

use crate::commands::import_costs::{COSTS, with_bikes};

const HEADER: &str = "bike,on,kind,item,amount,from_box";

/// Asserts that a file with a good row and then this one is refused.
#[track_caller]
fn refused(row: &str, said: &[&str]) {
    let workshop = with_bikes();
    workshop.file("bad.csv", format!("{HEADER}\n,2026-04-01,fee,,2,\n{row}\n"));
    let line = ["import", "costs", "@bad.csv"];
    workshop.refuses(&line, &[&["@bad.csv, line 3", "help: "], said].concat());
}

#[test]
fn an_unknown_bike_is_refused_with_the_one_that_was_meant() {
    refused(
        "B-02,2026-04-01,part,,5,",
        &[
            "column 1 'bike': 'B-02', expected a bike that is among the sales in the book",
            "Did you mean B-2?",
        ],
    );
    refused(
        "nothing like it,2026-04-01,part,,5,",
        &[
            "Import the sales with this bike first",
            "wheelworth record sale",
        ],
    );
    refused(
        &format!("{},2026-04-01,part,,5,", "B-2".repeat(3000)),
        &["column 1 'bike'", "Import the sales with this bike first"],
    );
}

#[test]
fn what_cannot_be_true_is_refused_with_its_mend() {
    for (row, said) in [
        (
            "B-2,2026-04-01,part,,-5,",
            "'-5', expected an amount that is not negative",
        ),
        (
            "B-2,2026-04-01,part,,(5),",
            "Money that came back makes the cost smaller",
        ),
        (
            "B-2,2026-04-01,part,,$5,",
            "the book's currency, not in '$'",
        ),
        ("B-2,2026-04-01,part,,5.0001,", "at most 2 decimals"),
        ("B-2,2026-04-01,part,,99999999999999999,", "at most 9e15"),
        ("B-2,2026-04-01,parts,,5,", "Did you mean part?"),
        ("B-2,2026-04-01,,,5,", "Fill in kind"),
        ("B-2,2026-05-03,part,,5,", "not one in the future"),
        (
            "B-2,02/03/2026,part,,5,",
            "--dates dmy reads it as 2026-03-02",
        ),
        ("B-2,2026-04-01,part,,5,maybe", "expected yes or no"),
        (
            "B-2,2026-04-01,part,a\u{7}b,5,",
            "the control character U+0007",
        ),
        ("B-2,2026-04-01,part,5", "6 cells, as in the header, not 4"),
    ] {
        refused(row, &[said]);
    }
}

#[test]
fn headers_of_another_file_are_told_apart() {
    let workshop = with_bikes();
    workshop.file("bad.csv", COSTS.replace("kind", "sort"));
    let said = [
        "column 3, 'sort', is not known",
        "the column 'kind' is missing",
    ];
    workshop.refuses(&["import", "costs", "@bad.csv"], &said);
    workshop.file("gifts.csv", crate::commands::import_gifts::GIFTS);
    let said = [
        "column 2, 'beneficiary', is not known",
        "To read it: wheelworth import gifts FILE",
    ];
    workshop.refuses(&["import", "costs", "@gifts.csv"], &said);
    workshop.file("empty.csv", HEADER);
    workshop.refuses(&["import", "costs", "@empty.csv"], &["refused as empty"]);
}

#[test]
fn rows_set_aside_come_in_when_their_bikes_are_there() {
    let workshop = with_bikes();
    workshop.file(
        "some.csv",
        format!("{HEADER}\nB-9,2026-04-01,part,,5,\nB-2,2026-04-01,fee,,5,\n"),
    );
    let output = workshop.run(&["import", "costs", "@some.csv", "--skip-bad", "@bad.csv"]);
    output.says(3, &[]);
    assert!(
        output
            .out
            .contains("1 row added, 0 updated, 0 unchanged, 1 set aside")
    );
    workshop
        .run(&["record", "sale", "--bike", "B-9", "--style", "city"])
        .done();
    let output = workshop.run(&["import", "costs", "@bad.csv"]).done();
    assert!(output.out.contains("1 row added"), "{}", output.out);
}

#[test]
fn a_formula_stays_a_text() {
    let workshop = with_bikes();
    workshop.file(
        "costs.csv",
        format!("{HEADER}\n,2026-04-01,part,'=1+1,5,\n"),
    );
    workshop.run(&["import", "costs", "@costs.csv"]).done();
    let costs = wheelworth::book::Book::open(&workshop.book())
        .unwrap()
        .costs();
    assert_eq!(costs.unwrap()[0].item.as_deref(), Some("=1+1"));
}

#[test]
fn very_many_rows_of_one_bike_are_judged() {
    let workshop = with_bikes();
    let rows: String = (1..=20_000)
        .map(|n| format!("B-1,2026-04-30,part,no {n},1,\n"))
        .collect();
    workshop.file("many.csv", format!("{HEADER}\n{rows}"));
    let output = workshop.run(&["import", "costs", "@many.csv"]).done();
    // 20,000 late costs and one replaced column: fifty are told, the rest counted.
    // How long that takes: tests/benches/odd.rs.
    assert!(
        output.err.contains("and 19951 more of the kind"),
        "{}",
        output.err
    );
}
