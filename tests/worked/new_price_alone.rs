//! A price from the new price and the trade priors alone, by hand.
//!
//! In a currency of which no level is believed, so that the new price is all there is.
//!
//! A city bike new at 600, model year 2018, condition 4, on 1 July 2026, tier
//! and size unknown (they are in the new price). Beliefs, from `priors.toml`:
//! used as new -0.25 (sd 0.25); a year of age -0.14 (0.05) to 3 years, -0.08
//! (0.03) to 8, -0.04 (0.02) to 15; from tidy to mint +0.12 (0.07); spread of one
//! sale 0.20, worth 6 sales.
//!
//! Age: 1 July 2018 to 1 July 2026 is 8 · 365 + 2 = 2922 days (29 February of
//! 2020 and of 2024), 2922 / 365.2425 = 8.00016 years: 3 + 5 + 0.00016.
//!
//!   age        3 · -0.14 + 5 · -0.08 + 0.00016 · -0.04 = -0.8200065
//!   condition  from 5 down to 4, one step: -0.12
//!   used       -0.25
//!   sum        -1.1900065
//!   value      600 · e^-1.1900065 = 600 · 0.3042193 = 182.5316 -> 182.53
//!
//! Spread: the variances of one sale, of 'used as new', of the slopes times the
//! years, and of the step add up:
//!
//!   0.20² + 0.25² + (3 · 0.05)² + (5 · 0.03)² + (0.00016 · 0.02)² + 0.07²
//!   = 0.04 + 0.0625 + 0.0225 + 0.0225 + 0.0000 + 0.0049 = 0.1524, root 0.3903844
//!
//! 80 % range: the 0.9 quantile of Student t with 6 degrees of freedom is
//! 1.439756 (any printed table; R's qt(0.9, 6) = 1.439756, from memory).
//!
//!   half width 1.439756 · 0.3903844 = 0.5620583
//!   low   182.5316 · e^-0.5620583 = 104.0493
//!   high  182.5316 · e^+0.5620583 = 320.2115
//!
//! The mean of the log-normal with that variance (not capped, 0.1524 < 0.7):
//!   182.5316 · e^(0.1524 / 2) = 182.5316 · 1.0791784 = 196.9841

use crate::support::tolerance::assert_near;
use crate::support::workshop::Workshop;

const LINE: &str = "price --style city --made 2018 --condition 4 --new-price 600 --cost 100 --hours 4 --as-of 2026-07-01 --format json";

/// Half a cent of rounding in the answer, and as much in the steps above.
const CENT: f64 = 0.01;

#[test]
fn a_city_bike_of_eight_years() {
    let words: Vec<&str> = LINE.split(' ').collect();
    let bike = Workshop::in_currency("THB").run(&words).done().json()["bikes"][0].clone();
    let money = |of: &str, name: &str| bike[of][name].as_f64().unwrap();
    assert_near("median", money("value", "median"), 182.5316, CENT);
    assert_near("low", money("value", "low"), 104.0493, CENT);
    assert_near("high", money("value", "high"), 320.2115, CENT);
    assert_near("expected", money("value", "expected"), 196.9841, CENT);
    assert_near("base", money("base", "amount"), 600.0, 1e-9);
    let lines = bike["contributions"].as_array().unwrap();
    let logs = [
        ("used, as new", -0.25),
        ("age", -0.820_006_5),
        ("condition", -0.12),
    ];
    assert_eq!(lines.len(), logs.len());
    // Logarithmic mean: (182.5316 - 600) / -1.1900065 = 350.8119; each log times it.
    for (line, (feature, log)) in lines.iter().zip(logs) {
        assert_eq!(line["feature"], feature);
        assert_near(
            "factor",
            line["factor"].as_f64().unwrap(),
            f64::exp(log),
            1e-6,
        );
        assert_near(
            "amount",
            line["amount"].as_f64().unwrap(),
            350.8119 * log,
            CENT,
        );
    }
    // What the plan brings less 100, over 4 hours.
    let margin = money("ask", "expected_sale") - 100.0;
    assert_near("margin", money("margin", "expected"), margin, CENT);
    assert_near("hour", money("margin", "per_hour"), margin / 4.0, CENT);
    // P(ln price < ln 100): (4.605170 - 5.206923) / 0.3903844 = -1.541437 scales;
    // what lies below is a closed form for t with 6 degrees.
    let t = -1.541_437_f64;
    assert_near("loss", money("margin", "chance_of_loss"), t6_below(t), 1e-5);
}

/// Distribution function of Student t with 6 degrees of freedom in closed form
/// (even degrees: integration by parts; Abramowitz & Stegun 26.7.4, from memory):
/// with s = t / sqrt(6 + t²) and c² = 6 / (6 + t²),
/// F = 1/2 + s/2 · (1 + c²/2 + 3 c⁴ / 8).
fn t6_below(t: f64) -> f64 {
    let s = t / (6.0 + t * t).sqrt();
    let c2 = 6.0 / (6.0 + t * t);
    0.5 + s / 2.0 * (1.0 + c2 / 2.0 + 3.0 * c2 * c2 / 8.0)
}

#[test]
fn the_closed_form_knows_its_printed_quantiles() {
    // 0.9, 0.95, 0.975 and 0.99 of t with 6 degrees, as in any printed table.
    for (t, p) in [
        (1.439756, 0.9),
        (1.943180, 0.95),
        (2.446912, 0.975),
        (3.142668, 0.99),
    ] {
        assert_near("p", t6_below(t), p, 1e-6);
    }
}
