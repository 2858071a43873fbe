//! `import` of files as people keep them: a title above, a total below, lots among comps.

use crate::support::sheets::{cells, ods, xlsx};
use crate::support::workshop::Workshop;

fn exported(workshop: &Workshop, table: &str) -> String {
    workshop.run(&["export", table, "@out.csv"]).done();
    let text = workshop.text("out.csv");
    std::fs::remove_file(workshop.path("out.csv")).unwrap();
    text
}

const ROWS: &str = "bike,style,bought_on,sold_on,sold_price,parts\n\
    A1,road,2025-03-01,2025-04-01,120.50,10\n\
    A2,city,2025-03-02,2025-04-02,80,5.25\n\
    A3,city,2025-03-03,,,4\n";

/// A file of some kind from the text of a CSV.
type Maker = fn(&str) -> Vec<u8>;

#[test]
fn a_title_and_a_total_are_left_out_and_told() {
    let untidy = format!("My bikes 2025\nas of May,,,,,\n,,,,,\n{ROWS}\nTotal,,,,200.50,19.25\n");
    let plain = Workshop::new().sales(ROWS);
    let makers: [(&str, Maker); 3] = [
        ("csv", |text| text.as_bytes().to_vec()),
        ("xlsx", |text| xlsx(&[("S", cells(text))])),
        ("ods", |text| ods(&[("S", cells(text))])),
    ];
    for (ending, make) in makers {
        let workshop = Workshop::new();
        let name = format!("@mine.{ending}");
        workshop.file(&name[1..], make(&untidy));
        let output = workshop.run(&["import", "sales", &name]).done();
        let said = [
            "lines 1 to 2 above the header were left out: 'My bikes 2025, as of May'",
            "line 9: calls itself a total and was left out: sold_price 200.50, parts 19.25",
        ];
        output.says(0, &said);
        assert!(output.out.contains("3 rows added"), "{}", output.out);
        assert_eq!(
            exported(&workshop, "sales"),
            exported(&plain, "sales"),
            "{ending}"
        );
        // Problems stand on the lines of the file.
        workshop.file(&name[1..], make(&untidy.replace("A2,city", "A2,citx")));
        let place = if ending == "csv" {
            "line 6, column 2"
        } else {
            "cell B6, column 2"
        };
        workshop.refuses(&["import", "sales", &name], &[place, "'citx'"]);
    }
}

#[test]
fn a_title_before_semicolons_does_not_hide_the_separator() {
    let workshop = Workshop::new();
    workshop.file(
        "mine.csv",
        "Meine Räder, alle\n\nbike;style;ask\nA1;road;120,50\n",
    );
    workshop.run(&["import", "sales", "@mine.csv"]).says(
        0,
        &["line 1 above the header was left out: 'Meine Räder, alle'"],
    );
    assert!(exported(&workshop, "sales").contains("A1,road,,,,,,,,120.50"));
    // A header that fits in the first line is the header, whatever stands below it.
    workshop.file("two.csv", "bike,style,ask\nbike,style,90\n");
    workshop.refuses(
        &["import", "sales", "@two.csv"],
        &["line 2, column 2 'style': 'style'"],
    );
}

#[test]
fn a_last_row_is_a_total_only_where_it_must_be_one() {
    let sales = |rows: &str| format!("bike,style,sold_on,sold_price,parts\n{rows}");
    let two = "A1,road,2025-04-01,50,1\nA2,road,2025-04-02,50,2\n";
    let three = format!("{two}A3,city,2025-04-03,60,3\n");
    // Rows, how many are left, and what is told.
    let cases = [
        // It lacks what every row must have, and its amounts are the sums.
        (
            format!("{two},,,100,3\n"),
            2,
            "line 4: adds up the rows above it and was left out: sold_price 100.00, parts 3.00",
        ),
        (
            format!("{two}Subtotal:,,,100,\nTotal,,,100,3\n"),
            2,
            "line 5: calls itself a total",
        ),
        // A total that does not add up is left out, and that is told.
        (
            format!("{two}Summe 2025,,,99,3\n"),
            2,
            "its sold_price of 99.00 is not the sum of the rows above, 100.00",
        ),
        // A bike with all that a row needs was sold for what two others brought.
        (
            format!("{two}A3,city,2025-04-03,100,3\n"),
            3,
            "line 4: its amounts are the sums of the rows above (sold_price 100.00, parts 3.00), but it has all",
        ),
        // In one column of two it is no total at all.
        (format!("{two}A3,city,2025-04-03,100,9\n"), 3, ""),
        // An id and a style, but no day.
        (
            format!("{three}A4,other,,160,6\n"),
            3,
            "line 5: adds up the rows above it and was left out",
        ),
    ];
    for (rows, left, said) in cases {
        let workshop = Workshop::new();
        workshop.file("mine.csv", sales(&rows));
        let output = workshop.run(&["import", "sales", "@mine.csv"]).done();
        output.says(0, &[said]);
        assert!(
            said.len() > 1 || !output.err.contains("total"),
            "{}",
            output.err
        );
        assert!(
            output.out.contains(&format!("{left} rows added")),
            "{rows}{}",
            output.out
        );
    }
    // What is no sum lacks its id; and one amount is not the sum of one.
    for rows in [
        format!("{two},,,101,3\n"),
        "A1,road,2025-04-01,50,1\n,,,50,1\n".into(),
    ] {
        let workshop = Workshop::new();
        workshop.file("mine.csv", sales(&rows));
        workshop.refuses(&["import", "sales", "@mine.csv"], &["column 1 'bike'"]);
    }
    // Nor is a total one in the middle.
    let workshop = Workshop::new();
    workshop.file("mine.csv", sales(&format!("Total,,,0,\n{two}")));
    workshop.refuses(
        &["import", "sales", "@mine.csv"],
        &["line 2, column 2 'style'"],
    );
}

#[test]
fn a_row_with_a_day_is_never_left_out() {
    let workshop = Workshop::new();
    let rows = "bike,style,sold_on,sold_price,bought_on,purchase,check\n\
        B-1,road,2026-01-05,100,2026-01-01,10,\n\
        B-2,road,2026-01-06,50,2026-01-02,5,\n";
    let import = ["import", "sales", "@mine.csv", "--ignore", "check"];
    for (last, said) in [
        ("B-3,rennrad,2026-01-07,150,2026-01-03,15,", "'rennrad'"),
        (",road,2026-01-07,150,2026-01-03,15,", "column 1 'bike'"),
        (",road,2026-01-07,70,2026-01-03,15,Sum", "column 1 'bike'"),
        // Words elsewhere say nothing of the row.
        (",road,,70,,15,Sum", "column 1 'bike'"),
        // What cannot be read is there.
        ("B-3,rennrad,,70,,15,Sum", "'rennrad'"),
    ] {
        workshop.file("mine.csv", format!("{rows}{last}\n"));
        workshop.refuses(&import, &["line 4", said]);
    }
    // A bike with such a note, whose amounts happen to add up, is one, and told.
    let named = "bike,style,sold_on,sold_price,purchase,note\n\
        B-1,road,2026-01-05,100,10,\n\
        B-2,road,2026-01-06,50,5,\n\
        B-3,road,2026-01-07,150,15,Sum\n";
    let other = Workshop::new();
    other.file("named.csv", named);
    let read = other.run(&["import", "sales", "@named.csv"]).done();
    read.says(0, &["its amounts are the sums of the rows above"]);
    assert!(read.out.contains("3 rows added"), "{}", read.out);
    workshop.file("mine.csv", format!("{rows}Sum,,,150,,15,\n"));
    workshop
        .run(&import)
        .says(0, &["line 4: calls itself a total"]);
}

#[test]
fn rows_taken_for_totals_count_again_once_a_row_follows() {
    let rows = |amounts: &[i64]| {
        let names = ["A", "B", "C", "D", "E", "F"].iter().zip(amounts);
        let rows: String = names
            .map(|(name, amount)| format!("{name},road,{amount}\n"))
            .collect();
        format!("bike,style,ask\n{rows}")
    };
    for (text, left, said) in [
        (rows(&[10, 20, 30, 60, 70, 130]), 6, ""),
        (
            rows(&[10, 20, 30, 60, 70]) + ",,190\n",
            5,
            "line 7: adds up",
        ),
        (rows(&[10, 20, 30, 60]) + ",,120\n", 4, "line 6: adds up"),
        (
            rows(&[10, 20, 30, 60]) + "-----,,\n,,120\n",
            4,
            "line 7: adds up",
        ),
        // A total of the total is none.
        (
            rows(&[10, 20]) + "Subtotal,,30\nTotal,,60\n",
            2,
            "line 5: calls itself",
        ),
    ] {
        let workshop = Workshop::new();
        workshop.file("mine.csv", &text);
        let output = workshop.run(&["import", "sales", "@mine.csv"]).done();
        output.says(0, &[said]);
        let added = format!("{left} rows added");
        assert!(output.out.contains(&added), "{text}{}", output.out);
        let told = output.err.matches("was left out: ask").count();
        assert!(told > 0 || said.is_empty(), "{}", output.err);
        assert!(told == 0 || !said.is_empty(), "{}", output.err);
    }
}

#[test]
fn totals_of_other_kinds_of_file() {
    let workshop = Workshop::new();
    let gifts = "on,beneficiary,amount\n2026-01-02,Room,1.234\n2026-01-03,Room,4,50\n"
        .replace("4,50", "\"4,50\"");
    workshop.file("gifts.csv", format!("{gifts},,\"1.238,50\"\n"));
    let output = workshop.run(&["import", "gifts", "@gifts.csv"]).done();
    output.says(
        0,
        &["line 4: adds up the rows above it and was left out: amount 1238.50"],
    );
    let costs = "on,kind,item,amount\n2026-01-02,part,chain,10\n2026-01-02,part,total rebuild,5\n";
    workshop.file("costs.csv", costs);
    let output = workshop.run(&["import", "costs", "@costs.csv"]).done();
    assert!(output.out.contains("2 rows added"), "{}", output.out);
}

#[test]
fn lots_and_parts_among_comps_are_told() {
    let comps = "listing,style,ask,text\nc1,road,100,red and fast\nlot-7,road,90,\nc3,city,80,frame only\nc4,city,80,a lot of rust\nc5,city,80,\"2x, his and hers\"\n";
    let workshop = Workshop::new();
    workshop.file("comps.csv", comps);
    let output = workshop
        .run(&["import", "comps", "@comps.csv", "--ignore", "text"])
        .done();
    let said = [
        "line 3: 'lot-7' looks like a lot of several bikes: its ask is not for one",
        "line 4: 'frame only' looks like parts and not a whole bike",
        "line 6: '2x, his and hers' looks like a lot",
    ];
    output.says(0, &said);
    assert_eq!(
        output.err.matches("looks like").count(),
        3,
        "{}",
        output.err
    );
    assert!(output.out.contains("5 rows added"));
}
