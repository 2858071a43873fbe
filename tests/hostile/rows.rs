//! Rows as people write them: what is read, and what cannot be true.

use crate::support::workshop::Workshop;

#[test]
fn a_spreadsheet_export_is_read_as_the_plain_file_is() {
    let plain = "\
listing,source,style,made,seat_tube,ask,first_seen
c1,board,road,2015,53cm,1250.50,2026-04-01
c2,board,city,,21in,80,2026-04-02
";
    // Byte order mark, semicolons, decimal commas, CRLF, quotes, blanks around ids.
    let exported = "\u{feff}listing;source;style;made;seat_tube;ask;first_seen\r\n\
        \" c1 \";board;Road;2015;\"53,0\";\"1.250,50 €\";2026-04-01\r\n\
        c2;board;city;;\"21\"\"\";€ 80,00;2026-04-02\r\n\r\n";
    let (one, other) = (
        Workshop::new().comps(plain),
        Workshop::new().comps(exported),
    );
    let line = [
        "price", "--style", "road", "--made", "2014", "--format", "json",
    ];
    assert_eq!(one.run(&line).done(), other.run(&line).done());
    // The same rows again, in the other dress: nothing changes.
    one.file("exported.csv", exported);
    let output = one.run(&["import", "comps", "@exported.csv"]).done();
    assert!(
        output.out.contains("0 rows added, 0 updated, 2 unchanged"),
        "{}",
        output.out
    );
    assert!(
        output.err.contains("line 2"),
        "the trimmed id is told: {}",
        output.err
    );
}

#[test]
fn tabs_part_cells_too() {
    let workshop = Workshop::new();
    workshop.file("tabs.csv", "listing\tstyle\task\nc1\troad\t1,234.50\n");
    workshop.run(&["import", "comps", "@tabs.csv"]).done();
}

#[test]
fn rows_that_cannot_be_true_are_refused_with_their_place() {
    let header = "bike,style,made,condition,listed_on,sold_on,sold_price,purchase";
    for (row, said) in [
        (
            "S2,road,2015,4,2026-03-10,2026-03-01,200,50",
            "column 6 'sold_on': '2026-03-01', expected a day not before listed_on",
        ),
        (
            "S2,road,2015,4,2026-03-10,,200,50",
            "column 7 'sold_price': '200', expected sold_on beside",
        ),
        (
            "S2,road,2015,4,2026-03-10,2026-03-12,,50",
            "column 6 'sold_on': '2026-03-12', expected sold_price beside",
        ),
        (
            "S2,road,2031,4,2026-03-10,2026-03-12,200,50",
            "column 3 'made': '2031'",
        ),
        (
            "S2,road,2015,0,2026-03-10,2026-03-12,200,50",
            "column 4 'condition': '0'",
        ),
        (
            "S2,road,2015,4,2026-03-10,2026-05-03,200,50",
            "column 6 'sold_on': '2026-05-03'",
        ),
        (
            "S2,road,2015,4,2026-02-30,2026-03-12,200,50",
            "column 5 'listed_on': '2026-02-30'",
        ),
        (
            "S2,road,2015,4,2026-03-10,2026-03-12,-200,50",
            "column 7 'sold_price': '-200'",
        ),
        (
            "S2,road,2015,4,2026-03-10,2026-03-12,200.1234,50",
            "column 7 'sold_price': '200.1234'",
        ),
        (
            "S2,road,2015,4,2026-03-10,2026-03-12,$200,50",
            "column 7 'sold_price': '$200'",
        ),
        (
            "S2,road,2015,4,2026-03-10,2026-03-12,200,NaN",
            "column 8 'purchase': 'NaN'",
        ),
        (
            "S2,road,2015,4,2026-03-10,2026-03-12,200,99999999999999999999",
            "column 8 'purchase'",
        ),
        (
            ",road,2015,4,2026-03-10,2026-03-12,200,50",
            "column 1 'bike'",
        ),
        (
            "S2,,2015,4,2026-03-10,2026-03-12,200,50",
            "column 2 'style'",
        ),
        (
            "S2,ro\u{7}ad,2015,4,2026-03-10,2026-03-12,200,50",
            "column 2 'style'",
        ),
        ("S2,road,2015,4", "@bad.csv, line 3"),
        (
            "S2,road,2015,4,2026-03-10,2026-03-12,200,50,more",
            "@bad.csv, line 3",
        ),
    ] {
        let workshop = Workshop::new();
        let good = "S1,road,2015,4,2026-03-01,2026-03-10,200,50";
        workshop.file("bad.csv", format!("{header}\n{good}\n{row}\n"));
        workshop.refuses(
            &["import", "sales", "@bad.csv"],
            &["@bad.csv, line 3", said, "help: "],
        );
    }
}

#[test]
fn the_same_bike_twice() {
    let workshop = Workshop::new();
    workshop.file("twice.csv", "bike,style\nS1,road\nS2,city\nS1,road\n");
    let said =
        ["@twice.csv, line 4, column 1 'bike': 'S1', expected an id that stands once in the file"];
    workshop.refuses(&["import", "sales", "@twice.csv"], &said);
}

#[test]
fn the_same_listing_id_at_two_sources_is_two_listings() {
    let rows = "listing,source,style,made,ask\nc1,board,road,2015,100\nc1,ads,city,2011,60\n";
    let workshop = Workshop::new().comps(rows);
    assert!(workshop.run(&["check"]).done().out.contains("2 comps"));
    workshop.file("twice.csv", format!("{rows}c1,ads,city,2011,60\n"));
    workshop.refuses(
        &["import", "comps", "@twice.csv"],
        &["@twice.csv, line 4, column 1 'listing': 'c1'"],
    );
}

#[test]
fn very_many_bad_rows_are_shown_up_to_a_thousand_and_counted() {
    let rows: String = (0..3000).map(|n| format!("c{n},boat,100\n")).collect();
    let workshop = Workshop::new();
    workshop.file("bad.csv", format!("listing,style,ask\n{rows}"));
    let said = [
        "3000 rows of @bad.csv cannot be used (the first 1000 are shown)",
        "line 1001, column 2",
    ];
    let output = workshop.refuses(&["import", "comps", "@bad.csv"], &said);
    assert_eq!(output.err.matches("error: @bad.csv, line ").count(), 1000);
}

#[test]
fn what_is_possible_but_odd_is_imported_and_told() {
    let workshop = Workshop::new();
    workshop.file("odd.csv", "listing,style,made,ask\nc1,road,1885,900\n");
    let output = workshop.run(&["import", "comps", "@odd.csv"]).done();
    assert!(output.out.contains("1 row added"));
    output.says(0, &["caution 1: @odd.csv, line 2", "1885"]);
}

#[test]
fn a_cell_that_must_hold_something_is_not_to_be_left_empty() {
    let workshop = Workshop::new();
    workshop.file(
        "comps.csv",
        "listing,style,ask,last_ask\nx1,road,offers,offers\n",
    );
    let said = workshop.refuses(&["import", "comps", "@comps.csv"], &["column 3 'ask'"]);
    let mends: Vec<&str> = said
        .err
        .lines()
        .filter(|l| l.contains("= help:"))
        .map(str::trim)
        .collect();
    assert_eq!(
        mends,
        [
            "= help: Write one amount in digits.",
            "= help: Write one amount in digits, or leave the cell empty if it is not known.",
        ]
    );
}
