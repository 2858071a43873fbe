//! `import` of ledgers as people keep them: what is refused and how, what is proposed, and
//! what is left out and told.

use super::import_gifts::with_beneficiaries;
use crate::support::sheets::{Cell, xlsx};
use crate::support::workshop::Workshop;

fn exported(workshop: &Workshop, table: &str) -> String {
    let name = format!("out-{table}.csv");
    workshop.run(&["export", table, &format!("@{name}")]).done();
    workshop.text(&name)
}

const BIKES: &str = "bike,style\n8,road\n11,city\n12,city\n15,road\n";

const WITH_WORDS: &str = "\
bike,on,kind,item,amount
shop,2026-01-05,supply,grease,18
Rad 8,2026-01-06,part,tube,6
11,2026-01-07,part,tube,7
";

#[test]
fn words_stand_for_bikes_and_names_too() {
    let workshop = Workshop::new().sales(BIKES);
    workshop.file("costs.csv", WITH_WORDS);
    let words = ["--word", "bike:Shop=", "--word", "bike:Rad 8=8"];
    let import = ["import", "costs", "@costs.csv"];
    let output = workshop.run(&[&import[..], &words].concat()).done();
    assert_eq!(output.err, "");
    let costs = exported(&workshop, "costs");
    for row in [
        "\n,2026-01-05,supply,grease,18.00",
        "\n8,2026-01-06,part,tube,6.00",
        "\n11,2026-01-07,part,tube,7.00",
    ] {
        assert!(costs.contains(row), "{row} in {costs}");
    }
    // They are remembered, the empty one too, and those that are used are told.
    let output = workshop.run(&import).done();
    assert!(output.out.contains("3 unchanged"), "{}", output.out);
    let told = "Words as the last time: bike:Shop=, bike:Rad 8=8.";
    assert!(output.out.contains(told), "{}", output.out);
    // A word gives way to a bike of that id.
    workshop.file("more.csv", "bike,style\nRad 8,city\n");
    workshop.run(&["import", "sales", "@more.csv"]).done();
    let output = workshop.run(&import).done();
    assert!(
        output.out.contains("last time: bike:Shop=."),
        "{}",
        output.out
    );
    assert!(exported(&workshop, "costs").contains("\nRad 8,2026-01-06,part,tube,6.00"));

    let workshop = with_beneficiaries(&["Ferry Lane Reading Room"]);
    workshop.file("gifts.csv", "on,beneficiary,amount\n2026-01-10,Ferry,60\n");
    let word = ["--word", "beneficiary:ferry=Ferry Lane Reading Room"];
    let output = workshop
        .run(&[&["import", "gifts", "@gifts.csv"][..], &word].concat())
        .done();
    assert_eq!(output.err, "");
    assert!(exported(&workshop, "gifts").contains("2026-01-10,Ferry Lane Reading Room,60.00"));
}

#[test]
fn a_word_that_empties_a_cell_that_a_row_needs_is_refused() {
    let workshop = Workshop::new();
    workshop.file("sales.csv", "bike,style\n-,road\n");
    workshop
        .run(&["import", "sales", "@sales.csv", "--word", "bike:-="])
        .says(1, &["expected a value for bike"]);
}

#[test]
fn a_word_of_a_column_that_the_kind_lacks_is_refused() {
    let workshop = Workshop::new().sales(BIKES);
    workshop.file("costs.csv", WITH_WORDS);
    workshop
        .run(&["import", "costs", "@costs.csv", "--word", "colour:rot=red"])
        .says(
            2,
            &[
                "--word 'colour:rot=red': costs have no column 'colour'",
                "bike, on, kind, item, amount, from_box",
            ],
        );
}

#[test]
fn a_bike_that_is_none_or_written_otherwise_is_told_how_to_be_read() {
    let workshop = Workshop::new().sales(BIKES);
    let header = "bike,on,kind,item,amount\n";
    for (cell, said) in [
        (
            "Werkstatt",
            "leave the cell empty, or import with --word bike:Werkstatt=",
        ),
        ("allg.", "--word bike:allg.="),
        ("-", "For a cost of no bike leave the cell empty"),
        (
            "#15",
            "Did you mean 15? Write 15, or import with --word 'bike:#15=15'",
        ),
        ("Nr. 15", "--word 'bike:Nr. 15=15'"),
        ("bike 8", "Did you mean 8?"),
        ("11 + 12", "Write a row for each bike (11, 12)"),
        ("#8 and 15", "Write a row for each bike (8, 15)"),
    ] {
        workshop.file(
            "some.csv",
            format!("{header}{cell},2026-01-05,part,tube,6\n"),
        );
        let output = workshop.run(&["import", "costs", "@some.csv"]);
        let text = output.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(output.code == 1 && text.contains(said), "{said} in {text}");
    }
    // Another number is another bike.
    workshop.file("some.csv", format!("{header}#16,2026-01-05,part,tube,6\n"));
    let output = workshop.run(&["import", "costs", "@some.csv"]);
    assert!(!output.err.contains("--word"), "{}", output.err);
}

#[test]
fn marks_of_gifts_become_their_reference() {
    let workshop = Workshop::new();
    workshop.file(
        "gifts.csv",
        "Entry,Date,To,Amount,How\nD-2,2026-01-30,Room,30,cash\nD-1,2026-01-05,Room,20,cash\n",
    );
    workshop.refuses(
        &["import", "gifts", "@gifts.csv"],
        &["--column reference=Entry", "--ignore How"],
    );
    // Numbers that say nothing of a row are none.
    workshop.file(
        "same.csv",
        "No,Date,To,Amount\n1,2026-01-30,Room,30\n1,2026-01-05,Room,20\n",
    );
    workshop.refuses(&["import", "gifts", "@same.csv"], &["--ignore No"]);
}

#[test]
fn the_sheet_that_fits_the_kind_is_proposed() {
    let row = |texts: &[&str]| -> Vec<Cell> {
        texts
            .iter()
            .map(|text| Cell::Text((*text).into()))
            .collect()
    };
    let long = |head: &[&str]| -> Vec<Vec<Cell>> {
        let mut rows = vec![row(head)];
        rows.extend((0..9).map(|_| row(&["x", "y", "z"])));
        rows
    };
    let workshop = Workshop::new();
    let short = |head: &[&str]| vec![row(head), row(&["1", "2", "3"])];
    let sheets = [
        ("Verkäufe 2025", short(&["Nr", "Typ", "VK"])),
        ("Ausgaben", long(&["Datum", "Art", "Betrag"])),
        ("Spenden", short(&["am", "an", "Betrag"])),
        ("Blatt 4", short(&["Inserat", "gesehen", "zuletzt gesehen"])),
    ];
    workshop.file("book.xlsx", xlsx(&sheets));
    for (kind, sheet) in [
        ("sales", "'Verkäufe 2025'"),
        ("costs", "Ausgaben"),
        ("gifts", "Spenden"),
        ("comps", "'Blatt 4'"),
    ] {
        let said = format!("  wheelworth import {kind} @book.xlsx --sheet {sheet}");
        workshop.refuses(&["import", kind, "@book.xlsx"], &[&said]);
    }
}

#[test]
fn a_column_of_kinds_of_bikes_is_found_by_its_values() {
    let workshop = Workshop::new();
    workshop.file(
        "sales.csv",
        "Nr,Rad,VK,verkauft am\n1,Rennrad blau,90,2026-01-05\n2,MTB 26,80,2026-01-06\n\
         3,Oma Klapprad,70,2026-01-07\n4,Trekking,95,2026-01-08\n5,Kinderrad,30,2026-01-09\n",
    );
    workshop.refuses(
        &["import", "sales", "@sales.csv"],
        &[
            "--column style=Rad",
            "--word 'style:rennrad blau=road'",
            "--word 'style:mtb 26=mountain'",
            "--word 'style:oma klapprad=folding'",
            "--word style:trekking=hybrid",
            "--word style:kinderrad=kids",
            "To run next",
        ],
    );
}

#[test]
fn a_command_that_lacks_a_column_is_not_shown_as_ready() {
    let workshop = Workshop::new();
    workshop.file(
        "sales.csv",
        "Farbe,Typ,Preis\nrot,Rennrad,90\nrot,Rennrad,80\n",
    );
    let output = workshop.refuses(
        &["import", "sales", "@sales.csv"],
        &[
            "Not ready to run",
            "--column bike=THEIRS",
            "No column looks like 'bike'",
            "It may also have: made, condition",
        ],
    );
    assert!(!output.err.contains("To run next"), "{}", output.err);
}

#[test]
fn years_of_two_digits_are_read_in_the_order_of_the_file() {
    let workshop = Workshop::new();
    let rows = "bike,style,bought_on\n1,road,13.01.24\n2,city,2.3.24\n";
    workshop.file("sales.csv", rows);
    workshop.refuses(
        &["import", "sales", "@sales.csv"],
        &["'2.3.24'", "--dates dmy"],
    );
    workshop
        .run(&["import", "sales", "@sales.csv", "--dates", "dmy"])
        .done();
    let sales = exported(&workshop, "sales");
    assert!(
        sales.contains("2024-01-13") && sales.contains("2024-03-02"),
        "{sales}"
    );
    workshop.file("later.csv", "bike,style,bought_on\n3,road,13.01.44\n");
    workshop.refuses(
        &["import", "sales", "@later.csv"],
        &["not one in the future"],
    );
}

#[test]
fn what_was_free_is_said_to_be_0() {
    let workshop = Workshop::new();
    let rows = "bike,style,purchase\n1,road,(free)\n2,city,geschenkt\n";
    workshop.file("sales.csv", rows);
    let words = ["--word 'purchase:(free)=0'", "--word purchase:geschenkt=0"];
    let said = ["Write 0, or import with", words[0], words[1]];
    workshop.refuses(&["import", "sales", "@sales.csv"], &said);
    let import = ["import", "sales", "@sales.csv", "--word"];
    let given = ["purchase:(free)=0", "--word", "purchase:Geschenkt=0"];
    workshop.run(&[&import[..], &given].concat()).done();
    assert_eq!(exported(&workshop, "sales").matches(",0.00").count(), 2);
}

#[test]
fn what_is_not_sold_is_proposed_to_be_empty() {
    let workshop = Workshop::new();
    let rows = "bike,style,sold_on,sold_price\n1,road,noch da,\n2,city,2026-01-05,80\n";
    workshop.file("sales.csv", rows);
    let import = ["import", "sales", "@sales.csv"];
    workshop.refuses(&import, &["--word 'sold_on:noch da='"]);
    let word = ["--word", "sold_on:noch da="];
    workshop.run(&[&import[..], &word].concat()).done();
    assert!(exported(&workshop, "sales").contains("2026-01-05,80.00"));
}

#[test]
fn days_are_not_ignored() {
    let workshop = Workshop::new();
    workshop.file(
        "sales.csv",
        "bike,style,Got it,Sold on,Fetched,Sold for\n1,road,2025-10-01,2026-01-05,2025-11-01,90\n",
    );
    workshop.refuses(
        &["import", "sales", "@sales.csv"],
        &[
            "--column bought_on='Got it'",
            "--column listed_on=Fetched",
            "'Fetched' holds days: that it is listed_on",
            "is a guess",
        ],
    );
}

#[test]
fn a_row_that_only_parts_others_is_left_out_and_told() {
    let workshop = Workshop::new();
    workshop.file(
        "sales.csv",
        "bike,style,note\n1,road,\n--- 2025 ---,,\n2,city,--\n",
    );
    let output = workshop.run(&["import", "sales", "@sales.csv"]).done();
    assert!(output.out.contains("2 rows added"), "{}", output.out);
    output.says(
        0,
        &["@sales.csv, line 3: only parts the rows and was left out: '--- 2025 ---'"],
    );
    // Nor is it proposed a meaning.
    workshop.file("mine.csv", "Nr,Rad\n5,Rennrad\n,--- 2025 ---\n6,Stadtrad\n");
    let refused = workshop.refuses(&["import", "sales", "@mine.csv"], &["--column style=Rad"]);
    assert!(!refused.err.contains("--- 2025"), "{}", refused.err);
    // What may be an id is a row.
    workshop.file("more.csv", "bike,style,note\n2025,,\n3,city,\n");
    workshop.refuses(&["import", "sales", "@more.csv"], &["line 2"]);
}

#[test]
fn what_is_read_anyway_is_not_remembered_to_mean_something_else() {
    let workshop = Workshop::new();
    let rows = "bike,style,condition\n1,road,1\n2,road,good\n3,road,mint\n";
    workshop.file("sales.csv", rows);
    let mut import = vec!["import", "sales", "@sales.csv"];
    for word in [
        "condition:1=mint",
        "condition:mint=donor",
        "condition:good=tidy",
    ] {
        import.extend(["--word", word]);
    }
    workshop.run(&import).done();
    // The book's own export has the same header and its own grades.
    let before = exported(&workshop, "sales");
    assert!(
        before.contains("1,road,,5,") && before.contains("3,road,,1,"),
        "{before}"
    );
    let again = rows
        .replace("1,road,1", "4,road,1")
        .replace("2,road", "5,road");
    workshop.file("more.csv", again.replace("3,road", "6,road"));
    let output = workshop.run(&["import", "sales", "@more.csv"]).done();
    let told = "Words as the last time: condition:good=tidy.";
    assert!(output.out.contains(told), "{}", output.out);
    std::fs::remove_file(workshop.path("out-sales.csv")).unwrap();
    let sales = exported(&workshop, "sales");
    for row in ["4,road,,1,", "5,road,,4,", "6,road,,5,"] {
        assert!(sales.contains(row), "{row} in {sales}");
    }
}

#[test]
fn a_year_of_two_digits_that_may_stand_in_front_is_asked_for() {
    let workshop = Workshop::new();
    for day in ["25.03.05", "25/04/06"] {
        workshop.file("sales.csv", format!("bike,style,bought_on\n1,road,{day}\n"));
        let said = [
            &format!("'{day}'"),
            "a date that reads one way only",
            "import sales @sales.csv --dates dmy",
            "is taken to have its year at its end",
        ];
        workshop.refuses(&["import", "sales", "@sales.csv"], &said);
    }
    workshop
        .run(&["import", "sales", "@sales.csv", "--dates", "dmy"])
        .done();
    assert!(exported(&workshop, "sales").contains("2006-04-25"));
}

#[test]
fn a_proposed_command_keeps_the_day_and_its_words_can_be_typed() {
    let workshop = Workshop::new();
    workshop.file("sales.csv", "bike,style\n1,rennrad\n2,a=b\n");
    let refused = workshop.refuses(
        &["import", "sales", "@sales.csv", "--as-of", "2026-06-01"],
        &["--word style:rennrad=road", "--as-of 2026-06-01"],
    );
    assert!(!refused.err.contains("style:a=b"), "{}", refused.err);
    let workshop = Workshop::new().sales("bike,style\n\"1; 2\",road\n");
    workshop.file(
        "costs.csv",
        "bike,on,kind,item,amount\n#1; 2,2026-01-05,part,tube,6\n",
    );
    workshop.refuses(
        &["import", "costs", "@costs.csv"],
        &["import with --word 'bike:#1; 2=1; 2'"],
    );
}
