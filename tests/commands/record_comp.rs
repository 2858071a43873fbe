//! `record comp`: a comp in one line, and later looks at it.

use crate::support::workshop::{Output, Workshop};

fn on(workshop: &Workshop, day: &str, words: &str) -> Output {
    let words: Vec<&str> = words.split(' ').collect();
    workshop.run(&[&["--as-of", day, "record", "comp"], &words[..]].concat())
}

fn row(workshop: &Workshop, listing: &str) -> String {
    workshop.run(&["export", "comps", "@out.csv"]).done();
    let text = workshop.text("out.csv");
    let start = format!("{listing},");
    let found = text.lines().find(|line| line.starts_with(&start));
    found.unwrap_or_default().to_string()
}

#[test]
fn an_id_is_made_and_told_and_later_looks_add_to_the_first() {
    let workshop = Workshop::new();
    let output = on(
        &workshop,
        "2026-04-01",
        "--style city --ask 120 --condition 3",
    )
    .done();
    assert!(
        output.out.starts_with("S-1: city asked at 120.00 EUR"),
        "{}",
        output.out
    );
    on(
        &workshop,
        "2026-04-02",
        "--style road --ask 250 --source board",
    )
    .done();
    on(&workshop, "2026-04-10", "--listing S-1 --ask 95").done();
    let seen = "S-1,,city,,3,,,,,2026-04-01,2026-04-10,120.00,95.00,listed,,";
    assert_eq!(row(&workshop, "S-1"), seen);
    // What is gone was seen no more: it ended at some day after it was last seen.
    on(&workshop, "2026-04-20", "--listing S-1 --gone").done();
    assert_eq!(row(&workshop, "S-1"), seen.replace("listed", "gone"));
    on(
        &workshop,
        "2026-04-21",
        "--listing S-2 --sold --sold-price 230",
    )
    .done();
    let sold = "S-2,board,road,,,,,,,2026-04-02,2026-04-21,250.00,250.00,sold,,230.00";
    assert_eq!(row(&workshop, "S-2"), sold);
    // Each look can be taken back by itself.
    workshop.run(&["import", "--undo", "5"]).done();
    workshop.run(&["import", "--undo", "4"]).done();
    assert_eq!(row(&workshop, "S-1"), seen);
}

#[test]
fn a_second_look_on_the_same_day_keeps_the_first_ask() {
    let workshop = Workshop::new();
    on(&workshop, "2026-04-01", "--style city --ask 120").done();
    on(&workshop, "2026-04-01", "--listing S-1 --ask 110").done();
    let both = "S-1,,city,,,,,,,2026-04-01,2026-04-01,120.00,110.00,listed,,";
    assert_eq!(row(&workshop, "S-1"), both);
}

#[test]
fn what_is_missing_is_told_with_a_whole_example() {
    let workshop =
        Workshop::new().comps("listing,source,style,ask\nx1,board,road,90\nx1,yard,city,80\n");
    let refused = |words: &str, code, said: &[&str]| {
        let before = workshop.book_bytes();
        on(&workshop, "2026-04-01", words).says(code, said);
        assert!(workshop.book_bytes() == before, "{words}");
    };
    refused(
        "--style city",
        2,
        &[
            "needs --style and --ask",
            "record comp --style city --ask 120",
        ],
    );
    refused("--listing X1", 1, &["no such comp", "Did you mean x1?"]);
    refused(
        "--listing x1",
        2,
        &["several sources have it", "'board' or 'yard'"],
    );
    refused(
        "--listing x1 --source board --style city",
        1,
        &["road, the style that x1 has"],
    );
    on(
        &workshop,
        "2026-04-01",
        "--listing x1 --source board --ask 85",
    )
    .done();
    let cost = workshop.run(&["record", "cost", "--bike", "B-1"]);
    cost.says(
        2,
        &[
            "--kind and --amount are not given",
            "wheelworth record cost --bike",
        ],
    );
}

#[test]
fn what_the_book_has_reads_the_same_whatever_sign_it_was_told() {
    let workshop = Workshop::empty();
    let start = ["start", "--currency", "KWD", "--decimal", "comma"];
    workshop.run(&start).done();
    on(&workshop, "2026-04-01", "--style city --ask 12,345").done();
    on(&workshop, "2026-04-05", "--listing S-1 --ask 11,5").done();
    let both = "S-1,,city,,,,,,,2026-04-01,2026-04-05,12.3450,11.5000,listed,,";
    assert_eq!(row(&workshop, "S-1"), both);
    for file in ["@out.csv", "@out.parquet"] {
        let other = Workshop::empty();
        other.run(&start).done();
        workshop.run(&["export", "comps", file]).done();
        std::fs::copy(workshop.path(&file[1..]), other.path(&file[1..])).unwrap();
        other.run(&["import", "comps", file]).done();
        assert_eq!(row(&other, "S-1"), both, "{file}");
    }
}

/// A look of an earlier day began on that day, not today.
#[test]
fn a_look_of_an_earlier_day_is_taken_for_that_day() {
    let workshop = Workshop::new()
        .comps("listing,style,ask,first_seen,last_seen\nS6,hybrid,1450,2025-02-08,2025-02-08\n");
    let line = [
        "record",
        "comp",
        "--listing",
        "S6",
        "--last-seen",
        "2025-04-01",
        "--last-ask",
        "900",
    ];
    workshop.run(&line).done();
    let card = workshop
        .run(&["show", "S6", "--format", "json"])
        .done()
        .json();
    assert_eq!(card["last_seen"], "2025-04-01", "{card}");
    assert_eq!(card["first_seen"], "2025-02-08", "{card}");
}
