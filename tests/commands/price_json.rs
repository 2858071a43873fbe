//! `price --format json`: every key that scripts rely on, and sums that hold.

use crate::support::workshop::{Output, Workshop};
use serde_json::Value;

const BIKE: &str = "price --style hybrid --made 2016 --condition tidy --tier 2 --seat-tube 53cm --new-price 520 --cost 64.50 --hours 6 --format json";

fn priced(workshop: &Workshop, line: &str) -> Output {
    let words: Vec<&str> = line.split(' ').collect();
    workshop.run(&words).done()
}

fn keys(object: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = object
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    keys.sort_unstable();
    keys
}

/// An amount in minor units; panics where it has more decimals than the currency.
#[track_caller]
fn minor(amount: &Value, scale: f64) -> i64 {
    let units = amount.as_f64().unwrap();
    let minor = (units * scale).round();
    // Nearest double to a whole number of minor units.
    assert!(
        (units * scale - minor).abs() < 1e-6,
        "{units} is no whole number of minor units"
    );
    minor as i64
}

/// Base and amounts add up to the median, base times the factors make it.
#[track_caller]
fn adds_up(bike: &Value, scale: f64) {
    let median = minor(&bike["value"]["median"], scale);
    let base = minor(&bike["base"]["amount"], scale);
    let lines = bike["contributions"].as_array().unwrap();
    assert!(lines.len() >= 3, "{lines:?}");
    let amounts: i64 = lines.iter().map(|l| minor(&l["amount"], scale)).sum();
    assert_eq!(base + amounts, median, "{bike:#}");
    let factors: f64 = lines
        .iter()
        .map(|l| l["factor"].as_f64().unwrap())
        .product();
    // The base and the median are each off by half a minor unit at most.
    let room = 0.5 + 0.5 * factors + 1e-6;
    let product = base as f64 * factors;
    assert!(
        (product - median as f64).abs() <= room,
        "{product} and {median}"
    );
}

#[test]
fn every_key_is_there() {
    let answer = priced(&Workshop::busy(), BIKE).json();
    assert_eq!(answer["as_of"], "2026-05-02");
    assert_eq!(answer["currency"], "EUR");
    let model = &answer["model"];
    for key in [
        "sales",
        "comps",
        "left_out",
        "residual_sd",
        "prior_weight",
        "fitted_on",
    ] {
        assert!(!model[key].is_null(), "model.{key}");
    }
    assert_eq!(model["fitted_on"], "2026-05-02");
    let bikes = answer["bikes"].as_array().unwrap();
    assert_eq!(bikes.len(), 1);
    let bike = &bikes[0];
    for key in [
        "bike",
        "value",
        "base",
        "contributions",
        "ask",
        "days_on_market",
        "curve",
        "mark_down",
        "margin",
        "cautions",
    ] {
        // A bike given by flags has no name.
        assert_eq!(bike[key].is_null(), key == "bike", "{key}");
    }
    assert!(bike.get("bike").is_some());
    assert_eq!(bike["bike"], Value::Null, "given by flags");
    assert_eq!(
        keys(&bike["value"]),
        ["expected", "high", "level", "low", "median"]
    );
    assert_eq!(keys(&bike["base"]), ["amount", "bike"]);
    assert_eq!(
        keys(&bike["margin"]),
        [
            "chance_of_loss",
            "cost",
            "expected",
            "high",
            "low",
            "per_hour"
        ]
    );
    assert_eq!(
        bike["base"]["bike"],
        "hybrid, 8 years, condition 3, tier 2, size M, today"
    );
    for line in bike["contributions"].as_array().unwrap() {
        assert_eq!(keys(line), ["amount", "factor", "feature", "known"]);
    }
}

#[test]
fn counts_of_the_model_add_up_to_the_book() {
    let model = priced(&Workshop::busy(), BIKE).json()["model"].clone();
    let count = |key: &str| model[key].as_u64().unwrap();
    // 49 own bikes of which some are on hand, 400 comps; every row is used or
    // left out, but bikes on hand are neither.
    let sold = crate::support::workshop::SALES
        .lines()
        .skip(1)
        .filter(|line| line.split(',').nth(10).is_some_and(|day| !day.is_empty()))
        .count() as u64;
    assert!(sold > 40 && sold < 49);
    assert_eq!(
        count("sales") + count("comps") + count("left_out"),
        sold + 400
    );
    assert!(count("left_out") < 30, "{model}");
}

#[test]
fn amounts_add_up_exactly_and_factors_nearly() {
    let workshop = Workshop::busy();
    adds_up(&priced(&workshop, BIKE).json()["bikes"][0], 100.0);
    for line in [
        "price --style kids --format json",
        "price --style touring --made 1979 --condition 5 --tier 5 --seat-tube 60 --format json",
        "price --style road --made 2026 --condition 1 --format json --level 0.5",
        "price --style other --new-price 9999 --format json --base typical",
    ] {
        adds_up(&priced(&workshop, line).json()["bikes"][0], 100.0);
    }
    let many = priced(&workshop, "price --from datasets/bikes.csv --format json").json();
    assert_eq!(many["bikes"].as_array().unwrap().len(), 6);
    many["bikes"]
        .as_array()
        .unwrap()
        .iter()
        .for_each(|bike| adds_up(bike, 100.0));
}

#[test]
fn currencies_of_0_and_3_decimals_add_up_in_their_own_minor_units() {
    let sales = |unit: f64, decimals: usize| {
        let mut csv = String::from("bike,style,made,condition,tier,listed_on,sold_on,sold_price\n");
        for (n, price) in (0..9).zip([180.0, 210.0, 95.0, 333.0, 120.0, 260.0, 150.0, 410.0, 75.0])
        {
            let (made, grade) = (2010 + n, 1 + n % 5);
            let price = price * unit;
            csv += &format!(
                "S{n},hybrid,{made},{grade},2,2026-02-0{},2026-03-1{n},{price:.decimals$}\n",
                n + 1
            );
        }
        csv
    };
    for (code, scale, csv, cost) in [
        ("JPY", 1.0, sales(160.0, 0), "10000"),
        ("KWD", 1000.0, sales(0.333, 3), "12.345"),
    ] {
        let workshop = Workshop::in_currency(code).sales(&csv);
        let line = format!(
            "price --style hybrid --made 2014 --condition 4 --tier 2 --cost {cost} --hours 3 --format json"
        );
        let answer = priced(&workshop, &line).json();
        assert_eq!(answer["currency"], code);
        let bike = &answer["bikes"][0];
        adds_up(bike, scale);
        let cost: f64 = cost.parse().unwrap();
        assert_eq!(bike["margin"]["cost"], cost);
        let ends = ["low", "expected", "high"].map(|end| {
            let value = minor(&bike["value"][end], scale);
            let sale = if end == "expected" {
                minor(&bike["ask"]["expected_sale"], scale)
            } else {
                value
            };
            assert_eq!(
                minor(&bike["margin"][end], scale),
                sale - (cost * scale).round() as i64
            );
            value
        });
        assert!(ends[0] < ends[1] && ends[1] < ends[2]);
    }
}

#[test]
fn the_margin_is_the_sale_less_the_cost() {
    let bike = priced(&Workshop::busy(), BIKE).json()["bikes"][0].clone();
    let (value, margin) = (&bike["value"], &bike["margin"]);
    assert_eq!(margin["cost"], 64.5);
    // The ends of the range are the value's, what is expected is the plan's.
    for (end, sale) in [
        ("expected", &bike["ask"]["expected_sale"]),
        ("low", &value["low"]),
        ("high", &value["high"]),
    ] {
        assert_eq!(
            minor(&margin[end], 100.0),
            minor(sale, 100.0) - 6450,
            "{end}"
        );
    }
    let hour = margin["expected"].as_f64().unwrap() / 6.0;
    // Rounded to cents.
    assert!((margin["per_hour"].as_f64().unwrap() - hour).abs() <= 0.005 + 1e-9);
    let chance = margin["chance_of_loss"].as_f64().unwrap();
    assert!((0.0..=0.1).contains(&chance), "{chance}");
}

#[test]
fn at_a_cost_of_the_ends_the_chance_of_loss_is_that_of_the_range() {
    let workshop = Workshop::busy();
    let bike = priced(&workshop, BIKE).json()["bikes"][0].clone();
    for (end, chance) in [("low", 0.1), ("median", 0.5), ("high", 0.9)] {
        let line = BIKE.replace("64.50", &bike["value"][end].to_string());
        let found = priced(&workshop, &line).json()["bikes"][0]["margin"]["chance_of_loss"].clone();
        // The cost is the end rounded to cents; the median that of the mean of
        // the parts, not of their mixture.
        assert!(
            (found.as_f64().unwrap() - chance).abs() < 0.01,
            "{end}: {found}"
        );
    }
}

#[test]
fn no_cost_no_margin_and_no_hours_no_rate() {
    let workshop = Workshop::busy();
    let without = priced(&workshop, "price --style road --format json").json();
    assert_eq!(without["bikes"][0]["margin"], Value::Null);
    let no_hours = priced(&workshop, "price --style road --cost 50 --format json").json();
    assert_eq!(no_hours["bikes"][0]["margin"]["per_hour"], Value::Null);
    assert_eq!(no_hours["bikes"][0]["margin"]["cost"], 50.0);
}

#[test]
fn the_same_book_and_day_give_the_same_bytes() {
    let (one, other) = (Workshop::busy(), Workshop::busy());
    let first = priced(&one, BIKE);
    assert_eq!(first, priced(&one, BIKE));
    assert_eq!(
        first,
        priced(&other, BIKE),
        "another book of the same files"
    );
    let line = format!("{BIKE} --chart @a.svg");
    priced(&one, &line);
    priced(&other, &line);
    assert_eq!(one.text("a.svg"), other.text("a.svg"));
}

#[test]
fn a_wider_level_gives_a_wider_range_around_the_same_value() {
    let workshop = Workshop::busy();
    let mut last: Option<Value> = None;
    for level in ["0.5", "0.8", "0.9", "0.99"] {
        let value =
            priced(&workshop, &format!("{BIKE} --level {level}")).json()["bikes"][0]["value"]
                .clone();
        assert_eq!(value["level"].to_string(), level);
        if let Some(last) = last {
            let of = |value: &Value, end: &str| value[end].as_f64().unwrap();
            assert_eq!(value["median"], last["median"]);
            assert!(of(&value, "low") < of(&last, "low") && of(&value, "high") > of(&last, "high"));
        }
        last = Some(value);
    }
}
