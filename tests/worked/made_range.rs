//! A price from a range of model years, by hand: the city bike of
//! `new_price_alone`, of which only 2016 to 2020 is known. The beliefs are told
//! there: a year of age -0.14 to 3 years, -0.08 to 8, -0.04 beyond.
//!
//! Age on 1 July 2026, from days over 365.2425, and what it does to ln price:
//!
//!   2016  3652 days   9.998836   -0.42 - 0.40 - 0.04 · 1.998836 = -0.8999535
//!   2017  3287        8.999500   -0.42 - 0.40 - 0.04 · 0.999500 = -0.8599800
//!   2018  2922        8.000164   -0.42 - 0.40 - 0.04 · 0.000164 = -0.8200066
//!   2019  2557        7.000828   -0.42 - 0.08 · 4.000828        = -0.7400663
//!   2020  2191        5.998754   -0.42 - 0.08 · 2.998754        = -0.6599003
//!
//! Each year is as likely as any other. The mean is -3.9799066 / 5 = -0.7959813,
//! and with the condition (-0.12) and 'used' (-0.25) the value is
//! 600 · e^-1.1659813 = 186.9700: the fifth root of the product of what the bike
//! is worth in each year (168.5068 · 175.3791 · 182.5315 · 197.7223 · 214.2255).
//!
//! The years differ from their mean by -0.1039721, -0.0639987, -0.0240252,
//! 0.0559151, 0.1360810; the mean of the squares (0.0108102, 0.0040958, 0.0005772,
//! 0.0031265, 0.0185180) is 0.0074256. It is added to the variance of one sale:
//!
//!   0.20² + 0.25²                     0.1025000
//!   slopes, at the mean lengths 3, 4.3999165, 0.5997002:
//!   (3 · 0.05)² + (4.3999165 · 0.03)² + (0.5997002 · 0.02)²
//!   = 0.0225000 + 0.0174233 + 0.0001439 = 0.0400672
//!   condition  0.07²                  0.0049000
//!   years                             0.0074256
//!   sum                               0.1548928, root 0.3935642
//!
//! 80 % range: half width 1.439756 (t, 6 degrees) · 0.3935642 = 0.5666364:
//! 186.9700 · e^∓0.5666364 = 106.0925 and 329.5027. Without the years' part it
//! would be 0.5528838 (root of 0.1474672 is 0.3840146), 107.5616 and 325.0022.

use crate::support::tolerance::assert_near;
use crate::support::workshop::Workshop;
use serde_json::Value;

/// Half a cent of rounding in the answer, and as much in the steps above.
const CENT: f64 = 0.01;

fn bike(made: &str) -> Value {
    let line = format!(
        "price --style city --made {made} --condition 4 --new-price 600 --as-of 2026-07-01 --format json"
    );
    let words: Vec<&str> = line.split(' ').collect();
    Workshop::in_currency("THB").run(&words).done().json()["bikes"][0].clone()
}

#[test]
fn a_city_bike_of_one_of_five_years() {
    let bike = bike("2016..2020");
    let value = |name: &str| bike["value"][name].as_f64().unwrap();
    assert_near("median", value("median"), 186.9700, CENT);
    assert_near("low", value("low"), 106.0925, CENT);
    assert_near("high", value("high"), 329.5027, CENT);
    let lines = bike["contributions"].as_array().unwrap();
    let age = lines.iter().find(|line| line["feature"] == "age").unwrap();
    assert_eq!(age["known"], true);
    let factor = age["factor"].as_f64().unwrap();
    assert_near("age", factor, f64::exp(-0.795_981_3), 1e-6);
}

#[test]
fn each_year_alone_is_worth_what_the_mean_was_made_of() {
    for (made, median) in [
        ("2016", 168.5068),
        ("2017", 175.3791),
        ("2018", 182.5315),
        ("2019", 197.7223),
        ("2020", 214.2255),
    ] {
        let value = bike(made)["value"]["median"].as_f64().unwrap();
        assert_near(made, value, median, CENT);
    }
}
