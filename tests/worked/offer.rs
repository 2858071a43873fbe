//! Offers by hand, from a new price and the trade priors alone.
//!
//! The city bike of `new_price_alone`: new at 600, model year 2018, on 1 July 2026;
//! in condition 4 it is worth 182.5316. From 2 to 3 is +0.45 (sd 0.15), from 3 to 4
//! +0.18 (0.08), so in condition 2 it is worth 182.5316 · e^-0.63 = 97.2148.
//!
//! Found in 2. New pads (safety, way to 3) and a polish (way to 4), one step each. Of a
//! step repairs bring nine tenths: 0.405 and 0.162, so done it is worth
//! 97.2148 · e^0.567 = 171.3868. By the logarithmic mean a log point is
//! (171.3868 - 97.2148) / 0.567 = 130.8148, and they add 52.9800 and 21.1920. How sure:
//! the bike is the same before and after, so only the steps' sd counts, and no spread of a
//! sale. The 0.9 quantile of Student t with 6 degrees of freedom is 1.439756, and
//! 1.439756 · 0.9 · 0.15 = 0.1943671, 1.439756 · 0.9 · 0.08 = 0.1036624:
//!
//!   pads    low   52.9800 · (e^(0.405 - 0.1943671) - 1) / (e^0.405 - 1) = 24.8780
//!           high  52.9800 · (e^(0.405 + 0.1943671) - 1) / (e^0.405 - 1) = 87.1111
//!   polish  low   21.1920 · (e^(0.162 - 0.1036624) - 1) / (e^0.162 - 1) =  7.2391
//!           high  21.1920 · (e^(0.162 + 0.1036624) - 1) / (e^0.162 - 1) = 36.6690
//!
//! With new tyres beside the pads, both on the way to 3 and neither enough alone, done it
//! is worth 97.2148 · e^0.405 = 145.7544, and the two share the step: half of 48.5396,
//! 24.2698 each, and half its sd: 0.0971835 either way of 0.2025, from 12.0086 to 37.7824.

use crate::support::tolerance::assert_near;
use crate::support::workshop::Workshop;
use serde_json::Value;
use wheelworth::pricing::offer::parts::{together, worth};
use wheelworth::trade::inspection::item;
use wheelworth::trade::{Money, Part};

/// Half a cent of rounding in each of two values, and as much in the steps above.
const CENT: f64 = 0.015;

fn offered(jobs: &str) -> Value {
    let workshop = Workshop::in_currency("THB");
    workshop.file(
        "jobs.csv",
        format!("job,cost,hours,safety,condition_after\n{jobs}"),
    );
    let line = "offer --style city --made 2018 --condition 2 --new-price 600 --jobs @jobs.csv --as-of 2026-07-01 --format json";
    let words: Vec<&str> = line.split(' ').collect();
    workshop.run(&words).done().json()
}

#[track_caller]
fn adds(found: &Value, job: &str, [low, median, high]: [f64; 3]) {
    let jobs = found["jobs"].as_array().unwrap();
    let one = jobs.iter().find(|one| one["job"] == job).unwrap();
    let of = |end: &str| one["uplift"][end].as_f64().unwrap();
    assert_near("low", of("low"), low, CENT);
    assert_near("median", of("median"), median, CENT);
    assert_near("high", of("high"), high, CENT);
}

#[test]
fn two_steps_one_job_each() {
    let found = offered("pads,9,0.5,yes,3\npolish,2,1,,4\n");
    let value = |of: &str| found[of]["median"].as_f64().unwrap();
    assert_near("as found", value("as_found"), 97.2148, CENT);
    assert_near("done", value("done"), 171.3868, CENT);
    adds(&found, "pads", [24.8780, 52.9800, 87.1111]);
    adds(&found, "polish", [7.2391, 21.1920, 36.6690]);
    // (52.98 - 9) / 0.5 and (21.19 - 2) / 1.
    for (place, hour) in [(0, 87.96), (1, 19.19)] {
        let found = found["jobs"][place]["per_hour"].as_f64().unwrap();
        assert_near("an hour", found, hour, 0.04);
    }
}

#[test]
fn one_step_that_takes_two_jobs() {
    let found = offered("pads,9,0.5,yes,3\ntyres,34,1,yes,3\n");
    let value = |of: &str| found[of]["median"].as_f64().unwrap();
    assert_near("done", value("done"), 145.7544, CENT);
    let pair = [12.0086, 24.2698, 37.7824];
    adds(&found, "pads", pair);
    adds(&found, "tyres", pair);
    // The tyres do not cover what they cost, and are done all the same.
    assert_eq!(found["jobs"][0]["pays"], true);
    assert_eq!(found["jobs"][1]["pays"], false);
    assert_eq!(found["best"]["jobs"], serde_json::json!(["pads", "tyres"]));
}

#[test]
fn parts_are_scrap_where_their_own_check_has_not_passed() {
    let part = |name: &str, chance| Part {
        name: name.into(),
        price: Money::from_minor(1_000),
        chance,
    };
    let open = ["front rim", "stem", "carbon parts", "front tyre"];
    let open: Vec<_> = open.map(|name| item(name).unwrap()).into();
    // Name, the check that it has not passed, whether it holds the rider.
    for (name, scrap, structural) in [
        ("front wheel", Some("front rim"), true),
        ("rear wheel", None, true),
        ("wheels", Some("front rim"), true),
        ("Handlebar and stem", Some("stem"), true),
        ("bar tape", None, false),
        ("seat-post clamp", None, false),
        ("carbon fork", Some("carbon parts"), true),
        ("bottom bracket", None, false),
        ("frameset", None, true),
        ("saddle", None, false),
        ("two old stems", Some("stem"), true),
    ] {
        let found = worth(&[part(name, 0.5)], &open).remove(0);
        assert_eq!(
            (found.scrap, found.structural),
            (scrap, structural),
            "{name}"
        );
    }
    // 10 x 0.5 + 10 x 0.9 + nothing for the stem = 14, less a tenth 12.60. Variance
    // 100 x 0.25 + 100 x 0.09 = 34; 14 - 0.841621 x 5.830952 = 9.0925, less a tenth
    // 8.1833 (the normal's 0.2 quantile is -0.841621, any printed table).
    let parts = [part("saddle", 0.5), part("rack", 0.9), part("stem", 0.7)];
    let (mean, low) = together(&worth(&parts, &open), 0.1, 0.2, |_| 10.0);
    assert_near("mean", mean, 12.6, 1e-12);
    assert_near("cautious", low, 8.1833, 1e-4);
}
