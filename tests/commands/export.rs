//! `export`: tables as files, and what is not overwritten.

use crate::support::workshop::{COMPS, SALES, Workshop};
use std::fs::File;
use wheelworth::intake::ExportMark;

const HEADER: &str = "bike,style,made,condition,tier,seat_tube,new_price,bought_on,listed_on,ask,\
    sold_on,sold_price,purchase,parts,fees,other_cost,hours,note,guess,left_on,left_as,box_value,\
    box_item\n";

/// Two bikes: one with every cell, one with as few as there can be.
fn two_bikes() -> Workshop {
    let full = "B-1,kids,2019,tidy,2,11in,250,2026-01-02,2026-02-01,95,2026-03-01,\"1,090.5\",20,15,\
        3,0,4.25,\"'=HYPERLINK(\"\"x\"\")\",110,,,,\n";
    Workshop::new().sales(&format!(
        "{HEADER}{full}'-7,road,,,,,,,,,,,,,,,,\"5\"\" rack, blue\",,2026-04-01,scrapped,12.5,wheels\n"
    ))
}

#[test]
fn csv_has_the_columns_of_the_import_and_every_cell_reads_one_way() {
    let workshop = two_bikes();
    let output = workshop.run(&["export", "sales", "@out.csv"]).done();
    assert_eq!(output.out, "Wrote @out.csv: 2 rows.\n");
    assert_eq!(output.err, "");
    // 11 in = 27.94 cm, which would be inches without its unit. The id and the
    // note are texts that a spreadsheet would run; in the file that was imported
    // they had their apostrophe.
    insta::assert_snapshot!(workshop.text("out.csv"), @r#"
    bike,style,made,condition,tier,seat_tube,new_price,bought_on,listed_on,ask,sold_on,sold_price,purchase,parts,fees,other_cost,hours,note,guess,left_on,left_as,box_value,box_item
    '-7,road,,,,,,,,,,,,,,,,"5"" rack, blue",,2026-04-01,scrapped,12.50,wheels
    B-1,kids,2019,4,2,27.94cm,250.00,2026-01-02,2026-02-01,95.00,2026-03-01,1090.50,20.00,15.00,3.00,0.00,4.25,"'=HYPERLINK(""x"")",110.00,,,,
    "#);
}

#[test]
fn json_says_table_file_and_rows() {
    let workshop = two_bikes();
    let line = ["export", "sales", "@out.csv", "--format", "json"];
    let answer = workshop.run(&line).done().json();
    assert_eq!(answer["table"], "sales");
    assert_eq!(answer["file"], "@out.csv");
    assert_eq!(answer["rows"], 2);
    assert_eq!(answer.as_object().unwrap().len(), 3);
}

#[test]
fn what_was_exported_is_imported_as_unchanged() {
    let workshop = Workshop::busy();
    for (table, rows) in [("sales", 49), ("comps", 400), ("asks", 18)] {
        for file in ["@copy.csv", "@copy.parquet"] {
            let output = workshop.run(&["export", table, file]).done();
            assert_eq!(output.out, format!("Wrote {file}: {rows} rows.\n"));
            let output = workshop.run(&["import", table, file]).done();
            let same = format!("0 rows added, 0 updated, {rows} unchanged");
            assert!(output.out.contains(&same), "{}", output.out);
            std::fs::remove_file(workshop.path(&file[1..])).unwrap();
        }
    }
}

#[test]
fn the_whole_table_whatever_the_day() {
    let workshop = Workshop::busy();
    workshop.run(&["export", "comps", "@now.csv"]).done();
    let line = ["export", "comps", "@then.csv", "--as-of", "2024-01-01"];
    let output = workshop.run(&line).done();
    assert_eq!(output.out, "Wrote @then.csv: 400 rows.\n");
    assert_eq!(workshop.text("now.csv"), workshop.text("then.csv"));
}

#[test]
fn an_empty_table_is_a_header_and_a_note() {
    let workshop = Workshop::new();
    for (table, header) in [
        ("sales", HEADER),
        ("asks", "bike,on,ask\n"),
        ("costs", "bike,on,kind,item,amount,from_box\n"),
        ("gifts", "on,beneficiary,amount,reference\n"),
        ("returns", "bike,on,refund,sold_on,sold_price\n"),
    ] {
        for file in ["@none.csv", "@none.parquet"] {
            let output = workshop.run(&["export", table, file]).done();
            assert_eq!(output.out, format!("Wrote {file}: 0 rows.\n"));
            let said = format!("The book has no {table} yet. It has a header and no rows");
            assert!(output.err.starts_with(&said), "{}", output.err);
        }
        assert_eq!(workshop.text("none.csv"), header);
        for file in ["none.csv", "none.parquet"] {
            let named = format!("@{file}");
            let said = format!("@{file}: has a header and no rows");
            workshop.refuses(&["import", table, &named], &[&said]);
            std::fs::remove_file(workshop.path(file)).unwrap();
        }
    }
}

#[test]
fn the_ending_says_how_it_is_written() {
    let workshop = two_bikes();
    for name in ["@sales.xlsx", "@sales", "@csv", "@sales.csv.gz"] {
        let output = workshop.run(&["export", "sales", name]);
        output.says(
            2,
            &["expected a name that ends in .csv or .parquet", "help: "],
        );
        assert_eq!(output.out, "");
    }
    workshop.run(&["export", "sales", "@A.CSV"]).done();
    workshop.run(&["export", "sales", "@A.Parquet"]).done();
    assert!(workshop.text("A.CSV").starts_with(HEADER));
    let bytes = std::fs::read(workshop.path("A.Parquet")).unwrap();
    assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
    let output = workshop.run(&["export", "quarters", "@q.csv"]);
    let kinds = "[possible values: sales, comps, asks, costs, gifts, returns, offers, inspections, value-model, time-model]";
    output.says(2, &[kinds]);
}

#[test]
fn an_earlier_export_is_replaced() {
    for name in ["copy.csv", "copy.parquet"] {
        let file = format!("@{name}");
        let workshop = two_bikes();
        workshop.run(&["export", "sales", &file]).done();
        let before = std::fs::read(workshop.path(name)).unwrap();
        let workshop = workshop.sales(SALES);
        let output = workshop.run(&["export", "sales", &file]).done();
        assert_eq!(output.out, format!("Wrote {file}: 51 rows.\n"));
        assert!(std::fs::read(workshop.path(name)).unwrap() != before);
        // Nothing is left beside it.
        let files = workshop.files();
        assert_eq!(files, ["book.sqlite", name, "sales.csv"]);
    }
    // Also one without rows, and a file that holds nothing.
    let workshop = Workshop::new();
    workshop.run(&["export", "comps", "@a.csv"]).done();
    workshop.run(&["export", "comps", "@a.parquet"]).done();
    workshop.file("b.csv", "");
    let workshop = workshop.comps(COMPS);
    for file in ["@a.csv", "@a.parquet", "@b.csv"] {
        workshop.run(&["export", "comps", file]).done();
    }
}

/// Asserts that the file, as it is, is not replaced by an export of sales.
#[track_caller]
fn stays(workshop: &Workshop, name: &str) {
    let before = std::fs::read(workshop.path(name)).unwrap();
    let said = [
        &format!("@{name}: is there already and is no earlier export of the sales, unchanged"),
        "Name another file, so that nothing is lost",
    ];
    workshop.refuses(&["export", "sales", &format!("@{name}")], &said);
    assert!(std::fs::read(workshop.path(name)).unwrap() == before);
}

#[test]
fn nothing_but_an_earlier_export_is_replaced() {
    let workshop = Workshop::busy();
    // The user's own list under the very same header, from which they import.
    workshop.file(
        "own.csv",
        format!("{HEADER}K-1,hybrid,,,,53{}\n", ",".repeat(17)),
    );
    stays(&workshop, "own.csv");
    workshop.run(&["export", "sales", "@copy.csv"]).done();
    let copy = workshop.text("copy.csv");
    // An export into which a spreadsheet wrote, or a row with cells of their own.
    workshop.file("crlf.csv", copy.replace('\n', "\r\n"));
    stays(&workshop, "crlf.csv");
    workshop.file(
        "row.csv",
        format!("{copy}B-99,road,,,,53{}\n", ",".repeat(17)),
    );
    stays(&workshop, "row.csv");
    // A row that looks as an export writes it, of a bike that is not in the book.
    workshop.file(
        "new.csv",
        format!("{copy}B-99,road,,,,53cm{}\n", ",".repeat(17)),
    );
    stays(&workshop, "new.csv");
    workshop.file("text.csv", format!("{HEADER}anything\n"));
    stays(&workshop, "text.csv");
    workshop.file("other.csv", "a,b\n1,2\n");
    stays(&workshop, "other.csv");
    workshop.run(&["export", "asks", "@asks-copy.csv"]).done();
    stays(&workshop, "asks-copy.csv");
    // Price changes kept by hand may look just as an export does.
    let mine = format!("{}B-49,2026-05-01,150.00\n", workshop.text("asks-copy.csv"));
    workshop.file("mine.csv", &mine);
    workshop.refuses(
        &["export", "asks", "@mine.csv"],
        &["no earlier export of the asks"],
    );
    assert_eq!(workshop.text("mine.csv"), mine);
    workshop.run(&["import", "asks", "@mine.csv"]).done();
    workshop.run(&["export", "asks", "@mine.csv"]).done();
    assert_eq!(workshop.text("mine.csv"), mine);
    // Parquet of another table, damaged, or of another program.
    workshop.run(&["export", "comps", "@comps.parquet"]).done();
    stays(&workshop, "comps.parquet");
    let bytes = std::fs::read(workshop.path("comps.parquet")).unwrap();
    workshop.file("half.parquet", &bytes[..bytes.len() / 2]);
    stays(&workshop, "half.parquet");
    let foreign = include_bytes!("../fixtures/pandas-sales.parquet");
    workshop.file("foreign.parquet", foreign);
    stays(&workshop, "foreign.parquet");
    workshop.file("text.parquet", "PAR1");
    stays(&workshop, "text.parquet");
}

#[test]
fn a_file_beside_it_is_not_taken_for_a_left_over_one() {
    let workshop = two_bikes();
    workshop.file("out.csv.part", "somebody's\n");
    workshop.run(&["export", "sales", "@out.csv"]).done();
    assert_eq!(workshop.text("out.csv.part"), "somebody's\n");
    let there = ["book.sqlite", "out.csv", "out.csv.part", "sales.csv"];
    assert_eq!(workshop.files(), there);
}

#[test]
fn the_book_itself_is_never_replaced() {
    let workshop = Workshop::empty();
    let book = ["--book", "@book.csv"];
    let today = crate::support::workshop::TODAY;
    let run = |words: &[&str]| workshop.run_as_typed(&[&book, words].concat(), today);
    run(&["start", "--currency", "EUR"]).done();
    let before = std::fs::read(workshop.path("book.csv")).unwrap();
    std::fs::create_dir(workshop.path("folder")).unwrap();
    for file in ["@book.csv", "@folder/../book.csv"] {
        run(&["export", "sales", file]).says(1, &["book.csv: is the book itself", "help: "]);
    }
    assert!(std::fs::read(workshop.path("book.csv")).unwrap() == before);
}

#[test]
fn parquet_says_its_table_currency_and_units() {
    let workshop = Workshop::in_currency("KWD").sales("bike,style,ask\nB-1,road,120.5\n");
    workshop.run(&["export", "sales", "@out.parquet"]).done();
    let mark = ExportMark::of(&mut File::open(workshop.path("out.parquet")).unwrap()).unwrap();
    assert_eq!(mark.table, "sales");
    assert_eq!((mark.currency.as_str(), mark.decimals), ("KWD", 3));
    let units: Vec<_> = mark
        .units
        .iter()
        .map(|(k, v)| (k.as_str(), v.as_str()))
        .collect();
    assert_eq!(units, [("hours", "h"), ("seat_tube", "mm")]);
}

#[test]
fn help_says_that_it_is_a_copy_of_the_records() {
    let output = Workshop::empty().run(&["export", "--help"]).done();
    let words: Vec<&str> = output.out.split_whitespace().collect();
    assert!(
        words
            .join(" ")
            .contains("copy of the records: all of them, whatever --as-of says")
    );
}
