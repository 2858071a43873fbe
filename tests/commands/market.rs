//! `market`: what is typed, what comes back.

use crate::support::workshop::{COMPS, SALES, Workshop};
use serde_json::Value;
use std::collections::BTreeMap;

const CHARTS: [&str; 4] = ["asks.svg", "days.svg", "movement.svg", "season.svg"];

fn json(workshop: &Workshop, more: &[&str]) -> Value {
    let words = [&["market", "--format", "json"], more].concat();
    workshop.run(&words).done().json()
}

/// Number of rows of a CSV with each word in a column.
fn counted(csv: &str, column: &str) -> BTreeMap<String, u64> {
    let mut rows = csv.lines().map(|line| line.split(','));
    let mut header = rows.next().unwrap();
    let place = header.position(|name| name == column).unwrap();
    let mut counts = BTreeMap::new();
    for mut row in rows {
        *counts
            .entry(row.nth(place).unwrap().to_string())
            .or_default() += 1;
    }
    counts
}

fn sum(rows: &Value, name: &str) -> u64 {
    let rows = rows.as_array().unwrap().iter();
    rows.map(|row| row[name].as_u64().unwrap()).sum()
}

#[test]
fn counts_are_those_of_the_files() {
    let answer = json(&Workshop::busy(), &[]);
    assert_eq!(answer["comps"]["listings"], 400);
    // One bike is listed twice: A198 and N200, a mountain bike.
    assert_eq!(answer["double_listings_count"], 1);
    assert_eq!(answer["comps"]["count"], 399);
    let mut styles = counted(COMPS, "style");
    *styles.get_mut("mountain").unwrap() -= 1;
    let rows = answer["by"]["style"].as_array().unwrap();
    assert_eq!(rows.len(), styles.len());
    for row in rows {
        let style = row["group"].as_str().unwrap();
        assert_eq!(row["comps"].as_u64(), styles.get(style).copied(), "{style}");
    }
    // Sold own bikes; all are of days before the answer's.
    let sold = SALES.lines().count() as u64 - 1 - counted(SALES, "sold_on")[""];
    assert_eq!(answer["sales"]["sold"], sold);
    for by in ["all", "style", "condition", "tier", "age"] {
        assert_eq!(sum(&answer["by"][by], "comps"), 399, "{by}");
        assert_eq!(sum(&answer["by"][by], "sales"), sold, "{by}");
    }
    let outcomes = answer["comps"]["outcomes"].as_object().unwrap();
    let all: u64 = outcomes.values().map(|count| count.as_u64().unwrap()).sum();
    assert_eq!(all, 399);
}

#[test]
fn every_key_is_there_and_every_number_is_a_number() {
    let answer = json(&Workshop::busy(), &[]);
    for key in [
        "as_of",
        "currency",
        "comps",
        "sales",
        "by",
        "days_on_market",
        "ask_to_sale",
        "movement",
        "season",
        "unusual",
        "double_listings",
        "cautions",
    ] {
        assert!(!answer[key].is_null(), "{key}");
    }
    // serde_json writes null for what is not finite; these have figures.
    for month in answer["season"].as_array().unwrap() {
        let [low, factor, high] = ["low", "factor", "high"].map(|k| month[k].as_f64().unwrap());
        assert!(low < factor && factor < high);
    }
    let movement = answer["movement"].as_array().unwrap();
    assert_eq!(movement[0]["period"], "2026-Q2");
    assert_eq!(movement[0]["factor"], 1.0);
    for period in &movement[1..] {
        let [low, factor, high] = ["low", "factor", "high"].map(|k| period[k].as_f64().unwrap());
        assert!(low < factor && factor < high);
    }
    let unusual = answer["unusual"].as_array().unwrap();
    let far = |row: &Value| row["ratio"].as_f64().unwrap().ln().abs();
    assert!(
        unusual
            .windows(2)
            .all(|pair| far(&pair[0]) >= far(&pair[1]))
    );
    assert_eq!(unusual[0]["listing"], "N159");
    assert_eq!(unusual[0]["may_be"], "wrong_decimal");
}

#[test]
fn the_text_has_every_part_and_no_strange_number() {
    let text = Workshop::busy().run(&["market", "--why"]).done().out;
    for part in [
        "Records",
        "by style",
        "by condition",
        "by tier",
        "by age",
        "Days on market",
        "From ask to sale price",
        "How prices moved",
        "Season",
        "Unusual",
        "A198 (small ads) = N200 (notice board)",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    for wrong in ["NaN", "inf", " -0 ", "-0.0 %"] {
        assert!(!text.contains(wrong), "{wrong}\n{text}");
    }
    // What a seller should take from each part.
    assert_eq!(text.matches("  => ").count(), 8, "{text}");
}

#[test]
fn an_empty_book_says_what_to_import() {
    let workshop = Workshop::new();
    let output = workshop.run(&["market", "--charts", "@pictures"]).done();
    insta::assert_snapshot!(output.out, @r"
    The market on 2026-05-02, money in EUR

    Cautions
      1. The book has no comps and no own bikes: 'wheelworth import comps FILE' reads what you have seen, 'wheelworth import sales FILE' your own bikes.
    ");
    assert_eq!(output.err, "No charts: there is nothing to draw yet.\n");
    assert!(!workshop.path("pictures").exists());
    let answer = json(&workshop, &[]);
    assert_eq!(answer["comps"]["count"], 0);
    assert_eq!(answer["days_on_market"]["comps"], Value::Null);
    assert_eq!(answer["cautions"][0]["code"], "no_records");
}

#[test]
fn before_the_first_record_nothing_is_known() {
    let workshop = Workshop::busy();
    let text = workshop
        .run(&["market", "--as-of", "2023-10-20"])
        .done()
        .out;
    // 49 own bikes and 400 comps.
    assert!(text.contains("449 records of later days"), "{text}");
    // One own bike was bought on 21 October 2023, the first comp seen in November.
    let answer = json(&workshop, &["--as-of", "2023-10-21"]);
    assert_eq!(answer["comps"]["count"], 0);
    assert_eq!(answer["sales"]["not_listed"], 1);
    assert_eq!(answer["movement"], Value::Array(Vec::new()));
    workshop.run(&["market", "--as-of", "2023-10-21"]).done();
}

#[test]
fn what_became_known_later_is_not_used() {
    let comps = "\
listing,style,listed_on,first_seen,last_seen,ask,last_ask,outcome,ended_on
C1,city,2026-03-01,2026-03-01,2026-04-20,240,200,sold,2026-04-19
C2,city,2026-04-10,2026-04-10,2026-04-20,150,,withdrawn,
";
    let workshop = Workshop::new().comps(comps);
    let then = json(&workshop, &["--as-of", "2026-04-01"]);
    assert_eq!(then["comps"]["count"], 1);
    assert_eq!(then["comps"]["outcomes"]["listed"], 1);
    assert_eq!(then["by"]["all"][0]["asks"]["median"], 240.0);
    // Seen on one day by then.
    assert_eq!(then["days_on_market"]["comps"], Value::Null);
    let now = json(&workshop, &[]);
    assert_eq!(now["comps"]["outcomes"]["sold"], 1);
    assert_eq!(now["comps"]["outcomes"]["withdrawn"], 1);
    assert_eq!(now["days_on_market"]["comps"]["curve"][0]["day"], 49.0);
}

#[test]
fn one_style_alone() {
    let workshop = Workshop::busy();
    let answer = json(&workshop, &["--style", "Kids", "--top", "0"]);
    let rows = answer["by"]["style"].as_array().unwrap();
    assert_eq!(rows.len(), 1);
    assert_eq!(rows[0]["group"], "kids");
    assert_eq!(answer["comps"]["count"], counted(COMPS, "style")["kids"]);
    assert_eq!(answer["double_listings_count"], 0);
    assert_eq!(answer["unusual"], Value::Array(Vec::new()));
    assert_eq!(answer["unusual_count"], 1);
    // Movement and season are of all styles.
    assert_eq!(answer["movement"], json(&workshop, &[])["movement"]);
    workshop
        .run(&["market", "--style", "tandem"])
        .says(2, &["--style 'tandem'"]);
}

#[test]
fn a_few_rows_give_dashes() {
    let workshop = Workshop::new().sales(
        "bike,style,bought_on,listed_on,ask,sold_on,sold_price\nS1,hybrid,,2026-04-01,200,,\nS2,road,2026-04-02,,,,\n",
    );
    let text = workshop
        .run(&["market", "--why", "--charts", "@few"])
        .done()
        .out;
    assert!(
        text.contains("half sold: not reached in the 31 days"),
        "{text}"
    );
    assert!(!text.contains("NaN"), "{text}");
    // No price at all, so no model: the pictures are empty, but there.
    for name in CHARTS {
        assert!(workshop.text(&format!("few/{name}")).starts_with("<svg "));
    }
}

#[test]
fn charts_are_pictures_and_the_same_again() {
    let workshop = Workshop::busy();
    let draw = || workshop.run(&["market", "--charts", "@pictures"]).done();
    let output = draw();
    let files = || CHARTS.map(|name| workshop.text(&format!("pictures/{name}")));
    let first = files();
    for (name, svg) in CHARTS.iter().zip(&first) {
        assert!(output.err.contains(&format!("Chart: @pictures/{name}")));
        assert!(svg.starts_with("<svg ") && svg.trim_end().ends_with("</svg>"));
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{name}");
    }
    for (svg, words) in first.iter().zip([
        "price in EUR",
        "days since it was listed",
        "year and quarter",
        "month",
    ]) {
        assert!(svg.contains(words), "{words}");
    }
    draw();
    assert!(files() == first, "the same again, byte for byte");
    let left: Vec<_> = std::fs::read_dir(workshop.path("pictures"))
        .unwrap()
        .collect();
    assert_eq!(left.len(), 4);
}

#[test]
fn charts_overwrite_nothing_but_pictures() {
    let workshop = Workshop::busy();
    std::fs::create_dir(workshop.path("notes")).unwrap();
    workshop.file("notes/days.svg", "not a picture\n");
    workshop.refuses(
        &["market", "--charts", "@notes"],
        &["days.svg", "is no picture"],
    );
    assert_eq!(workshop.text("notes/days.svg"), "not a picture\n");
    assert!(!workshop.path("notes/asks.svg").exists());
    workshop.file("list.txt", "a list\n");
    workshop.refuses(&["market", "--charts", "@list.txt"], &["is no folder"]);
}

/// A sale that the value model sets aside is not called likely.
#[test]
fn what_was_set_aside_is_not_called_likely() {
    let header = crate::support::workshop::SALES.lines().next().unwrap();
    let sale = |n: u8, price: &str| {
        format!(
            "S{n},hybrid,2015,3,2,53,,2026-01-02,2026-01-0{n},130,2026-01-2{n},{price},20,,,,,,\n"
        )
    };
    let rows: String = (1..8).map(|n| sale(n, "125")).collect();
    let csv = format!("{header}\n{rows}{}", sale(8, "1250"));
    let answer = json(&Workshop::new().sales(&csv), &[]);
    assert_eq!(answer["set_aside"]["count"], 1, "{}", answer["set_aside"]);
    let said = answer["takeaways"]["unusual"].as_str().unwrap();
    assert!(said.contains("were set aside"), "{said}");
}
