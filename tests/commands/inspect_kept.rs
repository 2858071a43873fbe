//! `inspect --bike`: inspections kept in the book.

use super::inspect::filled;
use crate::support::workshop::Workshop;
use serde_json::{Value, json};

/// Sold in April: K1 to K4. On hand: L1 listed, L2 not.
const SALES: &str = "\
bike,style,made,condition,tier,bought_on,listed_on,ask,sold_on,sold_price,purchase,hours
K1,hybrid,2015,4,2,2026-02-01,2026-03-01,180,2026-04-10,170,40,3
K2,hybrid,2016,3,2,2026-02-01,2026-03-01,170,2026-04-12,160,40,3
K3,road,2014,4,3,2026-02-01,2026-03-01,220,2026-04-14,205,50,4
K4,road,2013,3,3,2026-02-01,2026-03-01,200,2026-04-16,190,50,4
L1,hybrid,2015,4,2,2026-03-01,2026-04-20,185,,,45,3
L2,hybrid,2017,4,2,2026-03-01,,,,,45,3
";

/// Everything that a ready bike has.
const NOTES: [(&str, &str, &str, &str); 4] = [
    ("recall check", "pass", "", "none on 20 April"),
    ("carbon parts", "not_fitted", "", ""),
    ("suspension", "not_fitted", "", ""),
    ("marks", "fail", "", "scratches"),
];

pub fn shed() -> Workshop {
    Workshop::new().sales(SALES)
}

pub fn passed() -> String {
    filled(&[("style", "hybrid")], &NOTES)
}

/// The same with these rows instead.
pub fn but(found: &[(&str, &str, &str, &str)]) -> String {
    filled(&[("style", "hybrid")], &[found, &NOTES].concat())
}

pub fn failed() -> String {
    but(&[
        ("front tyre", "fail", "", "cracked"),
        ("rear tyre", "fail", "", "cracked"),
        ("front pads", "pass", "0.5 mm", ""),
        ("rear pads", "fail", "", ""),
        ("headset", "unchecked", "", ""),
    ])
}

/// Keeps a sheet; the answer as JSON.
pub fn keep(workshop: &Workshop, sheet: &str, bike: &str, on: &str) -> Value {
    workshop.file("sheet.csv", sheet);
    let line = [
        "inspect",
        "@sheet.csv",
        "--bike",
        bike,
        "--on",
        on,
        "--format",
        "json",
    ];
    workshop.run(&line).done().json()
}

pub fn price(workshop: &Workshop, bike: &str, words: &[&str]) -> Value {
    let line = [&["price", "--bike", bike, "--format", "json"], words].concat();
    workshop.run(&line).done().json()["bikes"][0].clone()
}

/// The text of the caution of this code, if there is one.
pub fn told(answer: &Value, code: &str) -> Option<String> {
    let cautions = answer["cautions"].as_array().unwrap();
    let found = cautions.iter().find(|caution| caution["code"] == code);
    found.map(|caution| caution["text"].as_str().unwrap().to_string())
}

#[test]
fn an_inspection_is_kept_with_its_day_and_shown_again() {
    let workshop = shed();
    workshop.file("sheet.csv", passed());
    let output = workshop
        .run(&["inspect", "@sheet.csv", "--bike", "L1"])
        .done();
    assert_eq!(output.err, "");
    assert!(
        output.out.starts_with("L1: hybrid, condition 4 tidy"),
        "{}",
        output.out
    );
    assert!(
        output
            .out
            .contains("Price it: wheelworth price --bike L1\n")
    );
    let ending = output.out.lines().last().unwrap();
    insta::assert_snapshot!(ending, @"Inspection of L1 on 2026-05-02 kept as import 2; it is the only one kept. 'wheelworth import --undo 2' takes it back.");
    let shown = workshop.run(&["inspect", "--bike", "L1"]).done();
    let (first, rest) = shown.out.split_once('\n').unwrap();
    assert_eq!(first, "Inspected on 2026-05-02, the only one kept");
    assert!(output.out.starts_with(rest), "{rest}");
    let answer = workshop
        .run(&["inspect", "--bike", "L1", "--format", "json"])
        .done()
        .json();
    assert_eq!(answer["bike"], "L1");
    assert_eq!(answer["ready"], true);
    assert_eq!(
        answer["kept"],
        json!({"on": "2026-05-02", "count": 1, "import": null})
    );
    assert!(
        workshop
            .run(&["check"])
            .done()
            .out
            .ends_with(", 1 inspection.\n")
    );
    let history = workshop.run(&["import", "--history"]).done().out;
    assert!(
        history.contains("@sheet.csv: L1 on 2026-05-02"),
        "{history}"
    );
}

#[test]
fn the_same_again_is_told_and_another_is_a_second_record() {
    let workshop = shed();
    assert_eq!(
        keep(&workshop, &failed(), "L1", "2026-04-20")["kept"],
        json!({"on": "2026-04-20", "count": 1, "import": 2})
    );
    let bytes = workshop.book_bytes();
    assert_eq!(
        keep(&workshop, &failed(), "L1", "2026-04-20")["kept"],
        json!({"on": "2026-04-20", "count": 1, "import": null})
    );
    let line = [
        "inspect",
        "@sheet.csv",
        "--bike",
        "L1",
        "--on",
        "2026-04-20",
    ];
    let again = workshop.run(&line).done().out;
    assert!(
        again.ends_with(
            "This inspection of L1 on 2026-04-20 is in the book already; it is the only one kept.\n"
        ),
        "{again}"
    );
    assert!(workshop.book_bytes() == bytes, "the book changed");
    // Another day, another sheet, another bike: records of their own.
    for (sheet, bike, on, count) in [
        (failed(), "L1", "2026-04-21", 2),
        (passed(), "L1", "2026-04-21", 3),
        (failed(), "L2", "2026-04-20", 1),
    ] {
        assert_eq!(keep(&workshop, &sheet, bike, on)["kept"]["count"], count);
    }
    let shown = workshop.run(&["inspect", "--bike", "L1"]).done().out;
    assert!(
        shown.starts_with("Inspected on 2026-04-21, the latest of 3 kept\nL1: "),
        "{shown}"
    );
    assert!(shown.contains("Ready to ride"), "{shown}");
}

#[test]
fn a_gate_stays_open_until_a_new_inspection() {
    let workshop = shed();
    keep(&workshop, &passed(), "L1", "2026-04-01");
    keep(&workshop, &failed(), "L1", "2026-04-20");
    // New tyres and pads are paid for, and the record says mint: nothing clears it.
    for item in ["tyres", "pads"] {
        let line = [
            "record", "cost", "--bike", "L1", "--kind", "part", "--amount", "20", "--item", item,
        ];
        workshop.run(&line).done();
    }
    workshop
        .run(&["record", "sale", "--bike", "L1", "--condition", "5"])
        .done();
    let gated = price(&workshop, "L1", &[]);
    let gates = json!([
        "front tyre",
        "front pads",
        "headset",
        "rear tyre",
        "rear pads"
    ]);
    assert_eq!(
        gated["inspection"],
        json!({"on": "2026-04-20", "ready": false, "condition": 2, "open_gates": gates})
    );
    // An older sheet found again is kept, and the latest still counts.
    workshop.file("sheet.csv", passed().replace("scratches", "scratched"));
    let line = [
        "inspect",
        "@sheet.csv",
        "--bike",
        "L1",
        "--on",
        "2026-04-10",
    ];
    let older = workshop.run(&line).done();
    assert!(
        older
            .err
            .contains("the inspection of 2026-04-20 is the latest of L1"),
        "{}",
        older.err
    );
    assert_eq!(price(&workshop, "L1", &[])["inspection"]["ready"], false);
    let import = keep(&workshop, &passed(), "L1", "2026-05-01")["kept"]["import"].clone();
    assert_eq!(price(&workshop, "L1", &[])["inspection"]["ready"], true);
    // Taken back, the gates are open again.
    workshop
        .run(&["import", "--undo", &import.to_string()])
        .done();
    assert_eq!(
        price(&workshop, "L1", &[])["inspection"],
        gated["inspection"]
    );
}

#[test]
fn a_later_inspection_is_not_known() {
    let workshop = shed();
    keep(&workshop, &passed(), "L1", "2026-04-21");
    keep(&workshop, &failed(), "L1", "2026-04-30");
    let on = |day: &str| price(&workshop, "L1", &["--as-of", day])["inspection"].clone();
    assert_eq!(on("2026-04-20"), Value::Null);
    assert_eq!(on("2026-04-21")["ready"], true);
    assert_eq!(on("2026-04-29")["on"], "2026-04-21");
    assert_eq!(on("2026-04-30")["ready"], false);
    let shown = |day: &str| {
        let line = ["inspect", "--bike", "L1", "--as-of", day];
        workshop.run(&line).done().out
    };
    insta::assert_snapshot!(shown("2026-04-20"), @"L1 is not inspected yet: wheelworth inspect --blank SHEET.csv; filled in, wheelworth inspect SHEET.csv --bike L1.");
    assert!(shown("2026-04-29").starts_with("Inspected on 2026-04-21, the only one kept\n"));
    assert!(shown("2026-05-02").starts_with("Inspected on 2026-04-30, the latest of 2 kept\n"));
    let line = ["inspect", "--bike", "L2", "--format", "json"];
    assert_eq!(
        workshop.run(&line).done().json(),
        json!({"bike": "L2", "kept": {"on": null, "count": 0, "import": null}})
    );
}

#[test]
fn what_cannot_be_kept_is_refused_and_the_book_stays() {
    let workshop = shed();
    workshop.file("sheet.csv", passed());
    workshop.file("blank.csv", "item,result\nfront tyre,\n");
    workshop.file("other.csv", filled(&[("bike", "L2")], &NOTES));
    workshop.file("bad.csv", "item,result\nfront tyre,good\n");
    for (line, said) in [
        (
            vec!["@sheet.csv", "--bike", "l01"],
            vec![
                "--bike 'l01': the book has no such bike",
                "Did you mean L1?",
            ],
        ),
        (
            vec!["--bike", "zebra"],
            vec!["--bike 'zebra': the book has no such bike", "import sales"],
        ),
        (
            vec!["@blank.csv", "--bike", "L1"],
            vec!["nothing on @blank.csv has a result; no inspection was kept"],
        ),
        (
            vec!["@other.csv", "--bike", "L1"],
            vec!["@other.csv is the sheet of bike L2, and --bike says L1"],
        ),
        (
            vec!["@bad.csv", "--bike", "L1"],
            vec!["@bad.csv, line 2, column 2 'result': 'good'"],
        ),
    ] {
        workshop.refuses(&[&["inspect"], line.as_slice()].concat(), &said);
    }
    for (words, said) in [
        (
            vec!["@sheet.csv", "--bike", "L1", "--on", "2026-05-03"],
            "--on '2026-05-03': expected a day up to 2026-05-02",
        ),
        (
            vec!["@sheet.csv", "--bike", "L1", "--on", "lately"],
            "--on 'lately': expected",
        ),
        (vec!["@sheet.csv", "--on", "2026-05-01"], "--bike"),
        (vec!["--bike", "L1", "--on", "2026-05-01"], "SHEET.csv"),
    ] {
        let line = [&["inspect"], words.as_slice()].concat();
        workshop.run(&line).says(2, &[said]);
    }
    assert_eq!(
        workshop
            .run(&["inspect", "--bike", "L1"])
            .done()
            .out
            .lines()
            .count(),
        1
    );
    // A name that is no bike of the book, and a sale before it, are told.
    workshop.file("named.csv", filled(&[("bike", "the blue one")], &NOTES));
    let line = ["inspect", "@named.csv", "--bike", "K1"];
    let output = workshop.run(&line).done();
    insta::assert_snapshot!(output.err, @r"
    caution 1: the sheet calls the bike the blue one; it was kept as K1
    caution 2: K1 was sold on 2026-04-10, before this inspection
    ");
}
