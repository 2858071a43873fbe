//! What price, stock and quarter make of kept inspections.

use super::inspect_kept::{but, failed, keep, passed, price, shed, told};
use crate::support::workshop::TODAY;
use serde_json::{Value, json};

#[test]
fn a_price_says_what_the_inspection_said() {
    let workshop = shed();
    let text = |bike: &str| workshop.run(&["price", "--bike", bike, "--why"]).done().out;
    let answer = price(&workshop, "L1", &[]);
    assert_eq!(answer["inspection"], Value::Null);
    insta::assert_snapshot!(told(&answer, "not_inspected").unwrap(), @"Not inspected yet: wheelworth inspect --blank SHEET.csv. The price is for the bike as it is.");
    assert!(
        text("L1").contains("  1. Not inspected yet"),
        "{}",
        text("L1")
    );

    keep(&workshop, &failed(), "L1", "2026-04-20");
    let answer = price(&workshop, "L1", &[]);
    insta::assert_snapshot!(told(&answer, "gates_open").unwrap(), @"Inspected on 2026-04-20, 5 safety checks not passed: front tyre, front pads, headset and 2 more. Do not ride it. The price is for the bike as it is; only a new inspection changes that. It is on offer: take it off until it is repaired and inspected again, or offer it as in need of work.");
    insta::assert_snapshot!(told(&answer, "condition_counts_as").unwrap(), @"The price is for condition 2 project, not 4 tidy as recorded: by the inspection of 2026-04-20 it has not passed every safety check. Fix it and inspect it again, then the recorded condition counts.");
    assert_eq!(told(&answer, "condition_differs"), None);
    assert_eq!(told(&answer, "not_inspected"), None);
    assert!(!text("L1").to_lowercase().contains("ready to ride"));
    assert!(!text("L1").contains("every safety check passed"));

    keep(
        &workshop,
        &but(&[("road test", "unchecked", "", "")]),
        "L1",
        "2026-04-21",
    );
    let answer = price(&workshop, "L1", &[]);
    assert_eq!(answer["inspection"]["open_gates"], json!([]));
    assert_eq!(answer["inspection"]["ready"], false);
    assert!(
        told(&answer, "no_road_test")
            .unwrap()
            .contains("no road test yet")
    );
    assert!(!text("L1").to_lowercase().contains("ready to ride"));

    keep(&workshop, &passed(), "L1", "2026-04-22");
    let answer = price(&workshop, "L1", &[]);
    assert_eq!(
        answer["inspection"],
        json!({"on": "2026-04-22", "ready": true, "condition": 4, "open_gates": []})
    );
    assert!(text("L1").contains("\nInspected on 2026-04-22: every safety check passed.\n"));
    for code in [
        "not_inspected",
        "gates_open",
        "no_road_test",
        "condition_counts_as",
        "condition_differs",
    ] {
        assert_eq!(told(&answer, code), None);
    }
    // No other bike is spoken of.
    assert_eq!(price(&workshop, "L2", &[])["inspection"], Value::Null);
    let of_flags = [
        "price",
        "--style",
        "hybrid",
        "--condition",
        "4",
        "--format",
        "json",
    ];
    let of_flags = workshop.run(&of_flags).done().json()["bikes"][0].clone();
    assert_eq!(told(&of_flags, "not_inspected"), None);
    assert_eq!(told(&price(&workshop, "K1", &[]), "not_inspected"), None);
}

#[test]
fn the_shed_says_what_is_to_be_inspected_and_what_is_not_to_be_ridden() {
    let workshop = shed();
    let stock = || {
        let answer = workshop.run(&["stock", "--format", "json"]).done().json();
        let of = |id: &str| {
            let bikes = answer["bikes"].as_array().unwrap();
            bikes
                .iter()
                .find(|bike| bike["bike"] == id)
                .unwrap()
                .clone()
        };
        (of("L1"), of("L2"), answer)
    };
    let (one, two, answer) = stock();
    for bike in [&one, &two] {
        assert!(
            bike["next"]["text"]
                .as_str()
                .unwrap()
                .starts_with("inspect"),
            "{bike}"
        );
        assert_eq!(bike["inspection"], Value::Null);
    }
    assert!(
        told(&answer, "not_inspected")
            .unwrap()
            .contains(": not inspected yet.")
    );

    keep(&workshop, &failed(), "L1", "2026-04-20");
    keep(&workshop, &failed(), "L2", "2026-04-20");
    let (one, two, answer) = stock();
    for bike in [&one, &two] {
        assert_eq!(bike["next"]["text"], "finish, not safe yet");
        assert_eq!(bike["next"]["do"], "finish");
        assert_eq!(
            bike["inspection"],
            json!({"on": "2026-04-20", "ready": false, "result": "gates_open"})
        );
    }
    assert_eq!(
        answer["bikes"][0]["bike"], "L1",
        "on offer with an open gate"
    );
    assert!(
        told(&answer, "gates_open")
            .unwrap()
            .starts_with("L1 and L2: safety checks not passed")
    );
    assert_eq!(told(&answer, "not_inspected"), None);

    keep(
        &workshop,
        &but(&[("road test", "unchecked", "", "")]),
        "L1",
        "2026-05-01",
    );
    keep(&workshop, &passed(), "L2", "2026-05-01");
    let (one, two, answer) = stock();
    assert!(
        one["next"]["text"]
            .as_str()
            .unwrap()
            .starts_with("road test"),
        "{one}"
    );
    assert_eq!(one["inspection"]["result"], "no_road_test");
    assert!(
        two["next"]["text"]
            .as_str()
            .unwrap()
            .starts_with("list at "),
        "{two}"
    );
    assert_eq!(two["inspection"]["ready"], true);
    assert!(told(&answer, "no_road_test").unwrap().starts_with("L1: "));
    assert_eq!(told(&answer, "gates_open"), None);
    for line in workshop
        .run(&["stock"])
        .done()
        .out
        .split("\n\n")
        .nth(2)
        .unwrap()
        .lines()
    {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

/// K1 passed before its sale, K2 never, K3 only afterwards, K4 passed and then
/// failed before its sale.
#[test]
fn a_quarter_names_who_was_sold_without_a_passed_inspection() {
    let workshop = shed();
    let quarter = |words: &[&str]| {
        let line = [&["quarter", "2026-Q2"], words].concat();
        workshop.run(&line).done().out
    };
    let json = |words: &[&str]| -> Value {
        serde_json::from_str(&quarter(&[&["--format", "json"], words].concat())).unwrap()
    };
    insta::assert_snapshot!(told(&json(&[]), "no_inspections").unwrap(), @"No inspections are recorded. 'wheelworth inspect --blank SHEET.csv' makes a sheet for the next bike.");
    assert_eq!(told(&json(&[]), "not_passed"), None);

    keep(&workshop, &passed(), "K1", "2026-04-10");
    keep(&workshop, &passed(), "K3", "2026-04-15");
    keep(&workshop, &passed(), "K4", "2026-04-01");
    keep(&workshop, &failed(), "K4", "2026-04-08");
    assert_eq!(told(&json(&[]), "no_inspections"), None);
    insta::assert_snapshot!(told(&json(&[]), "not_passed").unwrap(), @"K2, K3 and K4 were sold without a passed inspection on record. Keep one before a bike is handed over: 'wheelworth inspect SHEET.csv --bike ID'.");
    let flat = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let said = "sold without a passed inspection";
    assert_eq!(flat(quarter(&[])).matches(said).count(), 1);
    let page = |audience: &[&str]| {
        quarter(&[&["--html", "@page.html"], audience].concat());
        flat(workshop.text("page.html"))
    };
    assert_eq!(page(&[]).matches(said).count(), 1);
    assert_eq!(page(&["--for", "workshop"]).matches(said).count(), 1);
    // Nothing of it is for the beneficiary.
    let theirs = ["--for", "beneficiary"];
    for text in [quarter(&theirs), page(&theirs), json(&theirs).to_string()] {
        assert!(!text.to_lowercase().contains("inspect"), "{text}");
    }
    // Nothing was sold: nothing is said.
    let before = workshop
        .run(&["quarter", "2026-Q1", "--format", "json"])
        .done()
        .json();
    assert_eq!(told(&before, "not_passed"), None);
}

#[test]
fn a_closed_quarter_keeps_its_pages_whatever_is_inspected_later() {
    let workshop = shed();
    let after = "2026-07-01".parse().unwrap();
    let run = |words: &[&str], day| {
        let line = [&["--book", "@book.sqlite"], words].concat();
        workshop.run_as_typed(&line, day).done().out
    };
    assert!(after > TODAY);
    run(&["quarter", "2026-Q2", "--close"], after);
    let pages =
        || ["text", "json"].map(|form| run(&["quarter", "2026-Q2", "--format", form], after));
    let closed = pages();
    keep(&workshop, &passed(), "K1", "2026-04-10");
    keep(&workshop, &failed(), "K2", "2026-04-11");
    assert_eq!(pages(), closed);
    let next = run(&["quarter", "2026-Q3", "--format", "json"], after);
    let next: Value = serde_json::from_str(&next).unwrap();
    assert_eq!(next["corrections"], json!([]));
    assert_eq!(told(&next, "not_passed"), None);
}
