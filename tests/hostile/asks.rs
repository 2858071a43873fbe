//! Asks of bikes that are not there, of days on which they were not listed, and
//! given twice.

use crate::commands::import_asks::with_bikes;
use crate::support::workshop::Workshop;

/// Asserts that a file with a good row and then this one is refused.
#[track_caller]
fn refused(row: &str, said: &[&str]) {
    let workshop = with_bikes();
    let rows = format!("bike,on,ask\nB-2,2026-04-01,110\n{row}\n");
    workshop.file("bad.csv", rows);
    let line = ["import", "asks", "@bad.csv"];
    workshop.refuses(&line, &[&["@bad.csv, line 3", "help: "], said].concat());
}

#[test]
fn an_unknown_bike_is_refused_with_the_one_that_was_meant() {
    refused(
        "B-02,2026-04-01,110",
        &[
            "column 1 'bike': 'B-02', expected a bike that is among the sales in the book",
            "Did you mean B-2?",
        ],
    );
    refused(
        "nothing like it,2026-04-01,110",
        &[
            "Import the sales with this bike first: wheelworth import sales FILE; or record the bike",
        ],
    );
    // An id of a length that nobody types is looked up no further.
    refused(
        &format!("{},2026-04-01,110", "B-2".repeat(3000)),
        &["column 1 'bike'", "Import the sales with this bike first"],
    );
    let workshop = Workshop::new();
    workshop.file("asks.csv", "bike,on,ask\nB-2,2026-04-01,110\n");
    let line = ["import", "asks", "@asks.csv"];
    workshop.refuses(&line, &["@asks.csv, line 2", "Import the sales"]);
}

#[test]
fn a_day_outside_the_listing_is_refused_with_its_days() {
    let listing =
        "a day in the listing of B-1: from 2026-01-10 (listed_on) up to 2026-03-20 (sold_on)";
    for day in ["2026-01-09", "2026-03-21"] {
        let place = format!("column 2 'on': '{day}', expected {listing}");
        refused(&format!("B-1,{day},250"), &[&place, "Correct the day"]);
    }
    refused(
        "B-2,2026-02-28,115",
        &["expected a day in the listing of B-2: from 2026-03-01 (listed_on)\n"],
    );
    let workshop = Workshop::new().sales("bike,style,sold_on,sold_price\nB-4,road,2026-02-01,90\n");
    workshop.file("bad.csv", "bike,on,ask\nB-4,2026-02-02,80\n");
    let said = ["a day in the listing of B-4: up to 2026-02-01 (sold_on)"];
    workshop.refuses(&["import", "asks", "@bad.csv"], &said);
}

#[test]
fn the_same_bike_and_day_twice() {
    refused(
        "B-2,2026-04-01,105",
        &["column 2 'on': '2026-04-01', expected a day that stands once for B-2 in the file"],
    );
    // Also where both say the same, or the book has it already.
    refused("B-2,2026-04-01,110", &["a day that stands once"]);
    let workshop = with_bikes().asks("bike,on,ask\nB-2,2026-04-01,110\n");
    let twice = "bike,on,ask\nB-2,2026-04-01,110\n B-2,2026-04-01,110\n";
    workshop.file("twice.csv", twice);
    workshop.refuses(
        &["import", "asks", "@twice.csv"],
        &["@twice.csv, line 3, column 2 'on'"],
    );
}

#[test]
fn cells_that_cannot_be_true_are_refused_in_one_go_with_the_rest() {
    let workshop = with_bikes();
    let rows =
        "B-2,2026-04-01,0\nB-2,2026-13-01,90\nB-9,2026-04-01,90\nB-2,2026-02-01,90\nB-2,2026-04-02";
    workshop.file("bad.csv", format!("bike,on,ask\n{rows}\n"));
    let said = [
        "5 rows of @bad.csv cannot be used",
        "line 2, column 3 'ask': '0', expected an amount above 0",
        "line 3, column 2 'on': '2026-13-01'",
        "line 4, column 1 'bike': 'B-9'",
        "line 5, column 2 'on': '2026-02-01'",
        "line 6",
    ];
    workshop.refuses(&["import", "asks", "@bad.csv"], &said);
}

#[test]
fn rows_set_aside_come_in_when_their_bikes_are_there() {
    let workshop = with_bikes();
    let rows = "bike,on,ask\nB-2,2026-04-01,110\nB-9,2026-04-01,90\nB-2,2026-02-01,90\n";
    workshop.file("some.csv", rows);
    let line = ["import", "asks", "@some.csv", "--skip-bad", "@bad.csv"];
    let output = workshop.run(&line);
    output.says(3, &[]);
    assert!(
        output
            .out
            .contains("1 row added, 0 updated, 0 unchanged, 2 set aside")
    );
    let bad = workshop.text("bad.csv");
    let lines: Vec<&str> = bad.lines().collect();
    assert_eq!(lines.len(), 3, "{bad}");
    assert!(lines[1].starts_with("B-9,2026-04-01,90,3,"), "{bad}");
    assert!(lines[2].contains("from 2026-03-01 (listed_on)"), "{bad}");
    // The mend: the missing bike, and a listing that began earlier.
    let more = "bike,style,listed_on,ask\nB-9,road,2026-03-01,100\nB-2,city,2026-01-15,120\n";
    let workshop = workshop.sales(more);
    let output = workshop.run(&["import", "asks", "@bad.csv"]).done();
    assert!(output.out.contains("2 rows added"), "{}", output.out);
}

#[test]
fn very_many_unknown_bikes_are_refused() {
    let sales: String = (0..1000).map(|n| format!("bike {n},road\n")).collect();
    let workshop = Workshop::new().sales(&format!("bike,style\n{sales}"));
    let rows: String = (0..5000)
        .map(|n| format!("bkie {n},2026-04-01,9\n"))
        .collect();
    workshop.file("bad.csv", format!("bike,on,ask\n{rows}"));
    let line = ["import", "asks", "@bad.csv"];
    workshop.refuses(&line, &["5000 rows of @bad.csv cannot be used"]);
    // How long that takes: tests/benches/odd.rs.
}
