//! The user's own eye: `price --guess`, guesses in files and in the book, what `accuracy`
//! says of them.

use super::accuracy::{cell, number};
use crate::support::tolerance::assert_near;
use crate::support::workshop::{ASKS, COMPS, SALES, TODAY, Workshop};
use serde_json::Value;

const BIKE: &str = "--style hybrid --made 2016 --condition tidy --tier sport --seat-tube 53cm";

fn price(workshop: &Workshop, flags: &str) -> Value {
    let line = format!("price {flags} --format json");
    let words: Vec<&str> = line.split(' ').collect();
    workshop.run(&words).done().json()["bikes"][0].clone()
}

/// A row of the shipped sales without its guess.
fn unguessed(row: &str) -> &str {
    row.rsplit_once(',').unwrap().0
}

/// The shipped sales, each of the latest `count` with what it brought as its guess, by
/// turns a twentieth more and less.
fn with_guesses(count: usize) -> String {
    let mut rows = SALES.lines();
    let header = rows.next().unwrap();
    let rows: Vec<&str> = rows.collect();
    let first = rows.len() - count.min(rows.len());
    let mut csv = format!("{header}\n");
    for (n, row) in rows.iter().enumerate() {
        let brought: Option<f64> = cell(row, "sold_price").parse().ok();
        let guess = brought
            .filter(|_| n >= first)
            .map_or(String::new(), |brought| {
                let part = if n % 2 == 0 { 1.05 } else { 0.95 };
                format!("{:.2}", brought * part)
            });
        csv += &format!("{},{guess}\n", unguessed(row));
    }
    csv
}

fn seen() -> Workshop {
    let rows = SALES.lines().count();
    Workshop::new()
        .sales(&with_guesses(rows))
        .comps(COMPS)
        .asks(ASKS)
}

/// The shipped records without a guess.
fn by_first_asks() -> Workshop {
    let rows = SALES.lines().map(|row| format!("{}\n", unguessed(row)));
    let sales: String = rows.collect();
    Workshop::new().sales(&sales).comps(COMPS).asks(ASKS)
}

#[test]
fn a_guess_moves_the_price_and_says_how() {
    let workshop = by_first_asks();
    let alone = price(&workshop, BIKE);
    assert_eq!(alone["eye"], Value::Null);
    let median = |answer: &Value| number(&answer["value"]["median"]);
    let guess = 1.4 * median(&alone);
    let guessed = price(&workshop, &format!("{BIKE} --guess {guess:.2}"));
    let eye = &guessed["eye"];
    assert_near("guess", number(&eye["guess"]), guess, 0.005);
    assert_eq!(eye["without"], alone["value"]["median"]);
    let weight = number(&eye["weight"]);
    assert!((0.05..0.95).contains(&weight), "{weight}");
    assert!(median(&guessed) > median(&alone) && median(&guessed) < guess);
    let width = |answer: &Value| {
        let end = |name: &str| number(&answer["value"][name]).ln();
        end("high") - end("low")
    };
    assert!(width(&guessed) < width(&alone));
    // The steps still make the value.
    let steps = guessed["contributions"].as_array().unwrap();
    assert_eq!(steps.last().unwrap()["feature"], "your own eye");
    let product = steps.iter().map(|step| number(&step["factor"]));
    let made = number(&guessed["base"]["amount"]) * product.product::<f64>();
    assert_near("product", made, median(&guessed), 0.02);
    // What is asked follows.
    assert!(number(&guessed["ask"]["suggested"]) > number(&alone["ask"]["suggested"]));
    // Their owner has noted first asks, and no guesses yet.
    assert_eq!(eye["from"], "first ask");
}

#[test]
fn an_empty_book_takes_a_guess_too() {
    let workshop = Workshop::new();
    for bike in [BIKE.to_string(), format!("{BIKE} --new-price 700")] {
        let guessed = price(&workshop, &format!("{bike} --guess 300"));
        let alone = number(&price(&workshop, &bike)["value"]["median"]);
        assert_eq!(guessed["eye"]["from"], "trade");
        let median = number(&guessed["value"]["median"]);
        assert!(alone < median && median < 300.0, "{alone} {median}");
    }
    let line = format!("price {BIKE} --guess 300");
    let words: Vec<&str> = line.split(' ').collect();
    let out = workshop.run(&words).done().out;
    assert!(
        out.contains("By your own eye: your 300 moves it from"),
        "{out}"
    );
    let why = workshop.run(&[&words[..], &["--why"]].concat()).done().out;
    assert!(why.contains("from 5 sales with a guess on"), "{why}");
}

#[test]
fn an_eye_that_has_seen_well_counts_more_and_is_told() {
    let (busy, seen) = (by_first_asks(), seen());
    let flags = format!("{BIKE} --guess 300");
    let (before, after) = (price(&busy, &flags), price(&seen, &flags));
    assert_eq!(after["eye"]["from"], "guess");
    assert!(number(&after["eye"]["weight"]) > 0.6, "{}", after["eye"]);
    assert!(number(&after["eye"]["weight"]) > number(&before["eye"]["weight"]));
    let line = format!("--book @book.sqlite price {flags}");
    let words: Vec<&str> = line.split(' ').collect();
    let out = seen.run_in_columns(&words, TODAY, 80).done().out;
    let said = out.replace('\n', " ");
    assert!(said.contains("Your own eye has missed by 5 % on"), "{out}");
    assert!(
        said.contains("price and guess together by") && said.contains("your 300 moves it from")
    );
    let why = seen.run(&[&words[2..], &["--why"]].concat()).done().out;
    assert!(
        why.contains("your own eye") && why.contains("Your guess counts"),
        "{why}"
    );
}

#[test]
fn guesses_come_from_the_book_and_from_files_too() {
    let workshop = by_first_asks();
    let file = "bike,style,made,condition,tier,seat_tube,guess\n\
                G-1,hybrid,2016,4,2,53,300\nG-2,hybrid,2016,4,2,53,\n";
    workshop.file("bikes.csv", file);
    let line = ["price", "--from", "@bikes.csv", "--format", "json"];
    let answer = workshop.run(&line).done().json();
    let by_flags = price(&workshop, &format!("{BIKE} --guess 300"));
    assert_eq!(answer["bikes"][0]["value"], by_flags["value"]);
    assert_eq!(answer["bikes"][0]["eye"], by_flags["eye"]);
    assert_eq!(answer["bikes"][1]["eye"], Value::Null);
    // A bike on hand.
    let alone = price(&workshop, "--bike B-49");
    workshop
        .run(&["record", "sale", "--bike", "B-49", "--guess", "400"])
        .done();
    let from_book = price(&workshop, "--bike B-49");
    assert_eq!(from_book["eye"]["guess"], 400.0);
    assert_eq!(from_book["eye"]["without"], alone["value"]["median"]);
    let stock = workshop.run(&["stock", "--format", "json"]).done().json();
    let bikes = stock["bikes"].as_array().unwrap();
    let there = bikes.iter().find(|bike| bike["bike"] == "B-49").unwrap();
    assert_eq!(there["value"], from_book["value"]["median"], "{there}");
    // A flag goes before the book.
    let by_flag = price(&workshop, "--bike B-49 --guess 150");
    assert_eq!(by_flag["eye"]["guess"], 150.0);
}

#[test]
fn accuracy_sets_the_eye_beside_the_price() {
    let accuracy = |workshop: &Workshop| {
        let found = workshop
            .run(&["--as-of", "2025-04-01", "accuracy", "--format", "json"])
            .done()
            .json();
        (
            found["eye"].clone(),
            found["leave_one_out"]["mdape"].clone(),
        )
    };
    let (eye, mdape) = accuracy(&seen());
    assert_eq!(eye["from"], "guess");
    assert_near("mdape", number(&eye["mdape"]), 0.05, 0.001);
    assert!(number(&eye["priced_with"]) < number(&eye["priced_without"]));
    // What 'price' would have said is what is judged.
    assert_near("all", number(&mdape), number(&eye["priced_with"]), 1e-9);
    let (eye, mdape) = accuracy(&by_first_asks());
    assert_eq!(eye["from"], "first ask");
    assert!(number(&eye["sales"]) > 20.0);
    assert_near("all", number(&mdape), number(&eye["priced_without"]), 0.02);
    let asks = SALES.lines().take(9).map(|row| {
        let mut cells: Vec<&str> = row.split(',').collect();
        cells.remove(9);
        cells.join(",") + "\n"
    });
    let unsaid = Workshop::new().sales(&asks.collect::<String>());
    assert_eq!(accuracy(&unsaid).0, Value::Null);
}

#[test]
fn a_guess_is_an_amount_and_made_beforehand() {
    let workshop = Workshop::new();
    let run = |flags: &str| {
        let line = format!("price {flags}");
        workshop.run(&line.split(' ').collect::<Vec<_>>())
    };
    run(&format!("{BIKE} --guess 0")).says(2, &["--guess '0'"]);
    run(&format!("{BIKE} --guess dear")).says(2, &["--guess 'dear'"]);
    run("--from bikes.csv --guess 200").says(2, &["--guess"]);
    for (command, said) in [
        ("price", "made after you saw the figure here teaches"),
        ("record sale", "guessed before you see a price here"),
    ] {
        let line = format!("{command} --help");
        let help = workshop
            .run(&line.split(' ').collect::<Vec<_>>())
            .done()
            .out;
        let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(help.contains(said), "{help}");
    }
}

/// The mark of the bike in the chart is what is said in words, guess and all.
#[test]
fn the_chart_marks_the_bike_with_its_guess() {
    let workshop = by_first_asks();
    let marked = |flags: &str| {
        let line = format!("price {flags} --chart @mark.svg");
        workshop.run(&line.split(' ').collect::<Vec<_>>()).done();
        let svg = workshop.text("mark.svg");
        let mut lines = svg.split("<polyline ");
        let mark = lines.find(|line| line.contains("#C81E1E")).unwrap();
        let points = mark.split("points=\"").nth(1).unwrap();
        let heights = points.split('"').next().unwrap().split_whitespace();
        let heights: Vec<f64> = heights
            .map(|point| point.split(',').nth(1).unwrap().parse().unwrap())
            .collect();
        heights[0] - heights[1]
    };
    let alone = marked(BIKE);
    assert!(alone > 0.0);
    assert!(marked(&format!("{BIKE} --guess 210")) < alone);
    // Of whatever age: a line across.
    assert_eq!(marked("--style hybrid --condition tidy"), 0.0);
}
