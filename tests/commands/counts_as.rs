//! A bike counts as what its latest inspection allows, in `price` and `stock` alike.
//! The lids (1 with a failed frame, 2 with an open gate, 3 with a mechanical fault, 4
//! without a road test) are the inspection's own rule: judgement, no source.

use super::inspect_kept::{but, failed, keep, passed, price, shed, told};
use crate::support::workshop::Workshop;
use serde_json::Value;

/// What the same bike is worth in some condition, by its features.
fn worth(workshop: &Workshop, condition: &str) -> Value {
    let line = format!("price --style hybrid --made 2015 --tier 2 --format json {condition}");
    let words: Vec<&str> = line.split_whitespace().collect();
    workshop.run(&words).done().json()["bikes"][0]["value"]["median"].clone()
}

fn stock(workshop: &Workshop, bike: &str) -> (Value, Value) {
    let answer = workshop.run(&["stock", "--format", "json"]).done().json();
    let bikes = answer["bikes"].as_array().unwrap();
    let line = bikes.iter().find(|line| line["bike"] == bike).unwrap();
    (line.clone(), answer)
}

fn record(workshop: &Workshop, words: &str) {
    let line = format!("record {words}");
    let words: Vec<&str> = line.split(' ').collect();
    workshop.run(&words).done();
}

#[test]
fn the_price_is_for_the_bike_as_its_inspection_lets_it_count() {
    // L1 is recorded as condition 4.
    for (sheet, counts) in [
        (passed(), "4"),
        (failed(), "2"),
        (but(&[("headset", "unchecked", "", "")]), "2"),
        (but(&[("fork", "fail", "", "bent")]), "2"),
        (but(&[("road test", "fail", "", "pulls")]), "2"),
        (but(&[("frame", "fail", "", "crack")]), "1"),
        (but(&[("shifting", "fail", "", "")]), "3"),
        (but(&[("road test", "unchecked", "", "")]), "4"),
    ] {
        let workshop = shed();
        keep(&workshop, &sheet, "L1", "2026-04-20");
        let expected = worth(&workshop, &format!("--condition {counts}"));
        let answer = price(&workshop, "L1", &[]);
        assert_eq!(answer["value"]["median"], expected, "{counts}\n{sheet}");
        let (line, of_stock) = stock(&workshop, "L1");
        assert_eq!(line["value"], expected, "{counts}\n{sheet}");
        let why = told(&answer, "condition_counts_as");
        assert_eq!(why.is_some(), counts != "4", "{why:?}");
        assert_eq!(
            told(&of_stock, "condition_counts_as"),
            why.map(|w| format!("L1: {w}"))
        );
    }
}

#[test]
fn a_worse_record_stays_and_an_unknown_one_is_that_of_open_gates() {
    let workshop = shed();
    keep(&workshop, &failed(), "L1", "2026-04-20");
    record(&workshop, "sale --bike L1 --condition 1");
    let one = worth(&workshop, "--condition 1");
    assert_eq!(price(&workshop, "L1", &[])["value"]["median"], one);
    let line = ["record", "sale", "--bike", "L1", "--condition", ""];
    workshop.run(&line).done();
    let answer = price(&workshop, "L1", &[]);
    assert_eq!(answer["value"]["median"], worth(&workshop, "--condition 2"));
    insta::assert_snapshot!(told(&answer, "condition_counts_as").unwrap(), @"The price is for condition 2 project, none is recorded: by the inspection of 2026-04-20 it has not passed every safety check. Fix it and inspect it again, then the recorded condition counts.");
    // Passed, it takes nothing over.
    keep(&workshop, &passed(), "L1", "2026-04-21");
    assert_eq!(
        price(&workshop, "L1", &[])["value"]["median"],
        worth(&workshop, "")
    );
    // No road test: never mint.
    record(&workshop, "sale --bike L1 --condition 5");
    insta::assert_snapshot!(told(&price(&workshop, "L1", &[]), "condition_differs").unwrap(), @"The price is for condition 5 mint, as recorded; the inspection of 2026-04-21 says 4 tidy. Correct the one that is wrong: the record with 'record sale', the inspection by a new one.");
    let no_ride = but(&[("road test", "unchecked", "", "")]);
    keep(&workshop, &no_ride, "L1", "2026-04-22");
    let answer = price(&workshop, "L1", &[]);
    assert_eq!(answer["value"]["median"], worth(&workshop, "--condition 4"));
    // Without any inspection the record counts, and so it does once it is sold.
    let not_inspected = price(&workshop, "L2", &[]);
    assert!(told(&not_inspected, "not_inspected").is_some());
    assert_eq!(told(&not_inspected, "condition_counts_as"), None);
    let before = price(&workshop, "K1", &[])["value"].clone();
    keep(&workshop, &failed(), "K1", "2026-04-01");
    assert_eq!(price(&workshop, "K1", &[])["value"], before);
}

#[test]
fn a_cracked_frame_is_only_for_parts_and_is_taken_off_offer() {
    let workshop = shed();
    let cracked = but(&[("frame", "fail", "", "crack at the head tube")]);
    for bike in ["L1", "L2"] {
        keep(&workshop, &cracked, bike, "2026-04-20");
    }
    let listed = price(&workshop, "L1", &[]);
    insta::assert_snapshot!(told(&listed, "only_parts").unwrap(), @"Inspected on 2026-04-20: the frame has failed. It is good only for its parts: take it off offer, take it apart and scrap the frame.");
    insta::assert_snapshot!(told(&listed, "condition_counts_as").unwrap(), @"The price is for condition 1 donor, not 4 tidy as recorded: by the inspection of 2026-04-20 its frame has failed.");
    assert_eq!(told(&listed, "gates_open"), None);
    assert!(
        !told(&price(&workshop, "L2", &[]), "only_parts")
            .unwrap()
            .contains("offer")
    );
    for bike in ["L1", "L2"] {
        let (line, answer) = stock(&workshop, bike);
        assert_eq!(line["next"]["do"], "take_apart");
        assert_eq!(line["next"]["text"], "take apart, only for parts");
        assert_eq!(line["inspection"]["result"], "only_parts");
        assert_eq!(answer["bikes"][0]["bike"], "L1", "on offer goes first");
        assert_eq!(told(&answer, "gates_open"), None);
    }
    let (_, answer) = stock(&workshop, "L1");
    insta::assert_snapshot!(told(&answer, "only_parts").unwrap(), @"L1 and L2: the frame had failed at the last inspection: good only for its parts, so take it off offer, take it apart and scrap the frame.");
}

#[test]
fn on_offer_with_a_gate_open_it_is_to_be_taken_off_or_mended() {
    let workshop = shed();
    for bike in ["L1", "L2"] {
        keep(&workshop, &failed(), bike, "2026-04-20");
    }
    let of = |bike: &str| told(&price(&workshop, bike, &[]), "gates_open").unwrap();
    assert!(of("L1").contains("It is on offer: take it off until it is repaired"));
    assert!(!of("L2").contains("on offer"));
}

/// Half a year and parts fitted since: common practice, no source.
#[test]
fn an_old_inspection_and_a_part_since_are_told() {
    let workshop = shed();
    keep(&workshop, &passed(), "L1", "2026-05-01");
    let since = |day: &str| {
        let answer = price(&workshop, "L1", &["--as-of", day]);
        let line = ["stock", "--as-of", day, "--format", "json"];
        let stock = workshop.run(&line).done().json();
        ["inspection_old", "changed_since_inspection"].map(|code| {
            let (one, all) = (told(&answer, code), told(&stock, code));
            assert_eq!(one.is_some(), all.is_some(), "{code} {day}");
            one
        })
    };
    // 30 + 30 + 31 + 31 + 30 + 28 = 180 days.
    assert_eq!(since("2026-10-28"), [None, None]);
    insta::assert_snapshot!(since("2026-10-29")[0].clone().unwrap(), @"Inspected on 2026-05-01, 181 days ago: what has happened to it since is not known. Inspect it again before it is sold.");
    // Grease, another bike's part and one of the day itself change nothing.
    record(
        &workshop,
        "cost --bike L1 --kind supply --amount 4 --on 2026-05-02",
    );
    record(
        &workshop,
        "cost --bike L2 --kind part --amount 20 --on 2026-05-02",
    );
    record(
        &workshop,
        "cost --bike L1 --kind part --amount 20 --on 2026-05-01",
    );
    assert_eq!(since("2026-05-02"), [None, None]);
    record(
        &workshop,
        "cost --bike L1 --kind part --amount 20 --on 2026-05-02",
    );
    assert_eq!(since("2026-05-01"), [None, None]);
    insta::assert_snapshot!(since("2026-05-02")[1].clone().unwrap(), @"A part was paid for on 2026-05-02, after the inspection of 2026-05-01: something may have been changed since. Inspect it again when it is fitted.");
    keep(&workshop, &passed(), "L1", "2026-05-02");
    assert_eq!(since("2026-05-02"), [None, None]);
}
