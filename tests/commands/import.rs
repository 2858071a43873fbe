//! `import`: what goes in, what is refused, all or nothing.

use crate::support::workshop::Workshop;

pub const TWO_SALES: &str = "\
bike,style,made,condition,listed_on,sold_on,sold_price
S1,road,2015,4,2026-03-01,2026-03-10,200
S2,city,2012,3,2026-03-05,2026-03-20,90
";

const TWO_COMPS: &str = "\
listing,source,style,made,ask,first_seen
c1,board,road,2016,250,2026-04-01
c2,board,city,2014,110,2026-04-02
";

#[test]
fn import_says_what_it_did() {
    let workshop = Workshop::new();
    workshop.file("mine.csv", TWO_SALES);
    let output = workshop.run(&["import", "sales", "@mine.csv"]).done();
    insta::assert_snapshot!(output.out, @r"
    @mine.csv: 2 rows added, 0 updated, 0 unchanged.
    Import 1; 'wheelworth import --undo 1' takes it back.
    ");
    assert_eq!(output.err, "");
}

#[test]
fn import_as_json() {
    let workshop = Workshop::new();
    workshop.file("mine.csv", TWO_SALES);
    let line = ["import", "sales", "@mine.csv", "--format", "json"];
    let found = workshop.run(&line).done().json();
    let expected = serde_json::json!({
        "file": "@mine.csv", "kind": "sales", "dry_run": false, "import": 1,
        "added": 2, "updated": 0, "unchanged": 0, "set_aside": 0,
        "changes": [], "cautions": [],
    });
    assert_eq!(found, expected);
}

#[test]
fn a_bad_row_keeps_the_whole_file_out() {
    let workshop = Workshop::new().sales(TWO_SALES);
    workshop.file(
        "bad.csv",
        format!("{TWO_COMPS}c3,board,boat,2016,250,2026-04-01\n"),
    );
    let said = [
        "1 row of @bad.csv cannot be used; nothing was imported",
        "@bad.csv, line 4, column 3 'style': 'boat', expected a style",
        "4 | c3,board,boat,2016,250,2026-04-01",
        "^^^^",
    ];
    workshop.refuses(&["import", "comps", "@bad.csv"], &said);
}

#[test]
fn a_dry_run_says_what_would_be_and_leaves_the_book_byte_for_byte() {
    let workshop = Workshop::new().sales(TWO_SALES);
    let before = workshop.book_bytes();
    workshop.file("comps.csv", TWO_COMPS);
    let output = workshop
        .run(&["import", "comps", "@comps.csv", "--dry-run"])
        .done();
    assert!(
        output
            .out
            .contains("2 rows would be added, 0 would be updated, 0 unchanged")
    );
    assert!(output.out.contains("Dry run: the book is as it was."));
    assert!(workshop.book_bytes() == before);
    let history = workshop.run(&["import", "--history"]).done().out;
    assert!(!history.contains("comps"), "{history}");
}

#[test]
fn a_dry_run_of_a_bad_file_is_refused_like_the_import() {
    let workshop = Workshop::new();
    workshop.file("bad.csv", TWO_COMPS.replace("110", "-110"));
    let wet = workshop.refuses(&["import", "comps", "@bad.csv"], &["'-110'"]);
    let dry = workshop.refuses(&["import", "comps", "@bad.csv", "--dry-run"], &["'-110'"]);
    assert_eq!(wet, dry);
}

#[test]
fn skip_bad_writes_the_rejects_and_imports_the_rest() {
    let workshop = Workshop::new();
    workshop.file(
        "some.csv",
        format!("{TWO_COMPS}c3,\"a \"\"b\"\"\",boat,2040,x,\n"),
    );
    let line = ["import", "comps", "@some.csv", "--skip-bad", "@bad.csv"];
    let output = workshop.run(&line);
    output.says(3, &[]);
    assert!(
        output
            .out
            .contains("2 rows added, 0 updated, 0 unchanged, 1 set aside")
    );
    assert!(output.out.contains("are in @bad.csv"));
    let bad = workshop.text("bad.csv");
    let mut reader = csv::Reader::from_reader(bad.as_bytes());
    let header: Vec<String> = reader.headers().unwrap().iter().map(String::from).collect();
    let titles = [
        "listing",
        "source",
        "style",
        "made",
        "ask",
        "first_seen",
        "line",
        "reasons",
    ];
    assert_eq!(header, titles);
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 1);
    let cells: Vec<&str> = rows[0].iter().take(7).collect();
    assert_eq!(cells, ["c3", "a \"b\"", "boat", "2040", "x", "", "4"]);
    for reason in [
        "column style: 'boat'",
        "column made: '2040'",
        "column ask: 'x'",
    ] {
        assert!(rows[0][7].contains(reason), "{}", &rows[0][7]);
    }
}

#[test]
fn skip_bad_without_bad_rows_is_done_and_leaves_no_file() {
    let workshop = Workshop::new();
    workshop.file("good.csv", TWO_COMPS);
    workshop
        .run(&["import", "comps", "@good.csv", "--skip-bad", "@bad.csv"])
        .done();
    assert_eq!(workshop.files(), ["book.sqlite", "good.csv"]);
}

#[test]
fn skip_bad_never_overwrites() {
    let workshop = Workshop::new();
    workshop.file("some.csv", TWO_COMPS.replace("road", "boat"));
    workshop.file("bad.csv", "mine");
    let line = ["import", "comps", "@some.csv", "--skip-bad", "@bad.csv"];
    workshop.refuses(&line, &["@bad.csv: is there already"]);
    assert_eq!(workshop.text("bad.csv"), "mine");
}

#[test]
fn several_files_go_in_together() {
    let workshop = Workshop::new();
    workshop.file("one.csv", TWO_COMPS);
    workshop.file(
        "two.csv",
        TWO_COMPS
            .replace("c1", "d1")
            .replace("c2", "d2")
            .replace("110", "115"),
    );
    let output = workshop
        .run(&["import", "comps", "@one.csv", "@two.csv"])
        .done();
    assert!(output.out.contains("@one.csv: 2 rows added"));
    assert!(output.out.contains("@two.csv: 2 rows added"));
    assert!(workshop.run(&["check"]).done().out.contains("4 comps"));
    let line = ["import", "comps", "@one.csv", "@two.csv"];
    let answer = workshop.run(&[&line[..], &["--format", "json"]].concat());
    let files: Vec<serde_json::Value> = answer.json().as_array().unwrap().clone();
    assert_eq!(files.len(), 2);
    assert_eq!(files[0]["file"], "@one.csv");
    assert_eq!(files[1]["unchanged"], 2);
}

#[test]
fn one_bad_file_keeps_all_of_them_out() {
    let workshop = Workshop::new();
    workshop.file("one.csv", TWO_COMPS);
    workshop.file("two.csv", TWO_COMPS.replace("110", "lots"));
    let line = ["import", "comps", "@one.csv", "@two.csv"];
    workshop.refuses(&line, &["@two.csv, line 3, column 5 'ask': 'lots'"]);
    workshop.refuses(
        &["import", "comps", "@one.csv", "@nowhere.csv"],
        &["@nowhere.csv"],
    );
}

#[test]
fn skip_bad_goes_with_one_file_and_says_so_before_it_imports() {
    let workshop = Workshop::new();
    workshop.file("one.csv", TWO_COMPS);
    workshop.file("two.csv", TWO_COMPS);
    let before = workshop.book_bytes();
    let line = [
        "import",
        "comps",
        "@one.csv",
        "@two.csv",
        "--skip-bad",
        "@bad.csv",
    ];
    workshop
        .run(&line)
        .says(2, &["--skip-bad goes with one file"]);
    assert!(
        workshop.book_bytes() == before,
        "the first file was imported"
    );
}

#[test]
fn unusual_asks_are_imported_and_told() {
    let mut comps = String::from("listing,style,ask,first_seen\n");
    for n in 1..=9 {
        comps += &format!("c{n},road,{},2026-04-01\n", 180 + 10 * n);
    }
    comps += "c10,road,2300,2026-04-01\n";
    let workshop = Workshop::new();
    workshop.file("comps.csv", comps);
    let output = workshop.run(&["import", "comps", "@comps.csv"]).done();
    // The middle of 190, 200, … 270 is 230.
    output.says(0, &["caution 1: @comps.csv, line 11: 2,300.00 EUR is 10 times the middle price of the others of style road (230.00 EUR)"]);
    assert!(output.out.contains("10 rows added"));
    assert!(!output.err.contains("caution 2"), "{}", output.err);
}
