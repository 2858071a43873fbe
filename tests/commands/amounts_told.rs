//! No amount is guessed: one separator before three digits is read by what the file,
//! or the book, says of the sign before decimals, and is refused where neither does.

use crate::support::workshop::Workshop;
use serde_json::Value;

/// What the only sale of an imported file was sold for.
fn sold_for(workshop: &Workshop, rows: &str, more: &[&str]) -> Result<f64, String> {
    let sales = format!("bike;style;sold_on;sold_price;purchase\n{rows}");
    workshop.file("sales.csv", sales);
    let output = workshop.run(&[&["import", "sales", "@sales.csv"], more].concat());
    if output.code != 0 {
        return Err(output.err);
    }
    workshop.run(&["export", "sales", "@out.csv"]).done();
    let text = workshop.text("out.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let at = |name: &str, header: &csv::StringRecord| header.iter().position(|h| h == name);
    let header = reader.headers().unwrap().clone();
    let row = reader.records().next().unwrap().unwrap();
    Ok(row[at("sold_price", &header).unwrap()].parse().unwrap())
}

#[test]
fn three_digits_after_one_separator_are_refused_with_both_readings() {
    let workshop = Workshop::new();
    let said = sold_for(&workshop, "A1;road;2026-03-01;12.345;40\n", &[]).unwrap_err();
    for words in [
        "sales.csv, line 2, column 4 'sold_price': '12.345'",
        "with --decimal comma it is 12345 EUR",
        "with --decimal point 12.345, more decimals than EUR has",
        "--decimal comma or --decimal point",
    ] {
        assert!(said.contains(words), "'{words}' in {said}");
    }
    assert!(workshop.run(&["check"]).done().out.contains("0 own bikes"));
}

#[test]
fn the_file_says_how_it_is_written() {
    for (purchase, expected) in [("45,50", 1234.0), ("1.045,50", 1234.0)] {
        let rows = format!("A1;road;2026-03-01;1.234;{purchase}\n");
        assert_eq!(sold_for(&Workshop::new(), &rows, &[]), Ok(expected));
    }
    // Also by a row that comes later.
    let rows = "A1;road;2026-03-01;1.234;40\nA2;road;2026-03-02;90;4,50\n";
    assert_eq!(sold_for(&Workshop::new(), rows, &[]), Ok(1234.0));
    let rows = "A1;road;2026-03-01;1,234;40\nA2;road;2026-03-02;90;4.50\n";
    assert_eq!(sold_for(&Workshop::new(), rows, &[]), Ok(1234.0));
    // The decimal sign before three digits has more decimals than the currency.
    let rows = "A1;road;2026-03-01;1.234;45.50\n";
    let said = sold_for(&Workshop::new(), rows, &[]).unwrap_err();
    assert!(said.contains("at most 2 decimals, as EUR has"), "{said}");
}

#[test]
fn a_file_that_says_both_is_refused_for_its_three_digit_cells_alone() {
    let workshop = Workshop::new();
    let both = "A1;road;2026-03-01;100;45.50\nA2;road;2026-03-01;90;4,50\n";
    assert_eq!(sold_for(&workshop, both, &[]), Ok(100.0));
    let workshop = Workshop::new();
    let rows = format!("A0;road;2026-03-01;1.234;40\n{both}");
    let said = sold_for(&workshop, &rows, &[]).unwrap_err();
    for words in ["'45.50' (line 3)", "'4,50' (line 4)", "'1.234'"] {
        assert!(said.contains(words), "'{words}' in {said}");
    }
    assert!(said.contains("1 row of"), "{said}");
}

#[test]
fn the_book_says_it_once_told_for_files_and_flags_alike() {
    let workshop = Workshop::new();
    let rows = "A1;road;2026-03-01;1.234;40\n";
    assert_eq!(
        sold_for(&workshop, rows, &["--decimal", "comma"]),
        Ok(1234.0)
    );
    let rows = "A1;road;2026-03-01;1.235;40\n";
    assert_eq!(sold_for(&workshop, rows, &[]), Ok(1235.0));
    let gift = [
        "record",
        "gift",
        "--beneficiary",
        "Reading room",
        "--amount",
    ];
    let output = workshop.run(&[&gift[..], &["8.333"]].concat()).done();
    assert!(output.out.contains("8,333.00 EUR"), "{}", output.out);
    let output = workshop.run(&[
        "price", "--style", "road", "--cost", "1.234", "--format", "json",
    ]);
    let cost = output.done().json()["bikes"][0]["margin"]["cost"].clone();
    assert_eq!(cost, Value::from(1234.0));

    let workshop = Workshop::empty();
    let start = ["start", "--currency", "EUR", "--decimal", "point"];
    workshop.run(&start).done();
    let rows = "A1;road;2026-03-01;1,234;40\n";
    assert_eq!(sold_for(&workshop, rows, &[]), Ok(1234.0));
    // What a file says of itself comes before what the book was told.
    let rows = "A1;road;2026-03-01;1.234;45,50\n";
    assert_eq!(sold_for(&workshop, rows, &[]), Ok(1234.0));
}

#[test]
fn a_dry_run_keeps_nothing_of_it() {
    let workshop = Workshop::new();
    workshop.file(
        "gifts.csv",
        "on,beneficiary,amount\n2026-03-01,Room,\"1,234\"\n",
    );
    let import = ["import", "gifts", "@gifts.csv"];
    let dry = ["--decimal", "point", "--dry-run"];
    workshop.run(&[&import[..], &dry].concat()).done();
    workshop.refuses(&import, &["reads one way"]);
}

#[test]
fn flags_are_refused_too_where_the_book_was_not_told() {
    let workshop = Workshop::new();
    let gift = [
        "record",
        "gift",
        "--beneficiary",
        "Room",
        "--amount",
        "8.333",
    ];
    let (before, output) = (workshop.book_bytes(), workshop.run(&gift));
    output.says(2, &["--amount '8.333'", "--decimal comma it is 8333 EUR"]);
    assert!(workshop.book_bytes() == before);
    workshop
        .run(&[&gift[..], &["--decimal", "comma"]].concat())
        .done();
    let output = Workshop::new().run(&["price", "--style", "road", "--cost", "8.333"]);
    output.says(2, &["--cost '8.333'", "without a sign for the thousands"]);
}

#[test]
fn three_decimals_take_a_full_stop_for_the_decimal_point() {
    let dinars = || Workshop::in_currency("KWD");
    let rows = "A1;road;2026-03-01;1.234;40\n";
    assert_eq!(sold_for(&dinars(), rows, &[]), Ok(1.234));
    let rows = "A1;road;2026-03-01;1.234;40,5\n";
    assert_eq!(sold_for(&dinars(), rows, &[]), Ok(1234.0));
    let rows = "A1;road;2026-03-01;1,234;40,5\n";
    assert_eq!(sold_for(&dinars(), rows, &[]), Ok(1.234));
}
