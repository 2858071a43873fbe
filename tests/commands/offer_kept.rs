//! `offer --bike`: offers that are kept, held against what came of them, and what
//! they teach.

use super::offer::{cellar, offered};
use crate::support::workshop::{TODAY, Workshop};
use serde_json::Value;
use wheelworth::trade::Day;

const MAKE: &str = "--jobs @jobs.csv --sheet @sheet.csv --margin 40 --asking 45 --fee 5";

/// The record of a bike that was bought on the day of the offer.
fn bought(workshop: &Workshop, id: &str) {
    let line = format!(
        "record sale --bike {id} --style touring --made 2009 --condition 4 --tier 2 --seat-tube 21in \
         --bought-on 2026-05-02 --purchase 45"
    );
    workshop
        .run(&line.split_whitespace().collect::<Vec<_>>())
        .done();
}

/// The same, sold a month later: 40 days later all of it is known.
fn sold(workshop: &Workshop, id: &str, price: &str, parts: &str) {
    workshop.file(
        "sold.csv",
        format!(
            "bike,style,made,condition,tier,seat_tube,bought_on,listed_on,ask,sold_on,sold_price,purchase,parts,\
             fees,hours\n{id},touring,2009,4,2,21in,2026-05-02,2026-05-10,220,2026-06-01,{price},45,{parts},10,5.5\n"
        ),
    );
    let line = ["--book", "@book.sqlite", "import", "sales", "@sold.csv"];
    workshop.run_as_typed(&line, LATER).done();
}

const LATER: Day = Day::constant(2026, 6, 11);

fn later(workshop: &Workshop, line: &str) -> Value {
    let line = format!("--book @book.sqlite {line} --format json");
    let words: Vec<&str> = line.split_whitespace().collect();
    workshop.run_as_typed(&words, LATER).done().json()
}

fn amount(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap()
}

#[test]
fn an_offer_is_kept_and_held_against_what_came_of_it() {
    let workshop = cellar();
    let told = offered(&workshop, &format!("{MAKE} --bike B-90")).done();
    let last: Vec<&str> = told.out.lines().rev().take(2).collect();
    insta::assert_snapshot!(format!("{}\n{}", last[1], last[0]), @r"
    Offer for B-90 kept as import 4; 'wheelworth import --undo 4' takes it back.
    If you buy it: wheelworth record sale --bike B-90 --purchase AMOUNT …; once it is sold, 'wheelworth offer --kept' shows this forecast beside what came of it.
    ");
    bought(&workshop, "B-90");
    let kept = workshop.run(&["offer", "--kept"]).done().out;
    assert!(kept.contains("bought, not sold yet"), "{kept}");
    sold(&workshop, "B-90", "170", "80");
    let line = ["--book", "@book.sqlite", "offer", "--kept"];
    let output = workshop.run_as_typed(&line, LATER).done();
    assert_eq!(output.err, "");
    insta::assert_snapshot!(output.out, @r"
    1 kept offer as of 2026-06-11, money in EUR

      => The one kept offer that was bought and sold left 27 % of the price less than predicted on average; to be careful, 5 % of the price is held back (a part of it, since 1 outcome can be chance).

    B-90, offer of 2026-05-02: at most 48.94 on average, 9.52 if it sells badly, for a margin of 40; the seller wanted 45
      planned: new brake pads, new tyres, straighten the chainring, clean and polish, free the seat post
                      repair  hours   selling      sale   days       left
      predicted        49.00   4.25      9.54    190.77     44     132.23
      actual           80.00    5.5     10.00    170.00     22      80.00
      actual less predicted: -52.23; bought for 45, so the margin was 35.00

    Left is the sale price less repair and selling, before the bike is paid for; hours and waiting cost no money.
    ");
}

#[test]
fn the_error_is_what_was_left_less_than_told_and_it_lowers_the_next_offer() {
    let workshop = cellar();
    let first = offered(&workshop, &format!("{MAKE} --bike B-90 --format json"))
        .done()
        .json();
    assert_eq!(first["kept"]["bike"], "B-90");
    assert_eq!(first["learnt"]["offers"], 0);
    assert!(first["learnt"]["mean_error"].is_null());
    bought(&workshop, "B-90");
    sold(&workshop, "B-90", "120", "80");
    let kept = later(&workshop, "offer --kept");
    let one = &kept["offers"][0];
    assert_eq!(one["state"], "sold");
    // By hand: of 120 there are left 120 - 80 - 10 = 30.
    assert_eq!(amount(one, "/came_to/left"), 30.0);
    assert_eq!(amount(one, "/came_to/days"), 22.0);
    assert_eq!(amount(one, "/came_to/bought_for"), 45.0);
    let (sale, left) = (amount(one, "/told/sale"), amount(one, "/told/left"));
    let by_hand = sale - amount(one, "/told/repair") - amount(one, "/told/selling");
    assert!((left - by_hand).abs() < 1e-9);
    assert!((amount(one, "/told/selling") - 0.05 * sale).abs() < 0.006);
    let error = (30.0 - left) / sale;
    assert!((amount(one, "/came_to/error") - error).abs() < 1e-12);
    assert!(error < -0.3, "{error}");
    // One outcome beside four that came true: a fifth of it.
    assert!((amount(&kept, "/learnt/applied") - error / 5.0).abs() < 1e-12);

    let ask = "offer --style touring --made 2009 --condition 2 --tier 2 --seat-tube 21in --jobs @jobs.csv \
               --margin 40 --asking 45";
    let next = later(&workshop, ask);
    let held_back = amount(&next, "/learnt/held_back");
    let expected = -error / 5.0 * amount(&next, "/best/expected_sale");
    assert!(
        (held_back - expected).abs() < 0.011,
        "{held_back} {expected}"
    );
    let most = amount(&next, "/best/net") - 40.0 - held_back;
    assert!((amount(&next, "/most_to_pay/mean") - most).abs() < 0.011);
    let margin = amount(&next, "/best/net") - 45.0 - held_back;
    assert!((amount(&next, "/risk/expected_margin") - margin).abs() < 0.011);
}

#[test]
fn a_bike_that_does_better_than_told_raises_no_offer() {
    let workshop = cellar();
    offered(&workshop, &format!("{MAKE} --bike B-90")).done();
    bought(&workshop, "B-90");
    sold(&workshop, "B-90", "390", "20");
    let next = later(&workshop, "offer --style touring --condition 3");
    assert!(amount(&next, "/learnt/mean_error") > 0.3);
    assert_eq!(amount(&next, "/learnt/applied"), 0.0);
    assert_eq!(amount(&next, "/learnt/held_back"), 0.0);
}

#[test]
fn what_is_not_a_bid_teaches_nothing() {
    let workshop = cellar();
    // The last one before the purchase counts; one made afterwards is no bid.
    let early = [
        "--book",
        "@book.sqlite",
        "offer",
        "--style",
        "touring",
        "--condition",
        "3",
    ];
    let on = |day: Day, id: &str| {
        let line = [&early[..], &["--bike", id]].concat();
        workshop.run_as_typed(&line, day).done();
    };
    on(Day::constant(2026, 4, 20), "B-90");
    on(TODAY, "B-90");
    on(TODAY, "B-91");
    bought(&workshop, "B-90");
    on(Day::constant(2026, 5, 20), "B-90");
    sold(&workshop, "B-90", "170", "80");
    let kept = later(&workshop, "offer --kept");
    let states: Vec<&str> = kept["offers"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["state"].as_str().unwrap())
        .collect();
    assert_eq!(
        states,
        ["superseded", "sold", "not_bought", "bought_before"]
    );
    assert_eq!(kept["learnt"]["offers"], 1);
    // As of the day before the sale nothing is known of it.
    let line = [
        "--book",
        "@book.sqlite",
        "--as-of",
        "2026-05-31",
        "offer",
        "--kept",
        "--format",
        "json",
    ];
    let then = workshop.run_as_typed(&line, LATER).done().json();
    assert_eq!(then["learnt"]["offers"], 0);
    assert_eq!(then["offers"][1]["state"], "on_hand");
}

#[test]
fn an_offer_can_be_taken_back_and_made_again() {
    let workshop = cellar();
    let before = offered(&workshop, MAKE).done().out;
    offered(&workshop, &format!("{MAKE} --bike B-90")).done();
    let again = offered(&workshop, &format!("{MAKE} --bike B-90"))
        .done()
        .out;
    assert!(
        again.contains("This offer for B-90 is in the book already."),
        "{again}"
    );
    // The later one of a day stands in the place of the earlier.
    let other = MAKE.replace("--margin 40", "--margin 50");
    offered(&workshop, &format!("{other} --bike B-90")).done();
    let kept = |workshop: &Workshop| {
        workshop
            .run(&["offer", "--kept", "--format", "json"])
            .done()
            .json()["offers"]
            .clone()
    };
    assert_eq!(kept(&workshop)[0]["most_to_pay"]["target_margin"], 50.0);
    assert_eq!(kept(&workshop).as_array().unwrap().len(), 1);
    workshop.run(&["import", "--undo", "5"]).done();
    assert_eq!(kept(&workshop)[0]["most_to_pay"]["target_margin"], 40.0);
    workshop.run(&["import", "--undo", "4"]).done();
    assert_eq!(kept(&workshop).as_array().unwrap().len(), 0);
    let none = workshop.run(&["offer", "--kept"]).done().out;
    assert!(none.starts_with("No offer is kept."), "{none}");
    assert_eq!(offered(&workshop, MAKE).done().out, before);
}

#[test]
fn a_bike_of_the_book_needs_no_flags() {
    let workshop = cellar();
    bought(&workshop, "B-90");
    let found = workshop
        .run(&[
            "offer",
            "--bike",
            "B-90",
            "--jobs",
            "@jobs.csv",
            "--format",
            "json",
        ])
        .done()
        .json();
    assert_eq!(found["bike"]["style"], "touring");
    assert_eq!(found["bike"]["made"], 2009);
    // Safety jobs are to do, so it counts as a project.
    assert_eq!(found["as_found"]["condition"], 2);
    workshop
        .run(&["inspect", "@sheet.csv", "--bike", "B-90"])
        .done();
    let seen = workshop
        .run(&["offer", "--bike", "B-90", "--format", "json"])
        .done()
        .json();
    let open = seen["open_gates"].as_array().unwrap();
    assert!(open.contains(&"front tyre".into()), "{open:?}");
}

#[test]
fn ids_that_cannot_be_are_refused() {
    let workshop = cellar();
    let tried = |id: &str| workshop.run(&["offer", "--style", "touring", "--bike", id]);
    tried(" ").says(
        2,
        &[
            "--bike \" \": expected an id without line breaks",
            "such as B-46",
        ],
    );
    tried("B\n1").says(2, &["--bike \"B\\n1\": expected an id"]);
    tried("B-01").says(
        1,
        &[
            "--bike 'B-01': it was sold on",
            "no offer was kept",
            "every bike has one of its own",
        ],
    );
    offered(&workshop, &format!("{MAKE} --bike B-90")).done();
    let shown = workshop.run(&["offer", "--kept", "--bike", "B-9"]);
    shown.says(
        1,
        &[
            "no offer for it is kept up to 2026-05-02",
            "Did you mean B-90?",
        ],
    );
    let both = workshop.run(&["offer", "--kept", "--style", "road"]);
    both.says(2, &["--style"]);
}
