//! What `price` says to ask: the keys that scripts rely on, the settings, and
//! bikes that stand listed already.

use crate::support::tolerance::SAME_NUMBER;
use crate::support::workshop::Workshop;
use serde_json::Value;

pub(super) const BIKE: &str = "price --style hybrid --made 2016 --condition tidy --tier 2 --seat-tube 53cm --new-price 520 --cost 64.50 --hours 6";

/// Three sales of known length and a bike that stands, with room for mark-downs.
pub(super) const SALES: &str = "\
bike,style,made,condition,tier,listed_on,ask,sold_on,sold_price
S1,road,2015,4,3,2026-01-05,260,2026-01-30,235
S2,road,2016,3,3,2026-02-03,240,2026-03-10,210
S3,road,2013,3,3,2026-02-20,230,2026-04-01,190
S4,road,2014,4,3,2026-03-14,290,,
";

fn json(workshop: &Workshop, line: &str) -> Value {
    let words: Vec<&str> = line.split(' ').collect();
    workshop
        .run(&[&words[..], &["--format", "json"]].concat())
        .done()
        .json()
}

pub(super) fn bike(workshop: &Workshop, line: &str) -> Value {
    json(workshop, line)["bikes"][0].clone()
}

#[track_caller]
pub(super) fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value}"))
}

fn within(row: &Value) -> [f64; 4] {
    ["within_7", "within_14", "within_30", "within_60"].map(|key| number(&row[key]))
}

/// After the last week the chance stays as it is, up to a few roundings.
fn rising(chances: &[f64; 4]) -> bool {
    chances.windows(2).all(|c| c[1] >= c[0] - SAME_NUMBER)
}

fn codes(bike: &Value) -> Vec<&str> {
    let cautions = bike["cautions"].as_array().unwrap();
    cautions
        .iter()
        .map(|c| c["code"].as_str().unwrap())
        .collect()
}

/// Everything that the plan of one bike must keep to.
#[track_caller]
fn sound(bike: &Value, weeks: f64) {
    let ask = &bike["ask"];
    let of = |key: &str| number(&ask[key]);
    let suggested = of("suggested");
    assert!(0.0 < of("floor") && of("floor") <= suggested, "{ask}");
    assert!(0.0 < of("expected_sale") && of("expected_sale") <= suggested);
    assert!(0.0 < of("expected_days") && of("expected_days") <= 7.0 * weeks);
    assert!(of("present_value") <= of("expected_sale"), "{ask}");
    assert!((0.0..=1.0).contains(&of("unsold")), "{ask}");
    assert_eq!(of("weeks"), weeks);
    assert_eq!(of("floor"), of("present_value"), "what the plan is worth");
    let single = number(&ask["best_single"]["present_value"]);
    // Each is rounded to a cent.
    assert!((of("floor") - single - of("mark_downs_add")).abs() < 0.0101);

    let chances = within(&bike["days_on_market"]);
    assert!(rising(&chances), "{chances:?}");
    assert!(chances.iter().all(|c| (0.0..=1.0).contains(c)));
    // The plan says nothing of what comes after its last week.
    for (days, chance) in [7.0, 14.0, 30.0, 60.0].into_iter().zip(chances) {
        let by_then = chance - (1.0 - of("unsold"));
        assert!(
            days < 7.0 * weeks || by_then.abs() < 1e-9,
            "{days}: {by_then}"
        );
    }
    let median = &bike["days_on_market"]["median"];
    if of("unsold") <= 0.5 {
        assert!(number(median) > 0.0 && number(median) <= 7.0 * weeks);
    } else {
        assert_eq!(*median, Value::Null);
    }

    let curve = bike["curve"].as_array().unwrap();
    assert!(curve.len() >= 10, "{} points", curve.len());
    let asks: Vec<f64> = curve.iter().map(|c| number(&c["ask"])).collect();
    assert!(asks.windows(2).all(|a| a[0] < a[1]), "{asks:?}");
    assert!(asks.contains(&suggested), "{suggested} in {asks:?}");
    for point in curve {
        let chances = within(point);
        assert!(rising(&chances), "{point}");
        assert!(chances.iter().all(|c| (0.0..=1.0).contains(c)), "{point}");
        for key in ["premium", "expected_days", "expected_sale", "present_value"] {
            assert!(number(&point[key]).is_finite(), "{key}");
        }
        let median = &point["median_days"];
        assert!(median.is_null() || number(median) >= 0.0, "{point}");
        let value = number(&bike["value"]["median"]);
        let premium = (number(&point["ask"]) / value).ln();
        // The value is rounded to a cent, half of it is left.
        assert!((premium - number(&point["premium"])).abs() < 0.006 / value);
    }
    for pair in curve.windows(2) {
        let (low, high) = (within(&pair[0]), within(&pair[1]));
        assert!(low.iter().zip(high).all(|(low, high)| high <= *low));
        // Null is later than any day.
        let days = |c: &Value| c["median_days"].as_f64().unwrap_or(f64::INFINITY);
        assert!(days(&pair[0]) <= days(&pair[1]));
    }

    let rows = bike["mark_down"].as_array().unwrap();
    assert!((1..=5).contains(&rows.len()), "{rows:?}");
    assert_eq!(
        (&rows[0]["day"], &rows[0]["ask"]),
        (&0.into(), &ask["suggested"])
    );
    for pair in rows.windows(2) {
        assert!(number(&pair[0]["day"]) < number(&pair[1]["day"]));
        assert!(pair[0]["on"].as_str().unwrap() < pair[1]["on"].as_str().unwrap());
        // 3 % at least, up to a rounding.
        assert!(number(&pair[1]["ask"]) <= 0.97 * number(&pair[0]["ask"]) + 1e-9);
    }
    assert!(number(&rows[rows.len() - 1]["day"]) < 7.0 * weeks);
}

#[test]
fn every_plan_keeps_to_its_rules() {
    let workshop = Workshop::busy();
    let whole = bike(&workshop, BIKE);
    sound(&whole, 26.0);
    assert_eq!(whole["ask"]["stands"], Value::Null);
    assert_eq!(whole["mark_down"][0]["on"], "2026-05-02");
    let floors = whole["ask"]["later_floors"].as_array().unwrap();
    let days: Vec<f64> = floors.iter().map(|f| number(&f["day"])).collect();
    assert_eq!(days, [28.0, 56.0, 84.0, 112.0, 140.0, 168.0]);
    for line in [
        "price --style kids",
        "price --style touring --made 1979 --tier 5",
    ] {
        sound(&bike(&workshop, line), 26.0);
    }
    let short = format!("{BIKE} --weeks 3 --week-cost 5 --quick-sale 20");
    sound(&bike(&workshop, &short), 3.0);
    let many = json(&workshop, "price --from datasets/bikes.csv");
    let many = many["bikes"].as_array().unwrap();
    assert_eq!(many.len(), 6);
    many.iter().for_each(|bike| sound(bike, 26.0));
}

#[test]
fn the_margin_is_the_expected_sale_less_the_cost() {
    let bike = bike(&Workshop::busy(), BIKE);
    let cents = |v: &Value| (100.0 * number(v)).round() as i64;
    let sale = cents(&bike["ask"]["expected_sale"]);
    assert_eq!(cents(&bike["margin"]["expected"]), sale - 6450);
}

#[test]
fn a_setting_out_of_range_is_wrong_usage() {
    let workshop = Workshop::busy();
    let before = workshop.book_bytes();
    for (flag, values) in [
        ("--week-cost", ["-1", "50.1", "dear"]),
        ("--weeks", ["0", "105", "2.5"]),
        ("--quick-sale", ["-0.5", "101", "inf"]),
    ] {
        for value in values {
            let line = ["price", "--style", "road", flag, value, "--keep"];
            let output = workshop.run(&line);
            output.says(2, &[&format!("{flag} '{value}'"), "expected"]);
            assert_eq!(output.out, "");
        }
    }
    assert!(workshop.book_bytes() == before, "the book changed");
}

#[test]
fn kept_settings_are_used_the_next_time_and_others_are_not() {
    let workshop = Workshop::busy();
    let usual = json(&workshop, BIKE);
    let settings = "--week-cost 3% --weeks 10 --quick-sale 40";
    let other = json(&workshop, &format!("{BIKE} {settings}"));
    assert_eq!(other["bikes"][0]["ask"]["weeks"], 10);
    assert_ne!(usual, other);
    assert_eq!(json(&workshop, BIKE), usual, "not kept unless asked to");
    let kept = json(&workshop, &format!("{BIKE} {settings} --keep"));
    assert_eq!(kept, other);
    assert_eq!(json(&workshop, BIKE), other);
    // A flag goes before what is kept; --keep keeps only what is given.
    json(&workshop, &format!("{BIKE} --weeks 8 --keep"));
    let line = format!("{BIKE} --weeks 8 --week-cost 3 --quick-sale 40");
    assert_eq!(json(&workshop, BIKE), json(&Workshop::busy(), &line));
    let back = format!("{BIKE} --week-cost own --weeks 26 --quick-sale 60");
    assert_eq!(json(&workshop, &back), usual);
}

#[test]
fn a_listed_bike_never_goes_up_and_has_the_weeks_that_are_left() {
    let workshop = Workshop::new()
        .sales(SALES)
        .asks("bike,on,ask\nS4,2026-04-11,270\n");
    let bike = bike(&workshop, "price --bike S4");
    // 14 March to 2 May: 17 + 30 + 2 = 49 days, 7 of 26 weeks.
    let stands = &bike["ask"]["stands"];
    assert_eq!(
        (&stands["days"], &stands["ask"]),
        (&49.into(), &270.0.into())
    );
    sound(&bike, 19.0);
    assert!(number(&bike["ask"]["suggested"]) <= 270.0);
    assert!(!codes(&bike).contains(&"listed_longer_than_it_may"));
    let asks: Vec<f64> = bike["curve"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| number(&c["ask"]))
        .collect();
    assert!(asks.contains(&270.0), "its ask now is among {asks:?}");
    let text = workshop.run(&["price", "--bike", "S4", "--why"]).done().out;
    assert!(text.contains("listed for 49 days, at 270 now"), "{text}");
}

/// A cheap ask stays: the value may be above it, and it is told.
#[test]
fn an_ask_below_the_value_is_kept_and_told() {
    let workshop = Workshop::new()
        .sales(SALES)
        .asks("bike,on,ask\nS4,2026-04-28,120\n");
    let bike = bike(&workshop, "price --bike S4");
    assert!(number(&bike["value"]["median"]) > 150.0, "{bike}");
    assert_eq!(bike["ask"]["suggested"], 120.0);
    assert!(
        codes(&bike).contains(&"asks_too_little"),
        "{:?}",
        codes(&bike)
    );
    let text = workshop.run(&["price", "--bike", "S4", "--why"]).done().out;
    assert!(text.contains("Keep asking 120"), "{text}");
}

#[test]
fn one_that_stands_too_long_is_planned_for_a_few_weeks_and_told() {
    let workshop = Workshop::new().sales(SALES);
    // 7 weeks have passed: at 8 one is left, at 7 none; 4 are planned all the same,
    // or all that it may stand where that is less.
    for (weeks, left, told) in [("8", 4.0, false), ("7", 4.0, true), ("2", 2.0, true)] {
        let bike = bike(&workshop, &format!("price --bike S4 --weeks {weeks}"));
        sound(&bike, left);
        assert_eq!(
            codes(&bike).contains(&"listed_longer_than_it_may"),
            told,
            "{weeks}"
        );
    }
}

#[test]
fn later_changes_of_ask_are_not_seen() {
    let plain = Workshop::new().sales(SALES);
    let cut = Workshop::new()
        .sales(SALES)
        .asks("bike,on,ask\nS4,2026-04-11,270\nS4,2026-04-25,250\n");
    let on =
        |workshop: &Workshop, day: &str| json(workshop, &format!("price --bike S4 --as-of {day}"));
    assert_eq!(on(&cut, "2026-04-10"), on(&plain, "2026-04-10"));
    for (day, ask) in [
        ("2026-04-10", 290.0),
        ("2026-04-11", 270.0),
        ("2026-04-24", 270.0),
        ("2026-04-25", 250.0),
    ] {
        let answer = on(&cut, day);
        assert_eq!(answer["bikes"][0]["ask"]["stands"]["ask"], ask, "{day}");
        assert_eq!(answer["bikes"][0]["mark_down"][0]["on"], day);
    }
}

#[test]
fn a_book_without_any_durations_says_so() {
    let sales = "bike,style,made,sold_on,sold_price\nS1,road,2015,2026-02-10,200\nS2,road,2016,2026-03-20,190\n";
    let comps = "listing,style,made,first_seen,ask\nc1,road,2015,2026-04-20,240\n";
    for (workshop, line) in [
        (
            Workshop::new(),
            "price --style road --made 2015 --new-price 900",
        ),
        (
            Workshop::new().sales(sales),
            "price --style road --made 2015",
        ),
        (
            Workshop::new().sales(sales).comps(comps),
            "price --style road --made 2015",
        ),
    ] {
        let answer = json(&workshop, line);
        let bike = &answer["bikes"][0];
        assert!(codes(bike).contains(&"pace_from_prior_only"), "{bike}");
        // No model at all where the new price is all there is.
        if let Some(model) = answer["model"].as_object() {
            assert_eq!(model["selling"]["own_listings"], 0);
            assert_eq!(model["selling"]["comps"], 0);
        }
        sound(bike, 26.0);
    }
    let bike = bike(&Workshop::busy(), "price --style road --made 2015");
    assert!(!codes(&bike).contains(&"pace_from_prior_only"));
}

#[test]
fn the_words_say_what_to_ask_and_when() {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let workshop = Workshop::busy();
    let plan = bike(&workshop, BIKE);
    let words: Vec<&str> = BIKE.split(' ').collect();
    let text = workshop.run(&words).done().out;
    let rows = plan["mark_down"].as_array().unwrap();
    assert!(rows.len() >= 3, "{rows:?}");
    let mut said = format!("Ask {}", number(&rows[0]["ask"]));
    for (i, row) in rows.iter().enumerate().skip(1) {
        let day: Vec<usize> = row["on"]
            .as_str()
            .unwrap()
            .split('-')
            .map(|d| d.parse().unwrap())
            .collect();
        let before = if i == 1 { "; while it is unsold" } else { "," };
        let (day, month) = (day[2], MONTHS[day[1] - 1]);
        said += &format!("{before} {} from {day} {month}", number(&row["ask"]));
    }
    // Up to a whole unit, so that no offer is too low.
    let floor = number(&plan["ask"]["floor"]).ceil();
    said += &format!(". Accept {floor} or more today.\n");
    assert!(text.contains(&said), "{said}\n{text}");
}

/// Asks stay within reason, whatever a week costs: not above the upper end of the 80 %
/// range, not above nine tenths of a known new price; and who knows nothing of the market
/// asks by the value, not by the width of the range (0.2 log units, 80 %: e^0.2563).
#[test]
fn no_ask_stands_above_the_range_or_near_the_new_price() {
    let (busy, empty) = (Workshop::busy(), Workshop::new());
    for features in [
        "--style hybrid --made 2016 --condition tidy --tier sport",
        "--style road --made 2021 --tier pro --condition 4 --new-price 8000",
        "--style road --made 1975 --condition rider",
        "--style folding --made 2026 --condition mint --new-price 250",
        "--style kids",
    ] {
        for week in ["0", "1", "own", "7"] {
            for workshop in [&busy, &empty] {
                let line = format!("price {features} --week-cost {week}");
                let bike = bike(workshop, &line);
                let value = number(&bike["value"]["median"]);
                let high = number(&bike["value"]["high"]);
                let new_price = features.split("--new-price ").nth(1);
                let new_price = new_price.map(|text| text.parse::<f64>().unwrap());
                for ask in [&bike["ask"], &bike["patient"]["ask"]] {
                    let ask = number(&ask["suggested"]);
                    // Asks stand on price points, which round to about 2 %.
                    assert!(ask <= 1.02 * high, "{line}: {ask}, {high}");
                    let most = new_price.map_or(f64::INFINITY, |new| 0.9 * new);
                    assert!(ask <= 1.02 * most, "{line}: {ask}, {most}");
                    if std::ptr::eq(workshop, &raw const empty) {
                        assert!(
                            ask <= 1.02 * 0.2563_f64.exp() * value,
                            "{line}: {ask}, {value}"
                        );
                    }
                }
            }
        }
    }
}

/// Beside the plan stands that of somebody who has time: it asks no less, brings no less
/// on average, and sells no sooner; at 1 % a week it is the same.
#[test]
fn the_patient_plan_asks_no_less_and_sells_no_sooner() {
    let workshop = Workshop::busy();
    let wishes = json(&workshop, BIKE)["wishes"].clone();
    assert_eq!(wishes["from"], "own");
    assert!(number(&wishes["earned"]["amount"]) > 0.0);
    let bike = bike(&workshop, BIKE);
    let (ask, patient) = (&bike["ask"], &bike["patient"]["ask"]);
    for field in ["suggested", "expected_sale", "expected_days"] {
        assert!(number(&ask[field]) < number(&patient[field]), "{field}");
    }
    let at_one = self::bike(&workshop, &format!("{BIKE} --week-cost 1"));
    assert_eq!(
        at_one["ask"]["suggested"],
        at_one["patient"]["ask"]["suggested"]
    );
    assert_eq!(*patient, at_one["ask"]);
}

#[test]
fn a_cost_of_a_week_is_kept_as_it_was_given() {
    let workshop = Workshop::busy();
    for (given, kept) in [("7", "7"), ("2.3 %", "2.3"), ("own", "own")] {
        let words: Vec<&str> = BIKE.split(' ').collect();
        let words = [&words[..], &["--week-cost", given, "--keep"]].concat();
        let err = workshop.run(&words).done().err;
        assert_eq!(err, format!("Kept in the book: --week-cost {kept}.\n"));
    }
}
