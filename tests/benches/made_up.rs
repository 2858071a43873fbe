//! Invented input from a seeded generator: the same on every run.
//!
//! Prices follow a log-linear model (style, age, condition, tier, normal noise
//! of 0.2). Nothing here is judged against an expected number; only time is.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::fmt::Write;
use wheelworth::intake::{Comps, Reader, Settings};
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::trade::comparable::Outcome;
use wheelworth::trade::sale::Sold;
use wheelworth::trade::{
    Bike, Comparable, Condition, Currency, Day, Money, Sale, SeatTube, Style, Tier, Years,
};

/// The day of every answer.
pub(crate) const AS_OF: Day = Day::constant(2026, 5, 2);

/// One in so many optional cells is unknown.
const UNKNOWN_ONE_IN: u32 = 8;

/// The book's currency.
pub(crate) fn currency() -> Currency {
    Currency::from_code("EUR").expect("EUR is in the list")
}

/// A source of chance.
pub(crate) fn chance(seed: u64) -> ChaCha8Rng {
    ChaCha8Rng::seed_from_u64(seed)
}

/// A normal number, mean 0 and deviation 1 (twelve uniforms, near enough here).
pub(crate) fn normal(rng: &mut impl Rng) -> f64 {
    (0..12).map(|_| rng.random::<f64>()).sum::<f64>() - 6.0
}

fn one_of<T: Copy>(rng: &mut impl Rng, all: &[T]) -> T {
    all[rng.random_range(0..all.len())]
}

fn known<T>(rng: &mut impl Rng, value: T) -> Option<T> {
    (rng.random_range(0..UNKNOWN_ONE_IN) != 0).then_some(value)
}

/// A day within the two and a half years before the answer.
fn some_day(rng: &mut impl Rng) -> Day {
    let back = jiff::Span::new().days(rng.random_range(100_i64..912));
    AS_OF.checked_sub(back).expect("a day of this century")
}

fn later(day: Day, days: i64) -> Day {
    day.checked_add(jiff::Span::new().days(days))
        .expect("a day of this century")
}

/// A bike and ln of what it is worth.
fn bike(rng: &mut impl Rng) -> (Bike, f64) {
    let style = one_of(rng, Style::ALL);
    let made = rng.random_range(1998..=2024_i16);
    let condition = one_of(rng, Condition::ALL);
    let tier = one_of(rng, Tier::ALL);
    let kids = if style == Style::Kids { 2500 } else { 0 };
    let tube = SeatTube::from_tenths(rng.random_range(4400..6200) - kids);
    let age = f64::from(2026 - made);
    let ln_value = 5.3 - 0.07 * (age - 8.0)
        + 0.05 * (style.index() as f64 - 4.0)
        + 0.3 * (f64::from(condition.grade()) - 3.0)
        + 0.25 * (f64::from(tier.grade()) - 2.0);
    let bike = Bike {
        style,
        made: known(rng, Years::from(made)),
        condition: known(rng, condition),
        tier: known(rng, tier),
        seat_tube: known(rng, tube).flatten(),
        new_price: None,
    };
    (bike, ln_value)
}

fn price(rng: &mut impl Rng, ln_value: f64) -> Money {
    let units = (ln_value + 0.2 * normal(rng)).exp();
    currency().round(units).expect("a price that can be held")
}

fn sale(rng: &mut impl Rng, number: usize) -> Sale {
    let (bike, ln_value) = bike(rng);
    let listed = some_day(rng);
    Sale {
        listed_on: Some(listed),
        sold: Some(Sold {
            on: later(listed, rng.random_range(1..60)),
            price: price(rng, ln_value),
        }),
        ..Sale::of(format!("B-{number}"), bike)
    }
}

fn comp(rng: &mut impl Rng, number: usize) -> Comparable {
    let (bike, ln_value) = bike(rng);
    let first_seen = some_day(rng);
    let ask = price(rng, ln_value + 0.1);
    let sources = ["small ads", "notice board", "auction page"];
    Comparable {
        listing: format!("L{number:07}"),
        source: one_of(rng, &sources).to_string(),
        bike,
        listed_on: known(rng, first_seen),
        first_seen: Some(first_seen),
        last_seen: Some(later(first_seen, rng.random_range(0..60))),
        ask,
        last_ask: known(rng, ask),
        outcome: one_of(rng, Outcome::ALL),
        ended_on: None,
        sold_price: None,
    }
}

/// 40 own sales and so many comps.
pub(crate) fn records(comps: usize) -> InMemory {
    let rng = &mut chance(7);
    InMemory {
        sales: (0..40).map(|n| sale(rng, n)).collect(),
        comps: (0..comps).map(|n| (comp(rng, n), 1.0)).collect(),
        asks: Vec::new(),
    }
}

/// The comps of [`records`] as the text of a `comps.csv`.
pub(crate) fn comps_csv(rows: usize) -> String {
    let mut text = String::from(
        "listing,source,style,made,condition,tier,seat_tube,new_price,listed_on,\
         first_seen,last_seen,ask,last_ask,outcome,ended_on,sold_price\n",
    );
    let euro = currency();
    for (comp, _) in records(rows).comps {
        let cell = |value: Option<String>| value.unwrap_or_default();
        let bike = &comp.bike;
        writeln!(
            text,
            "{},{},{},{},{},{},{},,{},{},{},{},{},{},,",
            comp.listing,
            comp.source,
            bike.style,
            cell(bike.made.map(|y| y.to_string())),
            cell(bike.condition.map(|c| c.to_string())),
            cell(bike.tier.map(|t| t.grade().to_string())),
            cell(
                bike.seat_tube
                    .and_then(SeatTube::tenths)
                    .map(|t| format!("{}mm", t / 10))
            ),
            cell(comp.listed_on.map(|d| d.to_string())),
            cell(comp.first_seen.map(|d| d.to_string())),
            cell(comp.last_seen.map(|d| d.to_string())),
            euro.plain(comp.ask),
            cell(comp.last_ask.map(|m| euro.plain(m))),
            comp.outcome,
        )
        .expect("text grows");
    }
    text
}

/// A reader over such a text.
pub(crate) fn reader(text: &'static str) -> Reader<Comps> {
    let settings = Settings::new(currency(), AS_OF);
    Reader::from_text(text.as_bytes(), "comps.csv", &settings).expect("a header that fits")
}
