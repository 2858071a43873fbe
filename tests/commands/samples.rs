//! Two files as people keep them, in tests/fixtures: a shed's ledger that
//! imports whole with a column map, and jottings of the market of which some
//! rows cannot be true.

use crate::support::workshop::Workshop;

const LEDGER: &str = include_str!("../fixtures/shed-ledger.csv");
const MARKET: &str = include_str!("../fixtures/market-watch.csv");

/// Our columns and the ledger's.
pub const MAP: [(&str, &str); 17] = [
    ("bike", "No"),
    ("style", "What"),
    ("made", "Built"),
    ("condition", "Shape (1-5)"),
    ("tier", "Parts (1-5)"),
    ("seat_tube", "Frame"),
    ("new_price", "New costs"),
    ("bought_on", "Bought"),
    ("listed_on", "Up for sale"),
    ("ask", "Asked"),
    ("sold_on", "Sold"),
    ("sold_price", "Got"),
    ("purchase", "Paid"),
    ("parts", "Bits"),
    ("fees", "Ad fee"),
    ("hours", "Time h"),
    ("note", "Remarks"),
];

/// `--column OURS=THEIRS` for each.
pub fn columns() -> Vec<String> {
    MAP.iter()
        .flat_map(|(ours, theirs)| ["--column".to_string(), format!("{ours}={theirs}")])
        .collect()
}

fn with_ledger() -> Workshop {
    let workshop = Workshop::in_currency("GBP");
    workshop.file("ledger.csv", LEDGER);
    let columns = columns();
    let mut line = vec!["import", "sales", "@ledger.csv", "--dates", "dmy"];
    line.extend(columns.iter().map(String::as_str));
    let output = workshop.run(&line).done();
    assert!(
        output
            .out
            .starts_with("@ledger.csv: 12 rows added, 0 updated, 0 unchanged.")
    );
    workshop
}

#[test]
fn the_ledger_imports_whole_with_a_column_map() {
    let workshop = with_ledger();
    // Cells as they stand in the file: 20", £410.00, hours 6,5, cost 35 + 41.60 + 0.
    let output = workshop
        .run(&["price", "--bike", "H01", "--format", "json"])
        .done();
    let bike = output.json()["bikes"][0].clone();
    assert_eq!(bike["margin"]["cost"], 76.6);
    let (left, hour) = (&bike["margin"]["expected"], &bike["margin"]["per_hour"]);
    let per_hour = left.as_f64().unwrap() / 6.5;
    // Both are rounded to pennies.
    assert!((hour.as_f64().unwrap() - per_hour).abs() < 0.01);
    let text = workshop.run(&["price", "--bike", "H01"]).done().out;
    let first = text.lines().next().unwrap();
    assert_eq!(
        first,
        "H01: hybrid, 2013, condition 4 tidy, tier 2 sport, 50.8 cm (M)"
    );
    assert!(text.contains("It was sold on 2024-03-09 for 125.00."));
}

#[test]
fn the_ledger_without_its_map_is_refused_and_every_column_named() {
    let workshop = Workshop::in_currency("GBP");
    workshop.file("ledger.csv", LEDGER);
    let said: Vec<String> = (1..)
        .zip(MAP)
        .map(|(number, (_, theirs))| format!("column {number}, '{theirs}'"))
        .collect();
    let mut said: Vec<&str> = said.iter().map(String::as_str).collect();
    said.extend(["@ledger.csv, line 1", "--column", "did you mean"]);
    workshop.refuses(&["import", "sales", "@ledger.csv"], &said);
}

#[test]
fn rows_of_the_market_that_cannot_be_true_are_refused_in_one_go() {
    let workshop = with_ledger();
    workshop.file("market.csv", MARKET);
    let line = ["import", "comps", "@market.csv", "--dates", "dmy"];
    let said = [
        "6 rows of @market.csv cannot be used; nothing was imported",
        "@market.csv, line 8, column 4 'made': '2031', expected a model year up to",
        "@market.csv, line 9, column 3 'style': 'unicycle', expected a style",
        "@market.csv, line 10, column 12 'ask': 'offers', expected an amount",
        "@market.csv, line 15, column 11 'last_seen': '2024-03-10', expected a day not before first_seen",
        "@market.csv, line 17, column 5 'condition': '6', expected a condition",
        "@market.csv, line 18, column 12 'ask': '-150', expected an amount that is not negative",
        "--skip-bad",
    ];
    let output = workshop.refuses(&line, &said);
    // No other line of the file is blamed.
    let blamed = |line: usize| output.err.contains(&format!("@market.csv, line {line},"));
    let lines: Vec<usize> = (1..=18).filter(|line| blamed(*line)).collect();
    assert_eq!(lines, [8, 9, 10, 15, 17, 18]);
}

#[test]
fn the_rest_of_the_market_imports_and_what_is_odd_is_told() {
    let workshop = with_ledger();
    workshop.file("market.csv", MARKET);
    let line = [
        "import",
        "comps",
        "@market.csv",
        "--dates",
        "dmy",
        "--skip-bad",
        "@bad.csv",
    ];
    let output = workshop.run(&line);
    let said = [
        "@market.csv, line 4: 2,400.00 GBP is 10 times the middle price of the others of style road",
        "a1 (notice board) and a10 (notice board) look like one bike listed 2 times; each counts 1/2",
    ];
    output.says(3, &said);
    assert!(
        output
            .out
            .contains("11 rows added, 0 updated, 0 unchanged, 6 set aside")
    );
    let bad = workshop.text("bad.csv");
    let ids: Vec<&str> = bad
        .lines()
        .skip(1)
        .filter_map(|l| l.split(',').next())
        .collect();
    assert_eq!(ids, ["a7", "a8", "a9", "a14", "a16", "a17"]);
}
