//! Offers by hand, from a new price and the trade priors alone.
//!
//! The city bike of `new_price_alone`: new at 600, model year 2018, on 1 July 2026;
//! in condition 4 it is worth 180.7154. A step of condition is +0.13 (sd 0.07), so
//! in condition 2 it is worth 180.7154 · e^-0.26 = 139.3409, in 3
//! 180.7154 · e^-0.13 = 158.6854.
//!
//! Found in 2. New pads (safety, way to 3) and a polish (way to 4), one step each.
//! Both add 0.13 of 0.26, so each has half of 180.7154 - 139.3409 = 41.3745 by the
//! logarithmic mean: 20.6873. How sure: the bike is the same before and after, so
//! only the step's 0.07 counts, and no spread of a sale. The 0.9 quantile of Student
//! t with 6 degrees of freedom is 1.439756, 1.439756 · 0.07 = 0.1007829, and
//!
//!   low   20.6873 · (e^(0.13 - 0.1007829) - 1) / (e^0.13 - 1) = 4.4180
//!   high  20.6873 · (e^(0.13 + 0.1007829) - 1) / (e^0.13 - 1) = 38.6817
//!
//! With new tyres beside the pads, both on the way to 3 and neither enough alone,
//! the two share the step: half of 158.6854 - 139.3409, 9.6722 each, and half its sd: 1.439756 · 0.035 =
//! 0.0503915 either way of 0.065, from 2.1194 to 17.6155.

use crate::support::tolerance::assert_near;
use crate::support::workshop::Workshop;
use serde_json::Value;
use wheelworth::pricing::offer::parts::{together, worth};
use wheelworth::trade::inspection::item;
use wheelworth::trade::{Money, Part};

/// Half a cent of rounding in each of two values, and as much in the steps above.
const CENT: f64 = 0.015;

fn offered(jobs: &str) -> Value {
    let workshop = Workshop::new();
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
    assert_near("as found", value("as_found"), 139.3409, CENT);
    assert_near("done", value("done"), 180.7154, CENT);
    adds(&found, "pads", [4.4180, 20.6873, 38.6817]);
    adds(&found, "polish", [4.4180, 20.6873, 38.6817]);
    // (20.69 - 9) / 0.5 and (20.69 - 2) / 1.
    for (place, hour) in [(0, 23.37), (1, 18.69)] {
        let found = found["jobs"][place]["per_hour"].as_f64().unwrap();
        assert_near("an hour", found, hour, 0.04);
    }
}

#[test]
fn one_step_that_takes_two_jobs() {
    let found = offered("pads,9,0.5,yes,3\ntyres,34,1,yes,3\n");
    let value = |of: &str| found[of]["median"].as_f64().unwrap();
    assert_near("done", value("done"), 158.6854, CENT);
    let pair = [2.1194, 9.6722, 17.6155];
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
