//! `stock`: what each bike on hand needs, and the totals.

use crate::support::workshop::{TODAY, Workshop};
use serde_json::{Value, json};
use wheelworth::book::{Book, Repeat};
use wheelworth::trade::{Cost, CostKind, Day, Money};

/// Three sales that show what such bikes are worth, and a shed of all kinds.
const SALES: &str = "\
bike,style,made,condition,tier,bought_on,listed_on,ask,sold_on,sold_price,purchase,parts,hours
S1,road,2015,4,3,2025-12-20,2026-01-05,260,2026-01-30,235,60,20,5
S2,road,2016,3,3,2026-01-20,2026-02-03,240,2026-03-10,210,55,15,4
S3,road,2013,3,3,2026-02-10,2026-02-20,230,2026-04-01,190,50,,3
high,road,2014,4,3,2026-03-01,2026-03-14,340,,,60,22.50,4.5
fair,road,2014,3,3,2026-04-01,2026-04-20,200,,,40,,
ready,road,2016,4,,2026-04-11,,,,,70,12,6
stand,city,2012,2,1,2026-02-11,,,,,,8,
";

fn stock(workshop: &Workshop, words: &[&str]) -> Value {
    let line = [&["stock", "--format", "json"], words].concat();
    workshop.run(&line).done().json()
}

fn codes(answer: &Value) -> Vec<&str> {
    let cautions = answer["cautions"].as_array().unwrap();
    cautions
        .iter()
        .map(|caution| caution["code"].as_str().unwrap())
        .collect()
}

fn bike<'a>(answer: &'a Value, id: &str) -> &'a Value {
    let bikes = answer["bikes"].as_array().unwrap();
    bikes.iter().find(|bike| bike["bike"] == id).unwrap()
}

#[test]
fn the_shed_on_a_saturday() {
    let output = Workshop::new().sales(SALES).run(&["stock"]).done();
    assert_eq!(output.err, "");
    insta::assert_snapshot!(output.out, @r"
    On hand on 2026-05-02; money in EUR

    To do first: high: inspect, cut to 255 now; ready: inspect, list at 240; stand: finish, inspect.
    4 bikes on hand, 212.50 of cash tied up in them.
    2 listed, asking 540 together. If the plans hold, about 620 comes in for all that is on hand.
    On hand for 48 days on average, 80 at most; 43 % of the cash is in bikes on hand for more than 60 days.

                      days             cash
    bike              here  listed  tied up  ask  value  to do
    high   road 2014    62      49    82.50  340    245  inspect, cut to 255 now
    ready  road 2016    21       -    82.00    -    215  inspect, list at 240
    fair   road 2014    31      12    40.00  200    205  inspect, cut to 190 on 16
                                                         May
    stand  city 2012    80       -     8.00    -     55  finish, inspect

    Once it is on offer:
      wheelworth record sale --bike ready --listed-on 2026-05-02 --ask 240.00

    Cautions
      1. stand: condition 2, valued as it stands. When the work is done, note the new condition: then this says what to list it at.
      2. high, ready, fair and stand: not inspected yet. 'wheelworth inspect --blank SHEET.csv' makes a sheet; filled in, 'wheelworth inspect SHEET.csv --bike ID' keeps it.
      3. stand: purchase cost not known, counted as 0: more cash may be tied up.
      4. A price is no safety check, and the condition is the one in your records: have each bike checked by somebody competent before it is listed or ridden.

    2 more, about the prices: the same with --why.
    ");
}

#[test]
fn the_keys_that_scripts_rely_on() {
    let answer = stock(&Workshop::new().sales(SALES), &[]);
    assert_eq!(answer["as_of"], "2026-05-02");
    assert_eq!(answer["currency"], "EUR");
    let stand = bike(&answer, "stand");
    // 11 February to 2 May: 17 + 31 + 30 + 2 days.
    let expected = json!({
        "bike": "stand", "style": "city", "made": 2012, "condition": 2, "tier": 1,
        "bought_on": "2026-02-11", "listed_on": null,
        "days_in_workshop": 80, "days_listed": null, "days_on_hand": 80,
        "cash": 8.0, "hours": null, "ask": null,
        "value": stand["value"], "expected": stand["expected"],
        "next": {"do": "finish", "on": null, "ask": null, "text": "finish, inspect"},
        "overdue": false, "inspection": null,
    });
    assert_eq!(*stand, expected);
    assert!(stand["value"].as_f64().unwrap() > 0.0);
    let high = bike(&answer, "high");
    assert_eq!((&high["ask"], &high["hours"]), (&json!(340.0), &json!(4.5)));
    assert_eq!(high["next"]["do"], "mark_down");
    assert_eq!(high["next"]["on"], "2026-05-02");
    assert!(high["next"]["ask"].as_f64().unwrap() < 340.0);
    assert_eq!(high["overdue"], true);
    let totals = &answer["totals"];
    assert_eq!(
        (&totals["bikes"], &totals["listed"]),
        (&json!(4), &json!(2))
    );
    // 82.50 + 40 + 82 + 8; high and stand are there for 62 and 80 days.
    assert_eq!(totals["cash"], 212.5);
    assert_eq!(totals["cash_over_60_days"], 90.5);
    assert_eq!(totals["share_over_60_days"], 90.5 / 212.5);
    assert_eq!(totals["asks"], 540.0);
    assert_eq!(
        totals["mean_days_on_hand"],
        f64::from(62 + 31 + 21 + 80) / 4.0
    );
    assert_eq!(totals["longest_days_on_hand"], 80);
    let bikes = answer["bikes"].as_array().unwrap();
    let expected: f64 = bikes.iter().map(|b| b["expected"].as_f64().unwrap()).sum();
    // Amounts in cents, added as binary fractions.
    let off = totals["expected"].as_f64().unwrap() - expected;
    assert!(off.abs() < 1e-9, "{off}");
    assert!(codes(&answer).contains(&"no_safety_check"), "{answer}");
}

/// Each bike is priced as if it were asked for alone, on any day.
#[test]
fn numbers_are_those_of_price() {
    let workshop = Workshop::busy();
    for day in ["2026-05-02", "2025-03-01", "2024-09-10"] {
        let answer = stock(&workshop, &["--as-of", day]);
        let bikes = answer["bikes"].as_array().unwrap();
        assert!(!bikes.is_empty(), "{day}");
        for bike in bikes {
            let id = bike["bike"].as_str().unwrap();
            let line = ["price", "--bike", id, "--as-of", day, "--format", "json"];
            let price = workshop.run(&line).done().json()["bikes"][0].clone();
            assert_eq!(bike["value"], price["value"]["median"], "{id} {day}");
            assert_eq!(
                bike["expected"], price["ask"]["expected_sale"],
                "{id} {day}"
            );
            assert_eq!(bike["cash"], price["margin"]["cost"], "{id} {day}");
            let step = |down: &Value| json!([down["on"], down["ask"]]);
            let plan: Vec<Value> = price["mark_down"]
                .as_array()
                .unwrap()
                .iter()
                .map(step)
                .collect();
            let next = step(&bike["next"]);
            match bike["next"]["do"].as_str().unwrap() {
                "list" => assert_eq!(next, plan[0], "{id} {day}"),
                "mark_down" if bike["overdue"] == true => {
                    assert_eq!(next, plan[0], "{id} {day}");
                    assert!(bike["ask"].as_f64() > plan[0][1].as_f64(), "{id} {day}");
                }
                "mark_down" => {
                    assert_eq!(next, plan[1], "{id} {day}");
                    assert!(still_there_at_the_cut(&price) != Some(false), "{id} {day}");
                }
                // Who is told to list it anew is not told to come down, nor is one whose
                // next cut comes when hardly any such bike is still there.
                "wait" => {
                    let late = plan.len() == 1 || still_there_at_the_cut(&price) != Some(true);
                    assert!(late || anew(&price), "{id} {day}");
                }
                _ => panic!("{id} {day}: {bike}"),
            }
        }
    }
}

/// Whether more than one bike in twenty is still there on the day of the next cut, where
/// the chances within so many days tell.
fn still_there_at_the_cut(price: &Value) -> Option<bool> {
    let cut = price["mark_down"][1]["day"].as_i64()?;
    let left = |days: &i64| {
        let sold = price["days_on_market"][format!("within_{days}")].as_f64();
        1.0 - sold.unwrap()
    };
    const DAYS: [i64; 4] = [7, 14, 30, 60];
    let before = DAYS.iter().rev().find(|days| **days <= cut).map(left);
    let after = DAYS.iter().find(|days| **days >= cut).map(left);
    match (before, after) {
        (Some(before), _) if before <= 0.05 => Some(false),
        (_, Some(after)) if after > 0.05 => Some(true),
        _ => None,
    }
}

/// Whether a price says that the bike asks too little.
fn anew(price: &Value) -> bool {
    codes(price).contains(&"asks_too_little")
}

fn spend(workshop: &Workshop, rows: &[(&str, Day, CostKind, i64, bool)]) {
    let mut book = Book::open(&workshop.book()).unwrap();
    let mut import = book.begin_import("costs", "costs.csv", TODAY).unwrap();
    for (bike, on, kind, cents, from_box) in rows {
        let cost = Cost {
            bike: Some((*bike).to_string()),
            on: *on,
            kind: *kind,
            item: None,
            amount: Money::from_minor(*cents),
            from_box: *from_box,
        };
        import.put_cost(&cost, Repeat::OfAFile).unwrap();
    }
    import.commit().unwrap();
}

/// 82.50 of the sales for 'high': 60 of purchase and 22.50 of parts. The costs say
/// 18 of parts, 4 of travel, and 9 from the box; a fee comes later.
#[test]
fn costs_replace_columns_here_and_in_price() {
    let workshop = Workshop::new().sales(SALES);
    let on = |month, day| Day::constant(2026, month, day);
    spend(
        &workshop,
        &[
            ("high", on(3, 5), CostKind::Part, 1800, false),
            ("high", on(3, 6), CostKind::Part, 900, true),
            ("high", on(4, 2), CostKind::Travel, 400, false),
            ("high", on(5, 3), CostKind::Fee, 700, false),
            ("fair", on(4, 2), CostKind::Part, 500, true),
        ],
    );
    let price = |id: &str, day: &str| {
        let line = ["price", "--bike", id, "--as-of", day, "--format", "json"];
        workshop.run(&line).done().json()["bikes"][0]["margin"]["cost"].clone()
    };
    for (day, cash) in [
        ("2026-03-04", 82.5), // no cost was there yet
        ("2026-03-06", 78.0),
        ("2026-05-02", 82.0),
        ("2026-05-03", 89.0),
    ] {
        let answer = stock(&workshop, &["--as-of", day]);
        assert_eq!(bike(&answer, "high")["cash"], cash, "{day}");
        assert_eq!(price("high", day), cash, "{day}");
    }
    let answer = stock(&workshop, &[]);
    assert_eq!(bike(&answer, "fair")["cash"], 40.0);
    assert_eq!(price("fair", "2026-05-02"), 40.0);
    let told = answer["cautions"].to_string();
    assert!(
        told.contains("high: the sales say parts 22.50, the list of costs 18.00, which counts"),
        "{told}"
    );
}

#[test]
fn an_empty_shed_says_so() {
    let workshop = Workshop::new();
    let output = workshop.run(&["stock"]).done();
    insta::assert_snapshot!(output.out, @r"
The shed is empty: no bike was on hand on 2026-05-02.
A bike that you buy comes in with 'wheelworth record sale --bike ID --style … --purchase AMOUNT', a list of bikes with 'wheelworth import sales FILE'.
");
    let answer = stock(&workshop, &[]);
    assert_eq!(answer["bikes"], json!([]));
    assert_eq!(answer["cautions"], json!([]));
    let totals = json!({
        "bikes": 0, "listed": 0, "cash": 0.0, "asks": 0.0, "expected": 0.0,
        "mean_days_on_hand": null, "longest_days_on_hand": null,
        "cash_over_60_days": 0.0, "share_over_60_days": null,
    });
    assert_eq!(answer["totals"], totals);
    // The same before the first bike came.
    let workshop = Workshop::new().sales(SALES);
    assert_eq!(
        stock(&workshop, &["--as-of", "2025-12-19"])["bikes"],
        json!([])
    );
}

#[test]
fn without_any_price_the_table_stands() {
    let sales = "\
bike,style,made,condition,bought_on,listed_on,ask,purchase,new_price
a,road,2015,4,2026-04-01,2026-04-10,150,40,
b,city,,3,2026-04-20,,,25,
c,city,2018,4,2026-04-25,,,30,400
";
    let answer = stock(&Workshop::in_currency("THB").sales(sales), &[]);
    let next = |id| &bike(&answer, id)["next"];
    assert_eq!(
        *next("a"),
        json!({"do": "wait", "on": null, "ask": null, "text": "inspect"})
    );
    assert_eq!(
        *next("b"),
        json!({"do": "list", "on": "2026-05-02", "ask": null, "text": "inspect, list it"})
    );
    // What a new one costs is something to go on.
    assert!(next("c")["ask"].as_f64().unwrap() > 0.0);
    assert_eq!(bike(&answer, "a")["value"], Value::Null);
    assert_eq!(answer["totals"]["cash"], 95.0);
    assert_eq!(answer["totals"]["expected"], bike(&answer, "c")["expected"]);
    let told = answer["cautions"].to_string();
    assert!(told.contains("b and a: no value can be given"), "{told}");
    for code in ["no_value", "nothing_to_go_on", "pace_from_prior_only"] {
        assert!(codes(&answer).contains(&code), "{code}: {told}");
    }
}

#[test]
fn what_the_records_leave_open_is_told() {
    let sales = "\
bike,style,made,condition,bought_on,listed_on,ask,sold_on,sold_price,purchase
S1,road,2015,4,2026-01-02,2026-01-05,260,2026-01-30,235,60
noask,road,2015,4,2026-03-01,2026-03-05,,,,40
noday,road,2015,4,2026-03-01,,180,,,40
donor,road,2005,1,2026-03-01,,,,,5
guess,road,2010,,2026-03-01,,,,,20
rough,road,2010,2,2026-03-01,2026-03-05,90,,,20
early,road,2014,3,2026-03-09,2026-03-05,150,,,30
";
    let answer = stock(&Workshop::new().sales(sales), &[]);
    for (code, id) in [
        ("no_ask", "noask"),
        ("no_listing_day", "noday"),
        ("donor", "donor"),
        ("condition_unknown", "guess"),
        ("listed_unready", "rough"),
        ("listed_before_bought", "early"),
    ] {
        let cautions = answer["cautions"].as_array().unwrap();
        let told = cautions.iter().find(|caution| caution["code"] == code);
        let text = told.unwrap_or_else(|| panic!("{code}: {answer}"))["text"]
            .as_str()
            .unwrap();
        assert!(text.starts_with(&format!("{id}: ")), "{text}");
    }
    assert_eq!(bike(&answer, "noask")["next"]["do"], "wait");
    // Not listed as far as is known, so no ask stands.
    assert_eq!(bike(&answer, "noday")["ask"], Value::Null);
    assert_eq!(bike(&answer, "noday")["next"]["do"], "list");
    for id in ["donor", "guess"] {
        assert_eq!(bike(&answer, id)["next"]["do"], "finish", "{id}");
    }
    assert_eq!(bike(&answer, "early")["days_in_workshop"], Value::Null);
}

#[test]
fn the_settings_are_those_of_price() {
    let workshop = Workshop::new().sales(SALES);
    let ask = |words: &[&str]| {
        bike(&stock(&workshop, words), "ready")["next"]["ask"]
            .as_f64()
            .unwrap()
    };
    let (calm, hurried) = (ask(&[]), ask(&["--week-cost", "8"]));
    assert!(hurried < calm, "{hurried} {calm}");
    workshop
        .run(&["stock", "--week-cost", "8", "--keep"])
        .done();
    assert_eq!(ask(&[]), hurried, "kept in the book");
    let said = ["--weeks '0': expected a whole number of weeks from 1 to 104"];
    workshop.run(&["stock", "--weeks", "0"]).says(2, &said);
}

#[test]
fn the_table_fits_a_screen() {
    let sales = |currency: &str, scale: i64| {
        let mut csv = String::from("bike,style,made,condition,bought_on,listed_on,ask,purchase\n");
        for place in 0..30 {
            let id = "long-".repeat(place % 5);
            let (day, ask) = (1 + place % 28, (100 + 37 * place as i64) * scale);
            csv.push_str(&format!(
                "{id}{place},mountain,2015,4,2025-11-{day:02},2026-01-{day:02},{ask},{ask}\n"
            ));
        }
        let comps = format!(
            "listing,style,made,ask,listed_on\nx,mountain,2015,{},2026-03-01\n",
            180 * scale
        );
        let workshop = Workshop::in_currency(currency).sales(&csv).comps(&comps);
        // Two years of weeks, so that dates bear their year.
        workshop.run(&["stock", "--weeks", "104"]).done().out
    };
    for out in [sales("EUR", 1), sales("JPY", 160), sales("KWD", 1)] {
        let table = out.split("\n\n").nth(2).unwrap();
        assert!(table.lines().count() > 30, "{out}");
        for line in table.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(table.contains("\nlong-long"), "{out}");
    }
}
