//! `import`: columns under other names, and the map that the book remembers.

use crate::support::workshop::Workshop;

const MINE: &str = "\
No;What;Sold;Got;Colour
S1;road;03/04/2026;200,50;red
S2;city;05/04/2026;90;blue
";

const MAP: [&str; 12] = [
    "--column",
    "bike=No",
    "--column",
    "style=What",
    "--column",
    "sold_on=Sold",
    "--column",
    "sold_price=Got",
    "--ignore",
    "Colour",
    "--dates",
    "dmy",
];

fn with_map(workshop: &Workshop) -> String {
    workshop.file("mine.csv", MINE);
    workshop
        .run(&[&["import", "sales", "@mine.csv"][..], &MAP].concat())
        .done()
        .out
}

#[test]
fn a_map_is_remembered_for_the_next_file_with_the_header() {
    let workshop = Workshop::new();
    assert!(with_map(&workshop).contains("2 rows added"));
    workshop.file("next.csv", MINE.replace("S1", "S3").replace("S2", "S4"));
    let output = workshop.run(&["import", "sales", "@next.csv"]).done();
    let first = output.out.lines().next().unwrap();
    assert!(first.starts_with("Columns as the last time: "), "{first}");
    for pair in ["bike=No", "style=What", "sold_on=Sold", "sold_price=Got"] {
        assert!(first.contains(pair), "{first}");
    }
    assert!(output.out.contains("2 rows added"), "{}", output.out);
}

#[test]
fn what_is_said_of_one_column_leaves_the_others_as_remembered() {
    let workshop = Workshop::new();
    with_map(&workshop);
    workshop.file("next.csv", MINE.replace("S1", "S3").replace("S2", "S4"));
    // A column that was left out then is the note now.
    let line = ["import", "sales", "@next.csv", "--column", "note=Colour"];
    let output = workshop.run(&line).done();
    assert!(output.out.contains("sold_price=Got"), "{}", output.out);
    assert!(output.out.contains("2 rows added"), "{}", output.out);
    let shown = workshop.run(&["show", "S3"]).done().out;
    assert!(shown.contains("200.50") && shown.contains("red"), "{shown}");
}

#[test]
fn a_map_is_not_used_for_another_header() {
    let workshop = Workshop::new();
    with_map(&workshop);
    workshop.file("other.csv", MINE.replace("No;", "Number;"));
    let said = [
        "@other.csv, line 1",
        "column 1, 'Number'",
        "--column bike=Number",
    ];
    workshop.refuses(&["import", "sales", "@other.csv"], &said);
}

#[test]
fn a_dry_run_is_not_remembered() {
    let workshop = Workshop::new();
    workshop.file("mine.csv", MINE);
    let line = [&["import", "sales", "@mine.csv", "--dry-run"][..], &MAP].concat();
    workshop.run(&line).done();
    workshop.refuses(
        &["import", "sales", "@mine.csv"],
        &["column 1, 'No', is not known"],
    );
}

#[test]
fn a_near_miss_gets_did_you_mean() {
    let workshop = Workshop::new();
    workshop.file("typo.csv", "listing,style,askk,Condition\nc1,road,100,3\n");
    let said = [
        "@typo.csv, line 1",
        "column 3, 'askk'",
        "did you mean 'ask'?",
    ];
    workshop.refuses(&["import", "comps", "@typo.csv"], &said);
}

#[test]
fn a_required_column_that_is_missing_is_named() {
    for (kind, header, missing) in [
        ("sales", "bike,made", "style"),
        ("sales", "style,made", "bike"),
        ("comps", "listing,style", "ask"),
        ("comps", "style,ask", "listing"),
        ("comps", "listing,ask", "style"),
    ] {
        let workshop = Workshop::new();
        workshop.file("some.csv", format!("{header}\nx,y\n"));
        let said = format!("the column '{missing}' is missing");
        workshop.refuses(
            &["import", kind, "@some.csv"],
            &["@some.csv, line 1", &said],
        );
    }
}

#[test]
fn the_same_column_twice_is_refused() {
    let workshop = Workshop::new();
    workshop.file("twice.csv", "listing,style,ask,ask\nc1,road,100,200\n");
    workshop.refuses(
        &["import", "comps", "@twice.csv"],
        &["@twice.csv, line 1", "'ask'", "twice"],
    );
}

#[test]
fn a_date_that_reads_two_ways_is_refused_until_its_order_is_said() {
    let workshop = Workshop::new();
    workshop.file(
        "some.csv",
        "listing,style,ask,first_seen\nc1,road,100,03/04/2026\n",
    );
    let said = [
        "@some.csv, line 2, column 4 'first_seen': '03/04/2026'",
        "--dates",
    ];
    workshop.refuses(&["import", "comps", "@some.csv"], &said);
    workshop
        .run(&["import", "comps", "@some.csv", "--dates", "dmy"])
        .done();
    // As a first sighting on 3 April it was not known on 1 April.
    let line = ["market", "--format", "json", "--as-of", "2026-04-01"];
    assert_eq!(workshop.run(&line).done().json()["comps"]["count"], 0);
}

#[test]
fn the_rejects_go_in_after_mending_as_the_file_that_they_came_from() {
    let workshop = Workshop::new();
    with_map(&workshop);
    let bad = MINE.replace("S1;road", "S3;boat").replace("S2", "S4");
    workshop.file("next.csv", bad);
    let line = ["import", "sales", "@next.csv", "--skip-bad", "@bad.csv"];
    workshop.run(&line).says(3, &[]);
    // Not mended: refused in the same way, and its rejects have the same columns.
    let line = ["import", "sales", "@bad.csv", "--skip-bad", "@worse.csv"];
    workshop.run(&line).says(3, &[]);
    let (first, second) = (workshop.text("bad.csv"), workshop.text("worse.csv"));
    assert_eq!(first.lines().next(), second.lines().next());
    assert!(second.contains("boat"), "{second}");
    workshop.file("repaired.csv", second.replace("boat", "road"));
    let output = workshop.run(&["import", "sales", "@repaired.csv"]).done();
    assert!(output.out.starts_with("Columns as the last time: "));
    assert!(output.out.contains("1 row added"), "{}", output.out);
}

/// A row with too few cells is written with its line and the reasons behind them:
/// these must not be taken for the cells that it lacks.
#[test]
fn a_short_row_that_was_set_aside_is_not_filled_up_by_its_own_line_and_reasons() {
    let workshop = Workshop::new();
    workshop.file("short.csv", "bike,style,ask,note\nS1,road\nS2,road,90,x\n");
    let skip = |from: &str, to: &str| {
        let line = ["import", "sales", from, "--skip-bad", to];
        workshop.run(&line).says(3, &[]);
        workshop.text(&to[1..])
    };
    let first = skip("@short.csv", "@bad.csv");
    let second = skip("@bad.csv", "@worse.csv");
    let third = skip("@worse.csv", "@worst.csv");
    for rejects in [&first, &second, &third] {
        let row = rejects.lines().nth(1).unwrap();
        assert!(row.starts_with("S1,road,2,\"line 2: "), "{rejects}");
    }
    // Also not by a remark in the place of the reasons.
    workshop.file(
        "noted.csv",
        "bike,style,ask,note,line,reasons\nS1,road,2,seen\n",
    );
    let noted = skip("@noted.csv", "@noted-bad.csv");
    assert!(noted.contains("S1,road,2,seen,,2,"), "{noted}");
    skip("@noted-bad.csv", "@noted-worse.csv");
    workshop.run(&["export", "sales", "@all.csv"]).done();
    assert!(!workshop.text("all.csv").contains("S1"));
    // Mended it goes in.
    workshop.file("repaired.csv", third.replace("S1,road,", "S1,road,80,,"));
    let output = workshop.run(&["import", "sales", "@repaired.csv"]).done();
    assert!(output.out.contains("1 row added"), "{}", output.out);
}

#[test]
fn a_foreign_header_is_told_a_line_each_with_one_command_to_run() {
    let workshop = Workshop::new();
    let foreign = "Ref,What it is,Shape (1-5),stile\n1,2,3,4\n";
    workshop.file("foreign.csv", foreign);
    let command = "  wheelworth import sales @foreign.csv --column bike=Ref --column \
                   style='What it is' --column condition='Shape (1-5)' --ignore stile";
    let said = [
        "\n  column 1, 'Ref', is not known\n",
        "\n  column 4, 'stile', is not known; did you mean 'style'?\n",
        "\n  the column 'bike' is missing",
        command,
    ];
    let output = workshop.refuses(&["import", "sales", "@foreign.csv"], &said);
    assert_eq!(output.err.matches("help: ").count(), 1, "{}", output.err);
}
