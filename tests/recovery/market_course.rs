//! A market that moves and has a season: both are put in and found again.

use crate::support::records;
use crate::support::tolerance::assert_near;
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};
use std::f64::consts::TAU;
use wheelworth::pricing::Priors;
use wheelworth::pricing::market::far_asks::MayBe;
use wheelworth::pricing::market::{Market, MarketQuestion, market};
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::trade::calendar::{quarter_number, year_fraction};
use wheelworth::trade::{Bike, Comparable, Condition, Currency, Day, Money, Style, Tier, Years};

const AS_OF: Day = Day::constant(2026, 5, 1);

/// A quarter's rise and the wave's height, in ln points; the wave is highest at
/// the end of May (day 151 of 365).
struct Truth {
    rise: f64,
    wave: f64,
}

const HIGHEST: f64 = 0.41;

/// Comps over three years, 40 a quarter, of one kind of bike of eight years.
fn comps(truth: &Truth, seed: u64) -> Vec<(Comparable, f64)> {
    many(truth, seed, 480)
}

fn many(truth: &Truth, seed: u64, count: i32) -> Vec<(Comparable, f64)> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let noise = Normal::new(0.0, 0.15).unwrap();
    let one = |number: i32| {
        let back = rng.random_range(0..1095);
        let day = AS_OF.checked_sub(jiff::ToSpan::days(back)).unwrap();
        let quarters = quarter_number(AS_OF) - quarter_number(day);
        let season = truth.wave * (TAU * (year_fraction(day) - HIGHEST)).cos();
        let ln = 200_f64.ln() - truth.rise * f64::from(quarters) + season;
        let ask = (ln + noise.sample(&mut rng)).exp();
        let mut bike = Bike::of(Style::Hybrid);
        // Half a year back from the day's summer, so that the age stays about 8.
        bike.made = Some(Years::from(day.year() - 8));
        bike.condition = Condition::from_grade(3);
        bike.tier = Tier::from_grade(2);
        let ask = Money::from_minor((ask * 100.0).round() as i64);
        let comp = Comparable {
            bike,
            first_seen: Some(day),
            last_seen: Some(day),
            ..records::comp(format!("C{number}"), Style::Hybrid, ask)
        };
        (comp, 1.0)
    };
    (0..count).map(one).collect()
}

fn found(comps: Vec<(Comparable, f64)>) -> Market {
    let records = InMemory {
        comps,
        ..InMemory::default()
    };
    let question = MarketQuestion {
        as_of: AS_OF,
        currency: Currency::from_code("EUR").unwrap(),
        style: None,
        top: 10,
        level: 0.8,
    };
    market(&records, Priors::shipped(), &question).unwrap()
}

/// How many of the ranges hold what was put in, over twenty books: levels of
/// three to nine quarters ago (a quarter's level is hard to tell from the season
/// of the same months; a year's is not), and months.
#[test]
fn ranges_hold_what_was_put_in() {
    let truth = Truth {
        rise: 0.02,
        wave: 0.06,
    };
    let (mut levels, mut months) = ((0, 0), (0, 0));
    let books = 20;
    for seed in 0..books {
        let found = found(comps(&truth, seed));
        let now = quarter_number(AS_OF);
        for period in &found.movement {
            let back = now - period.to;
            if (3..=9).contains(&back) {
                let put_in = (-truth.rise * f64::from(back)).exp();
                levels.0 += 1;
                levels.1 += u32::from(period.level.low < put_in && put_in < period.level.high);
            }
        }
        let season = found.season.unwrap();
        for (month, factor) in (0_u32..).zip(&season.months) {
            let middle = (f64::from(month) + 0.5) / 12.0;
            let put_in = (truth.wave * (TAU * (middle - HIGHEST)).cos()).exp();
            months.0 += 1;
            months.1 += u32::from(factor.low < put_in && put_in < factor.high);
        }
    }
    let held = |(all, inside): (u32, u32)| f64::from(inside) / f64::from(all);
    println!("levels {:.2}, months {:.2}", held(levels), held(months));
    // Ranges of one book go together, so twenty books tell the share only to
    // about 0.8 ± 0.09 each; the priors pull towards no change.
    assert!(held(levels) > 0.6, "{levels:?}");
    assert!(held(months) > 0.6, "{months:?}");
}

/// The belief that a market moves by 3 % a quarter or less is worth about as
/// much as 40 such comps; with 100 times as many comps the rise is what was put
/// in: 4 quarters of 0.02, each level known to about 0.15 / sqrt(4000) = 0.0024.
#[test]
fn many_comps_tell_the_rise() {
    let truth = Truth {
        rise: 0.02,
        wave: 0.06,
    };
    let found = found(many(&truth, 3, 48_000));
    let then = found.a_year_ago().unwrap();
    assert_near("a year", then.level.factor.ln(), -0.08, 0.01);
    assert!(then.rows > 3000.0 && !then.rests_on_prior());
    let season = found.season.unwrap();
    let summer = season.months[5].factor / season.months[11].factor;
    let wave = |place: f64| truth.wave * (TAU * (place - HIGHEST)).cos();
    assert_near(
        "season",
        summer.ln(),
        wave(5.5 / 12.0) - wave(11.5 / 12.0),
        0.01,
    );
}

#[test]
fn a_season_is_clear_only_where_there_is_one() {
    let clear = |wave: f64| {
        let truth = Truth { rise: 0.0, wave };
        (0..100)
            .filter(|seed| {
                let season = found(comps(&truth, 100 + seed)).season.unwrap();
                season.is_clear
            })
            .count()
    };
    let (none, strong) = (clear(0.0), clear(0.08));
    println!("clear without a season {none}, with one {strong}");
    // Regression guards: 23 were, give or take three times sqrt(100 · 0.23 · 0.77) = 4.2.
    assert!(none <= 36, "{none}");
    assert!(strong >= 95, "{strong}");
    let found = found(comps(
        &Truth {
            rise: 0.0,
            wave: 0.08,
        },
        7,
    ));
    let (best, weakest) = found.season.unwrap().best_and_weakest();
    assert!((3..=6).contains(&best), "April to July: {best}");
    assert!(
        [9, 10, 11, 0].contains(&weakest),
        "October to January: {weakest}"
    );
    assert_near("today", found.movement[0].level.factor, 1.0, 0.0);
    assert_near("today", found.movement[0].level.low, 1.0, 0.0);
}

#[test]
fn a_slipped_decimal_leads_the_unusual() {
    let truth = Truth {
        rise: 0.0,
        wave: 0.0,
    };
    let mut comps = comps(&truth, 1);
    let times = |comp: &mut Comparable, by: i64, over: i64| {
        comp.ask = Money::from_minor(comp.ask.minor() * by / over);
    };
    times(&mut comps[10].0, 10, 1);
    times(&mut comps[20].0, 1, 5);
    times(&mut comps[30].0, 4, 1);
    let far = found(comps).far;
    let named: Vec<(&str, MayBe)> = far
        .found
        .iter()
        .take(3)
        .map(|far| (far.listing.as_str(), far.may_be))
        .collect();
    assert_eq!(
        named,
        [
            ("C10", MayBe::WrongDecimal),
            ("C20", MayBe::PartsOnly),
            ("C30", MayBe::Bundle)
        ]
    );
    assert!(far.count >= 3 && far.count < 12, "{}", far.count);
}
