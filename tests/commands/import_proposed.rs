//! The command that the first refusal of a file proposes reads the file, in every way that
//! people keep one.

use crate::support::workshop::{Output, Workshop};
use serde_json::Value;

fn shed() -> Workshop {
    Workshop::giving_to("Room", &["--give", "net"])
}

/// The words of a command line as a shell reads them: single quotes alone stand around some.
fn as_typed(command: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), String::new(), false);
    for c in command.chars() {
        match c {
            '\'' => quoted = !quoted,
            ' ' if !quoted => words.push(std::mem::take(&mut word)),
            c => word.push(c),
        }
    }
    words.push(word);
    words
}

/// Runs the import, which is refused, then what it proposes.
fn second_try(workshop: &Workshop, kind: &str, name: &str, text: &str) -> Output {
    workshop.file(&name[1..], text);
    let first = workshop.run(&["import", kind, name]);
    let mut lines = first.err.lines();
    let command = lines.find_map(|line| line.strip_prefix("  wheelworth "));
    let command = command.unwrap_or_else(|| panic!("nothing is proposed:\n{}", first.err));
    let words = as_typed(command);
    workshop.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

fn rows(workshop: &Workshop, table: &str) -> Vec<String> {
    workshop.run(&["export", table, "@out.csv"]).done();
    let text = workshop.text("out.csv");
    std::fs::remove_file(workshop.path("out.csv")).unwrap();
    text.lines().skip(1).map(String::from).collect()
}

#[test]
fn one_day_and_what_happened() {
    let workshop = shed();
    let text = "Ref,What,Came in,Paid,Went,What happened,Got\n\
        A1,road bike,2025-01-04,20,2025-02-10,sold,85\n\
        A2,folder,2025-01-04,20,2025-02-19,given away,0\n\
        A3,city,2025-01-05,10,2025-02-20,KEPT,\n\
        A4,city,2025-01-06,10,,,\n";
    second_try(&workshop, "sales", "@mine.csv", text).done();
    let show = |id: &str| -> Value { workshop.run(&["show", id, "--format", "json"]).json() };
    let left: Vec<Value> = ["A1", "A2", "A3", "A4"]
        .map(show)
        .iter()
        .map(|bike| {
            serde_json::json!([
                bike["sold_on"],
                bike["sold_price"],
                bike["left_on"],
                bike["left_as"]
            ])
        })
        .collect();
    let expected = serde_json::json!([
        ["2025-02-10", 85.0, null, null],
        [null, null, "2025-02-19", "given"],
        [null, null, "2025-02-20", "kept"],
        [null, null, null, null],
    ]);
    assert_eq!(Value::from(left), expected);
    // A word that says neither is refused, with what it may be.
    let odd = text.replace("KEPT", "borrowed");
    workshop.file("mine.csv", &odd);
    let said = [
        "'borrowed'",
        "expected sold, or how it left: kept, given, scrapped or stolen",
        "--word left_as:borrowed=OURS",
    ];
    workshop.refuses(&["import", "sales", "@mine.csv"], &said);
}

#[test]
fn costs_without_a_kind_are_added() {
    let workshop = shed().sales("bike,style,purchase\n15,road,40\n2,city,20\n");
    let text = "Datum;Wofür;Rad-Nr.;Betrag\n\
        13.1.2025;Kette;#15;18,40\n\
        20.1.2025;Fett;Werkstatt;3,20\n\
        27.1.2025;Sattel;Nr. 2;12,95\n";
    // The first command is refused for the bikes alone, and has the next one ready.
    let refused = second_try(&workshop, "costs", "@costs.csv", text);
    let command = refused
        .err
        .lines()
        .find_map(|line| line.strip_prefix("  wheelworth "));
    let words = as_typed(command.unwrap());
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let command = words.join(" ");
    assert!(
        command.contains("--word bike:#15=15 --word bike:nr. 2=2"),
        "{command}"
    );
    workshop.run(&words).done();
    let costs = rows(&workshop, "costs");
    let expected = [
        "15,2025-01-13,other,Kette,18.40,",
        ",2025-01-20,other,Fett,3.20,",
        "2,2025-01-27,other,Sattel,12.95,",
    ];
    assert_eq!(costs, expected);
}

#[test]
fn gifts_without_a_name_go_to_the_only_beneficiary() {
    let workshop = shed();
    let gifts = "when,how much\n2025-04-06,150\n2025-05-06,20\n";
    second_try(&workshop, "gifts", "@gifts.csv", gifts).done();
    assert_eq!(
        rows(&workshop, "gifts"),
        ["2025-04-06,Room,150.00,", "2025-05-06,Room,20.00,"]
    );
    // Of two nobody is taken.
    let two = Workshop::empty();
    let start = "start --currency EUR --beneficiary A=1 --beneficiary B=1 --give net";
    two.run(&start.split(' ').collect::<Vec<_>>()).done();
    two.file("gifts.csv", gifts);
    let said = ["--column beneficiary=THEIRS"];
    two.refuses(&["import", "gifts", "@gifts.csv"], &said);
}

#[test]
fn bikes_under_their_names_beside_numbers() {
    let workshop = shed();
    let text = "No,Bike,Bought,Bought for,Sold,Sold for\n\
        1,Grey racer,2023-01-14,15,2023-02-18,60\n\
        2,Old city bike,2023-01-21,20,2023-03-11,75\n";
    second_try(&workshop, "sales", "@2023.csv", text).done();
    // Other bikes of the next year under the same numbers get that year before them.
    let next = text
        .replace("2023-", "2024-")
        .replace("Grey racer", "Folding bike");
    workshop.file("2024.csv", &next);
    let first = workshop.run(&["import", "sales", "@2024.csv"]);
    assert!(first.err.contains("--prefix 2024-"), "{}", first.err);
    let command = first
        .err
        .lines()
        .find_map(|l| l.strip_prefix("  wheelworth "));
    let words = as_typed(command.unwrap());
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    workshop.run(&words).done();
    let sales = rows(&workshop, "sales");
    let starts = ["1,road", "2,city", "2024-1,folding", "2024-2,city"];
    assert_eq!(sales.len(), 4);
    for (row, start) in sales.iter().zip(starts) {
        assert!(row.starts_with(start), "{row}");
    }
}

#[test]
fn prices_corrected_in_a_file_without_styles() {
    let workshop = shed().sales("bike,style,made,sold_on,sold_price\n3,road,1999,2024-04-13,950\n");
    let text = "Number,Sold,Sold for\n3,2024-04-13,1050\n";
    let output = second_try(&workshop, "sales", "@again.csv", text).done();
    assert!(
        output.out.contains("sold_price 950.00 -> 1050.00"),
        "{}",
        output.out
    );
    let sales = rows(&workshop, "sales");
    assert!(sales[0].starts_with("3,road,1999,"), "{}", sales[0]);
}

#[test]
fn adverts_without_ids_seen_again() {
    let workshop = shed();
    let text = "seen,where,what,size,yr,cond,ask\n\
        3.2.25,library,Grey city,54,~95,gd,\"120,-\"\n\
        13.2.25,library,Grey city,54,~95,gd,ca. 100\n\
        13.2.25,library,Grey city,50,~95,gd,90 VB\n\
        15.2.25,library,Grey city,54,~95,gd,80:-\n";
    second_try(&workshop, "comps", "@seen.csv", text).done();
    let comps = rows(&workshop, "comps");
    let expected = [
        "Grey city 54 ~95,library,city,1993..1997,4,,54cm,,,2025-02-03,2025-02-15,120.00,80.00,listed,,",
        "Grey city 50 ~95,library,city,1993..1997,4,,50cm,,,2025-02-13,,90.00,,listed,,",
    ];
    let mut comps: Vec<&str> = comps.iter().map(String::as_str).collect();
    comps.sort_unstable();
    let mut expected = expected.to_vec();
    expected.sort_unstable();
    assert_eq!(comps, expected);
    // Undone as one, and the same file again changes nothing.
    let again = workshop.run(&["import", "comps", "@seen.csv"]).done();
    assert!(
        again.out.contains("0 rows added, 0 updated"),
        "{}",
        again.out
    );
    workshop.run(&["import", "--undo", "1"]).done();
    assert!(rows(&workshop, "comps").is_empty());
    // Two rows of one day are one too many.
    let twice = "listing,style,ask,first_seen\nL1,city,90,2025-02-03\nL1,city,80,2025-02-03\n";
    workshop.file("twice.csv", twice);
    workshop.refuses(
        &["import", "comps", "@twice.csv"],
        &["an id that stands once in the file"],
    );
}

#[test]
fn a_bike_sold_for_nothing_was_given_away() {
    let workshop =
        shed().sales("bike,style,purchase,sold_on,sold_price\n12,kids,10,2024-12-07,0\n");
    workshop
        .run(&["record", "leave", "--bike", "12", "--as", "given"])
        .done();
    let show: Value = workshop.run(&["show", "12", "--format", "json"]).json();
    assert_eq!(show["sold_on"], Value::Null);
    assert_eq!(
        (&show["left_on"], &show["left_as"]),
        (&"2024-12-07".into(), &"given".into())
    );
    // One that brought something was sold.
    let workshop = shed().sales("bike,style,sold_on,sold_price\n12,kids,2024-12-07,5\n");
    let line = ["record", "leave", "--bike", "12", "--as", "given"];
    workshop.refuses(&line, &["it was sold on 2024-12-07"]);
}
