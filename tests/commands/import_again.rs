//! `import` of what the book holds already, and taking back.

use super::import::TWO_SALES;
use crate::support::workshop::{ASKS, COMPS, SALES, Workshop};

#[test]
fn the_same_file_again_changes_nothing() {
    let workshop = Workshop::busy();
    let before = workshop.book_bytes();
    for (kind, file, rows) in [
        ("sales", "@sales.csv", 49),
        ("comps", "@comps.csv", 400),
        ("asks", "@asks.csv", 18),
    ] {
        let output = workshop.run(&["import", kind, file]).done();
        let said =
            format!("{file}: 0 rows added, 0 updated, {rows} unchanged.\nNothing changed.\n");
        assert_eq!(output.out, said);
        // Two listings of one bike were told the first time.
        assert!(!output.err.contains("look like one bike"), "{}", output.err);
    }
    assert!(workshop.book_bytes() == before);
    let lines = [SALES, COMPS, ASKS].map(|file| file.lines().count());
    assert_eq!(lines, [50, 401, 19]);
}

#[test]
fn a_changed_row_updates_and_says_so() {
    let workshop = Workshop::new().sales(TWO_SALES);
    let changed = TWO_SALES
        .replace("S2,city,2012,3", "S2,city,,4")
        .replace(",90", ",95.50");
    workshop.file("again.csv", changed);
    let output = workshop.run(&["import", "sales", "@again.csv"]).done();
    assert!(
        output.out.contains("0 rows added, 1 updated, 1 unchanged"),
        "{}",
        output.out
    );
    let change = output
        .out
        .lines()
        .find(|l| l.starts_with("  S2: "))
        .unwrap();
    for field in ["made 2012 -> unknown", "condition 3", "90.00 -> 95.50"] {
        assert!(change.contains(field), "'{field}' in {change}");
    }
}

#[test]
fn a_file_with_fewer_columns_or_rows_takes_nothing_away_but_what_it_names() {
    let workshop = Workshop::new().sales(TWO_SALES);
    workshop.file(
        "one.csv",
        TWO_SALES.lines().take(2).collect::<Vec<_>>().join("\n"),
    );
    let output = workshop.run(&["import", "sales", "@one.csv"]).done();
    assert!(output.out.contains("0 rows added, 0 updated, 1 unchanged"));
    assert!(workshop.run(&["check"]).done().out.contains("2 own bikes"));
}

#[test]
fn undo_takes_an_import_back() {
    let workshop = Workshop::new().sales(TWO_SALES);
    let price = ["price", "--style", "road", "--format", "json"];
    let before = workshop.run(&price).done();
    let changed = TWO_SALES.replace(",90", ",900") + "S3,road,2010,2,2026-01-05,2026-01-09,75\n";
    let workshop = workshop.sales(&changed);
    assert_ne!(workshop.run(&price).done().out, before.out);
    let output = workshop.run(&["import", "--undo", "2"]).done();
    assert_eq!(
        output.out,
        "Import 2 is taken back: 1 row removed, 1 put back to their earlier values.\n"
    );
    assert_eq!(workshop.run(&price).done(), before);
    workshop.refuses(
        &["import", "--undo", "2"],
        &["import 2", "was undone on 2026-05-02 already"],
    );
    workshop.refuses(
        &["import", "--undo", "7"],
        &["has no import 7", "--history"],
    );
}

#[test]
fn undo_of_an_import_that_a_later_one_changed_is_refused() {
    let workshop = Workshop::new()
        .sales(TWO_SALES)
        .sales(&TWO_SALES.replace(",90", ",91"));
    let said = [
        "import 1",
        "import 2 (@sales.csv) later changed 1 of its rows",
        "Undo import 2 first",
    ];
    workshop.refuses(&["import", "--undo", "1"], &said);
}
