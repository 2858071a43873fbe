//! `import asks`: price changes of own listings.

use crate::support::workshop::{TODAY, Workshop};
use wheelworth::book::Book;

/// B-1 was sold, B-2 stands, B-3 is not listed yet.
pub const BIKES: &str = "\
bike,style,listed_on,ask,sold_on,sold_price
B-1,road,2026-01-10,300,2026-03-20,240
B-2,city,2026-03-01,120,,
B-3,hybrid,,,,
";

const TWO_CUTS: &str = "bike,on,ask\nB-1,2026-02-10,270\nB-1,2026-03-12,245\n";

pub fn with_bikes() -> Workshop {
    Workshop::new().sales(BIKES)
}

/// What standard error says of a file of these rows that is imported.
fn told(rows: &str) -> String {
    let workshop = with_bikes();
    workshop.file("asks.csv", format!("bike,on,ask\n{rows}\n"));
    workshop.run(&["import", "asks", "@asks.csv"]).done().err
}

#[test]
fn mark_downs_go_in_without_a_word_of_doubt() {
    let workshop = with_bikes();
    workshop.file("asks.csv", TWO_CUTS);
    let output = workshop.run(&["import", "asks", "@asks.csv"]).done();
    insta::assert_snapshot!(output.out, @r"
    @asks.csv: 2 rows added, 0 updated, 0 unchanged.
    Import 2; 'wheelworth import --undo 2' takes it back.
    ");
    assert_eq!(output.err, "");
    let asks = Book::open(&workshop.book()).unwrap().asks().unwrap();
    let asks: Vec<String> = asks
        .iter()
        .map(|a| format!("{} {} {}", a.bike, a.on, a.ask.minor()))
        .collect();
    assert_eq!(asks, ["B-1 2026-02-10 27000", "B-1 2026-03-12 24500"]);
    let check = workshop.run(&["check", "--format", "json"]).done().json();
    assert_eq!((&check["asks"], &check["sound"]), (&2.into(), &true.into()));
}

#[test]
fn a_changed_ask_updates_and_says_so_and_is_taken_back() {
    let workshop = with_bikes().asks(TWO_CUTS);
    workshop.file("again.csv", TWO_CUTS.replace("245", "250"));
    let line = ["import", "asks", "@again.csv"];
    let json = [&line[..], &["--dry-run", "--format", "json"]].concat();
    let json = workshop.run(&json).done().json();
    let expected = serde_json::json!({
        "file": "@again.csv", "kind": "asks", "dry_run": true, "import": null,
        "added": 0, "updated": 1, "unchanged": 1, "set_aside": 0,
        "changes": ["B-1 on 2026-03-12: ask 245.00 -> 250.00"], "cautions": [],
    });
    assert_eq!(json, expected);
    let output = workshop.run(&line).done();
    let change = "  B-1 on 2026-03-12: ask 245.00 -> 250.00\n";
    assert!(output.out.starts_with(change), "{}", output.out);
    workshop.refuses(&["import", "--undo", "2"], &["Undo import 3 first."]);
    workshop.run(&["import", "--undo", "3"]).done();
    let again = workshop.run(&["import", "asks", "@asks.csv"]).done();
    assert!(again.out.contains("2 unchanged"), "{}", again.out);
    let history = workshop.run(&["import", "asks", "--history"]).done();
    insta::assert_snapshot!(history.out, @r"
    2  2026-05-02  asks    2 added  0 updated  0 unchanged  @asks.csv
    3  2026-05-02  asks    0 added  1 updated  1 unchanged  @again.csv  taken back on 2026-05-02
    ");
}

#[test]
fn columns_of_other_names_and_dates_are_read_and_remembered() {
    let workshop = with_bikes();
    workshop.file("cuts.csv", "No;When;Now\nB-1;10/02/2026;270,00\n");
    let columns = ["bike=No", "on=When", "ask=Now"];
    let columns = columns.iter().flat_map(|pair| ["--column", pair]);
    let line = ["import", "asks", "@cuts.csv", "--dates", "dmy"];
    let line: Vec<&str> = line.into_iter().chain(columns).collect();
    workshop.run(&line).done();
    let again = workshop.run(&["import", "asks", "@cuts.csv"]).done();
    assert!(
        again.out.contains("0 updated, 1 unchanged"),
        "{}",
        again.out
    );
}

#[test]
fn sales_are_not_taken_back_from_under_their_asks() {
    let workshop = with_bikes().asks(TWO_CUTS);
    let said = [
        "import 1 of the book",
        "import 2 (@asks.csv) later put asks, costs, refunds or inspections of its bikes, 2 in all",
        "help: Undo import 2 first.",
    ];
    workshop.refuses(&["import", "--undo", "1"], &said);
    workshop.run(&["import", "--undo", "2"]).done();
    workshop.run(&["import", "--undo", "1"]).done();
}

#[test]
fn a_raise_is_told() {
    insta::assert_snapshot!(told("B-2,2026-04-20,125\nB-2,2026-04-01,110"), @"caution 1: @asks.csv, line 2: B-2 is asked at 125.00 EUR from 2026-04-20 on, more than the 110.00 EUR before; check that it is meant");
    insta::assert_snapshot!(told("B-2,2026-04-01,130"), @"caution 1: @asks.csv, line 2: B-2 is asked at 130.00 EUR from 2026-04-01 on, more than the 120.00 EUR before; check that it is meant");
    assert_eq!(told("B-2,2026-04-01,120"), "", "the same ask is no raise");
}

#[test]
fn a_later_ask_of_the_book_that_becomes_a_raise_is_told() {
    let workshop = with_bikes().asks("bike,on,ask\nB-2,2026-04-20,110\n");
    workshop.file("more.csv", "bike,on,ask\nB-2,2026-04-01,100\n");
    let output = workshop.run(&["import", "asks", "@more.csv"]).done();
    output.says(0, &["caution 1: @more.csv, line 2: B-2 is asked at 110.00 EUR from 2026-04-20 on, more than the 100.00 EUR before"]);
}

#[test]
fn a_slipped_decimal_is_told_once() {
    insta::assert_snapshot!(told("B-1,2026-02-10,2700\nB-1,2026-03-12,245"), @"caution 1: @asks.csv, line 2: B-1 is asked at 2,700.00 EUR from 2026-02-10 on, 9 times its ask of 300.00 EUR; check the decimal point");
    insta::assert_snapshot!(told("B-1,2026-02-10,27.00"), @"caution 1: @asks.csv, line 2: B-1 is asked at 27.00 EUR from 2026-02-10 on, 1/11 of its ask of 300.00 EUR; check the decimal point");
    // Three times is far, a little less is a raise.
    assert!(told("B-2,2026-04-01,360").contains("3 times its ask of 120.00 EUR"));
    assert!(told("B-2,2026-04-01,359.99").contains("more than the 120.00 EUR before"));
    // Slow cuts down to a third of the first ask are told too.
    let slow = told("B-1,2026-02-01,150\nB-1,2026-03-01,100");
    assert!(
        slow.contains("line 3: B-1 is asked at 100.00 EUR") && !slow.contains("line 2"),
        "{slow}"
    );
}

#[test]
fn an_ask_on_the_day_of_listing_is_the_first_and_told_when_it_differs() {
    assert_eq!(told("B-2,2026-03-01,120"), "");
    insta::assert_snapshot!(told("B-2,2026-03-01,130\nB-2,2026-04-01,125"), @"caution 1: @asks.csv, line 2: B-2 was asked at 130.00 EUR on 2026-03-01, the day of its listing, but the first ask of the sales is 120.00 EUR; correct the one that is wrong");
}

#[test]
fn the_first_and_the_last_day_of_a_listing_belong_to_it() {
    assert_eq!(told("B-1,2026-01-10,300\nB-1,2026-03-20,240"), "");
}

#[test]
fn a_bike_without_a_day_of_listing_takes_asks_and_is_told() {
    insta::assert_snapshot!(told("B-3,2026-04-01,90\nB-3,2026-04-20,80"), @"caution 1: @asks.csv, line 2: B-3 has no listed_on among the sales; fill it in there, so that its days on market are known");
}

#[test]
fn sales_that_move_away_from_under_their_asks_are_imported_and_told() {
    let workshop = with_bikes().asks(TWO_CUTS);
    workshop.file("sales.csv", BIKES.replace("2026-03-20", "2026-02-20"));
    let line = ["import", "sales", "@sales.csv"];
    let output = workshop.run(&line).done();
    assert!(output.out.contains("1 updated"), "{}", output.out);
    insta::assert_snapshot!(output.err, @"caution 1: @sales.csv, line 2: B-1 has an ask on 2026-03-12, after its sold_on, 2026-02-20; correct the one that is wrong");
    // Told in that import, not in the next that changes no day.
    assert_eq!(workshop.run(&line).done().err, "");
    workshop.file(
        "sales.csv",
        BIKES.replace("2026-01-10,300", "2026-02-10,290"),
    );
    let output = workshop.run(&line).done();
    insta::assert_snapshot!(output.err, @"caution 1: @sales.csv, line 2: B-1 was asked at 270.00 EUR on 2026-02-10, the day of its listing, but the first ask of the sales is 290.00 EUR; correct the one that is wrong");
}

#[test]
fn a_book_from_before_the_asks_is_brought_up_to_date_with_a_copy_aside() {
    let workshop = with_bikes();
    // A book of version 1 is one of today without the tables of asks, of money and of
    // inspections.
    let book = rusqlite::Connection::open(workshop.book()).unwrap();
    book.execute_batch(
        "DROP TABLE rule_beneficiaries; DROP TABLE rules; DROP TABLE means; DROP TABLE renames; \
         DROP TABLE returns; DROP TABLE ways_to_leave; ALTER TABLE sales DROP COLUMN guess; \
         ALTER TABLE sales DROP COLUMN left_as; ALTER TABLE sales DROP COLUMN left_on; \
         ALTER TABLE sales DROP COLUMN box_value; ALTER TABLE sales DROP COLUMN box_item; \
         DROP TABLE offers; DROP TABLE inspection_rows; DROP TABLE inspections; DROP TABLE learnt_from; DROP TABLE learnt; DROP TABLE learnt_comps; DROP TABLE asks; DROP TABLE costs; DROP TABLE cost_kinds; DROP TABLE gifts; \
         DROP TABLE taken_back; DROP TABLE closed_pages; DROP TABLE closings; \
         PRAGMA user_version = 1",
    )
    .unwrap();
    drop(book);
    let workshop = workshop.asks(TWO_CUTS);
    let files = workshop.files();
    assert!(
        files.contains(&"book.sqlite.before-v9".to_string()),
        "{files:?}"
    );
    let sound = workshop.run(&["check"]).done();
    assert!(sound.out.contains("3 own bikes, 2 changes of their asks"));
}

#[test]
fn asks_of_a_later_day_wait_for_it() {
    let workshop = with_bikes();
    workshop.file("asks.csv", "bike,on,ask\nB-2,2026-05-03,110\n");
    workshop.refuses(
        &["import", "asks", "@asks.csv"],
        &["@asks.csv, line 2, column 2 'on': '2026-05-03'"],
    );
    let line = ["--book", "@book.sqlite", "import", "asks", "@asks.csv"];
    let tomorrow = TODAY.tomorrow().unwrap();
    workshop.run_as_typed(&line, tomorrow).done();
}

/// Every field has its column, so what is left over can only be left out.
#[test]
fn a_column_too_many_is_to_be_ignored() {
    let workshop = with_bikes();
    workshop.file("asks.csv", "bike,on,ask,why\nB-1,2026-02-10,270,rain\n");
    let output = workshop.refuses(&["import", "asks", "@asks.csv"], &["--ignore why"]);
    assert!(!output.err.contains("OURS"), "{}", output.err);
    workshop
        .run(&["import", "asks", "@asks.csv", "--ignore", "why"])
        .done();
}
