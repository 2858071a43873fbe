//! `--as-of`: the book as it was known on a day.

use crate::support::workshop::Workshop;
use serde_json::Value;

fn on(workshop: &Workshop, day: &str) -> Value {
    let line = [
        "price", "--style", "road", "--made", "2015", "--format", "json", "--as-of", day,
    ];
    workshop.run(&line).done().json()
}

const SALES: &str = "\
bike,style,made,condition,tier,listed_on,sold_on,sold_price
S1,road,2015,4,3,2026-02-01,2026-02-10,200
S2,road,2016,3,3,2026-03-05,2026-03-20,190
S3,road,2013,3,3,2026-04-05,2026-04-20,170
";

#[test]
fn later_records_are_not_used() {
    let whole = Workshop::new().sales(SALES);
    // What was written by a day: no bike listed later, no sale made later.
    let by = |day: &str| -> String {
        let row = |line: &str| {
            let cells: Vec<&str> = line.split(',').collect();
            let sold = cells[0] == "bike" || cells[6] <= day;
            let listed = cells[5] <= day;
            let all = sold.then(|| line.to_string());
            all.or_else(|| listed.then(|| format!("{},,", cells[..6].join(","))))
        };
        let rows: Vec<String> = SALES.lines().filter_map(row).collect();
        rows.join("\n")
    };
    for (day, known) in [
        ("2026-02-10", 1),
        ("2026-03-19", 1),
        ("2026-03-20", 2),
        ("2026-05-02", 3),
    ] {
        let answer = on(&whole, day);
        assert_eq!(answer["as_of"], day);
        assert_eq!(answer["model"]["sales"], known, "{day}");
        // As a book that never held what came later.
        let then = Workshop::new().sales(&by(day));
        assert_eq!(answer, on(&then, day), "{day}");
    }
}

#[test]
fn before_the_first_record_there_is_nothing_to_go_on() {
    let workshop = Workshop::in_currency("THB").sales(SALES);
    assert_eq!(
        on(&workshop, "2026-02-09")["bikes"][0]["value"],
        Value::Null
    );
}

/// A look of the morning is known in the evening, and the day before it is not.
#[test]
fn a_comp_counts_from_the_day_on_which_it_was_first_seen() {
    let workshop = Workshop::new().comps(
        "\
listing,source,style,made,first_seen,last_seen,ask
c1,board,road,2015,2026-03-02,2026-03-02,240
c2,board,road,2016,2026-03-01,2026-03-01,260
",
    );
    let known = |day: &str| on(&workshop, day)["model"]["comps"].clone();
    assert_eq!([known("2026-03-01"), known("2026-03-02")], [1, 2]);
}

#[test]
fn a_comp_that_ended_later_counts_as_listed_at_its_first_ask() {
    let ended = "\
listing,source,style,made,first_seen,last_seen,ask,last_ask,outcome,ended_on,sold_price
c1,board,road,2015,2026-03-01,2026-04-20,240,200,sold,2026-04-19,190
c2,board,road,2016,2026-03-01,2026-03-30,260,,listed,,
";
    let open = "\
listing,source,style,made,first_seen,last_seen,ask,last_ask,outcome,ended_on,sold_price
c1,board,road,2015,2026-03-01,2026-03-01,240,,listed,,
c2,board,road,2016,2026-03-01,2026-03-30,260,,listed,,
";
    let (ended, open) = (Workshop::new().comps(ended), Workshop::new().comps(open));
    assert_eq!(on(&ended, "2026-04-01"), on(&open, "2026-04-01"));
    assert_ne!(on(&ended, "2026-04-20"), on(&open, "2026-04-20"));
    let near = on(&ended, "2026-04-01")["bikes"][0]["nearest"]["comps"].clone();
    let c1 = near
        .as_array()
        .unwrap()
        .iter()
        .find(|n| n["id"] == "c1")
        .unwrap()
        .clone();
    assert_eq!(
        (&c1["price"], &c1["outcome"]),
        (&240.0.into(), &"listed".into())
    );
}

#[test]
fn a_bike_sold_later_is_on_hand_that_day() {
    let workshop = Workshop::new().sales(SALES);
    let line = [
        "price",
        "--bike",
        "S3",
        "--as-of",
        "2026-04-10",
        "--format",
        "json",
    ];
    let answer = workshop.run(&line).done().json();
    assert_eq!(answer["model"]["sales"], 2);
    let cautions = answer["bikes"][0]["cautions"].to_string();
    assert!(!cautions.contains("own_sale_left_out"), "{cautions}");
    let said = ["--bike 'S3': was not there yet on 2026-03-01"];
    workshop.refuses(&["price", "--bike", "S3", "--as-of", "2026-03-01"], &said);
}

#[test]
fn imports_judge_the_future_against_the_day() {
    let workshop = Workshop::new();
    workshop.file("sales.csv", SALES);
    let line = ["import", "sales", "@sales.csv", "--as-of", "2026-04-01"];
    let said = [
        "@sales.csv, line 4, column 6 'listed_on': '2026-04-05'",
        "column 7 'sold_on': '2026-04-20'",
    ];
    workshop.refuses(&line, &said);
}

#[test]
fn an_old_market_is_told() {
    let comps = "listing,style,ask,first_seen\nc1,road,200,2025-06-01\n";
    let workshop = Workshop::new().comps(comps);
    let cautions = on(&workshop, "2026-05-02")["bikes"][0]["cautions"].to_string();
    // 1 June 2025 to 2 May 2026 is 335 days.
    assert!(cautions.contains("2025-06-01, 335 days ago"), "{cautions}");
    assert!(
        !on(&workshop, "2025-07-01")["bikes"][0]["cautions"]
            .to_string()
            .contains("days ago")
    );
}
