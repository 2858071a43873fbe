//! `offer` with little to go on, and with files as they should not be.

use super::offer::{JOBS, cellar, offered};
use crate::support::workshop::Workshop;
use serde_json::Value;

fn ask(workshop: &Workshop, line: &str) -> crate::support::workshop::Output {
    let words: Vec<&str> = line.split(' ').collect();
    workshop.run(&words)
}

#[test]
fn a_new_price_alone_is_enough_for_an_offer() {
    let workshop = Workshop::new();
    workshop.file("jobs.csv", JOBS);
    let line = "offer --style city --made 2018 --condition 2 --new-price 600 --jobs @jobs.csv --format json";
    let found = ask(&workshop, line).done().json();
    let uplift = &found["jobs"][0]["uplift"];
    let (low, high) = (
        uplift["low"].as_f64().unwrap(),
        uplift["high"].as_f64().unwrap(),
    );
    assert!(0.0 < low && low < high, "{uplift}");
    let codes: Vec<&str> = found["cautions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|caution| caution["code"].as_str().unwrap())
        .collect();
    assert!(codes.contains(&"trade_prior_only"), "{codes:?}");
    assert!(codes.contains(&"no_safety_check"), "{codes:?}");
}

#[test]
fn nothing_to_go_on_is_said_and_is_no_failure() {
    let workshop = Workshop::in_currency("THB");
    workshop.file("jobs.csv", JOBS);
    let line = "offer --style city --jobs @jobs.csv --asking 10 --chart @offer.svg";
    let output = ask(&workshop, line).done();
    assert!(
        output.out.contains("No value can be given."),
        "{}",
        output.out
    );
    assert_eq!(output.err, "No chart: there is no value to draw.\n");
    let found = ask(&workshop, &format!("{line} --format json"))
        .done()
        .json();
    for field in [
        "as_found",
        "done",
        "best",
        "chance_of_loss",
        "take_apart",
        "verdict",
    ] {
        assert_eq!(found[field], Value::Null, "{field}");
    }
    assert_eq!(found["jobs"], serde_json::json!([]));
    assert_eq!(found["most_to_pay"]["mean"], Value::Null);
}

#[test]
fn without_jobs_it_is_sold_as_it_is() {
    let output = offered(&cellar(), "--margin 20 --why").done();
    assert!(
        output.out.contains("Sold as it is\n  No job to do."),
        "{}",
        output.out
    );
    let found = offered(&cellar(), "--margin 20 --format json")
        .done()
        .json();
    assert_eq!(found["best"]["cost"], 0.0);
    assert_eq!(found["as_found"], found["done"]);
    assert_eq!(found["take_apart"], Value::Null);
}

#[test]
fn a_yen_has_no_decimals() {
    let workshop = Workshop::in_currency("JPY");
    workshop.file("jobs.csv", "job,cost,condition_after\npolish,500,4\n");
    let line = "offer --style city --made 2020 --condition 3 --new-price 60000 --jobs @jobs.csv --format json";
    let found = ask(&workshop, line).done().json();
    for at in [
        "/as_found/median",
        "/jobs/0/uplift/median",
        "/most_to_pay/cautious",
    ] {
        let amount = found.pointer(at).unwrap().as_f64().unwrap();
        assert_eq!(amount, amount.round(), "{at}");
        assert!(amount > 0.0, "{at}");
    }
}

#[test]
fn bad_rows_are_told_all_at_once_with_their_mend() {
    let workshop = cellar();
    let bad = "job,cost,clears\nnew tyres,28,front tyre\nNew Tyres,30,rear tyre\npads,,frnt pads\n";
    workshop.file("jobs.csv", bad);
    let words = ["offer", "--style", "touring", "--jobs", "@jobs.csv"];
    workshop.refuses(
        &words,
        &[
            "3 problems in @jobs.csv; no offer was made",
            "@jobs.csv, line 3, column 1 'job'",
            "each job once; it stands on line 2 already",
            "@jobs.csv, line 4, column 2 'cost'",
            "Fill in cost",
            "'frnt pads' is not",
            "Did you mean front pads?",
        ],
    );
    workshop.file("parts.csv", "part,price,chance\nwheels,40,60\n");
    workshop.refuses(
        &["offer", "--style", "touring", "--parts", "@parts.csv"],
        &["line 2, column 3 'chance'", "Write the % behind it"],
    );
}

#[test]
fn columns_of_other_names_are_mapped_and_unknown_ones_told() {
    let workshop = cellar();
    workshop.file("jobs.csv", "what,euros,colour\nnew tyres,28,black\n");
    workshop.file("parts.csv", "piece,price,chance\nwheels,40,0.5\n");
    let words = ["offer", "--style", "touring", "--jobs", "@jobs.csv"];
    workshop.refuses(&words, &["'what'", "'euros'", "'colour'", "job"]);
    let mapped = "offer --style touring --jobs @jobs.csv --parts @parts.csv --column job=what \
                  --column cost=euros --column part=piece --ignore colour --format json";
    let found = ask(&workshop, mapped).done().json();
    assert_eq!(found["jobs"][0]["job"], "new tyres");
    assert_eq!(found["take_apart"]["expected"], 20.0);
}

#[test]
fn more_jobs_than_can_be_tried_are_refused() {
    let workshop = cellar();
    let rows: String = (1..=13).map(|i| format!("job {i},1\n")).collect();
    workshop.file("jobs.csv", format!("job,cost\n{rows}"));
    let words = ["offer", "--style", "touring", "--jobs", "@jobs.csv"];
    workshop.refuses(&words, &["13 jobs", "at most 12", "Put jobs together"]);
}

#[test]
fn what_is_typed_wrong_is_wrong_usage() {
    let workshop = cellar();
    for (line, said) in [
        ("offer", "Give --style"),
        ("offer --style tandem", "--style 'tandem': expected a style"),
        ("offer --style road --quantile 0.7", "at most 0.5"),
        ("offer --style road --quantile -0.1", "at most 0.5"),
        ("offer --style road --fee 100", "from 0 to 90"),
        ("offer --style road --level 1", "above 0 and below 1"),
        ("offer --style road --margin -5", "not negative"),
        ("offer --style road --asking cheap", "--asking 'cheap'"),
        ("offer --style road --hourly -1", "not negative"),
        ("offer --style road --ignore x", "Give them with --jobs"),
    ] {
        let output = ask(&workshop, line);
        output.says(2, &[said]);
        assert_eq!(output.out, "", "{line}");
    }
}

/// The line to edit is one that can be typed.
#[test]
fn a_header_of_ones_own_gets_a_line_of_offer_to_edit() {
    let workshop = cellar();
    workshop.file("mine.csv", "job,Price,hours\nnew tyres,34,1\n");
    let output = offered(&workshop, "--jobs @mine.csv");
    assert_eq!(output.code, 1);
    assert!(
        output
            .err
            .contains("wheelworth offer … --jobs @mine.csv --column"),
        "{}",
        output.err
    );
    assert!(!output.err.contains("wheelworth import"), "{}", output.err);
}
