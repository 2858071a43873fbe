//! Ranges on strange ground: six open sets of prices carried over to the facts of a
//! bicycle, beside least squares on the same rows. None of them is what the beliefs are
//! about: there, conditions differ by hundredths, age raises a price or does nothing.
//!
//! - `used_cars_2005`: 804 cars of one maker's brands and one year (R package
//!   `modeldata`, MIT): the brand as style, cylinders as tier, mileage as condition.
//! - `three_cars_2007`, `three_cars_2017`: 90 cars of three models each (`Stat2Data`,
//!   GPL-3): the model as style, age, mileage as condition.
//! - `ames`: 2,930 houses (`openintro`, GPL-3): kind of building as style, age, overall
//!   condition and quality.
//! - `saratoga`: 1,728 houses (`mosaicData`, GPL-2 or later): heating as style, age,
//!   bathrooms as tier, size as condition.
//! - `grinnell`: 929 houses (`Stat2Data`): age, bathrooms as tier, size as condition.
//!
//! ```text
//! .ci/open-data && cargo test --test suite open_ranges -- --nocapture
//! ```
//!
//! prints the table.

use super::hedonic::{Cells, number, open_data};
use crate::recovery::rivals::{Rival, Row, columns};
use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;
use std::collections::BTreeSet;
use wheelworth::pricing::design::features::facts;
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::statistics::distribution::student_t::{Predictive, quantile};
use wheelworth::statistics::linear::robust::median;
use wheelworth::trade::sale::Sold;
use wheelworth::trade::{Bike, Condition, Currency, Day, Sale, Style, Tier, Years};

/// The day of all prices and answers.
pub const DAY: Day = Day::constant(2017, 7, 1);

/// Levels of the ranges.
pub const LEVELS: [f64; 3] = [0.5, 0.8, 0.9];

/// A thing sold and its price in whole dollars.
pub type Priced = (Bike, f64);

/// Grade 1 to 5 by the number of limits that a number reaches.
fn graded(value: f64, limits: [f64; 4]) -> u8 {
    1 + limits.iter().filter(|limit| value >= **limit).count() as u8
}

/// The style of a word: the words of a column in the order of the alphabet.
fn styles(rows: &[Cells], column: &str) -> impl Fn(&Cells) -> Style {
    let words: BTreeSet<String> = rows.iter().map(|row| row[column].clone()).collect();
    let column = column.to_string();
    move |row| {
        let place = words.iter().position(|word| *word == row[&column]);
        Style::ALL[place.unwrap_or(0)]
    }
}

fn thing(style: Style, age: Option<f64>, condition: Option<u8>, tier: Option<u8>) -> Bike {
    Bike {
        made: age.map(|age| Years::from(DAY.year() - age as i16)),
        condition: condition.and_then(Condition::from_grade),
        tier: tier.and_then(Tier::from_grade),
        ..Bike::of(style)
    }
}

fn used_cars(rows: &[Cells]) -> Vec<Priced> {
    let brands = ["Buick", "Cadillac", "Chevy", "Pontiac", "Saab", "Saturn"];
    let one = |row: &Cells| {
        let brand = brands.iter().position(|b| row[*b] == "1").unwrap_or(0);
        let tier = match row["Cylinder"].as_str() {
            "4" => 1,
            "6" => 3,
            _ => 5,
        };
        let miles = number(row, "Mileage");
        let worn = graded(-miles, [-32e3, -24e3, -16e3, -8e3]);
        let car = thing(Style::ALL[brand], None, Some(worn), Some(tier));
        (car, number(row, "Price"))
    };
    rows.iter().map(one).collect()
}

fn three_cars(rows: &[Cells]) -> Vec<Priced> {
    let style = styles(rows, "CarType");
    let one = |row: &Cells| {
        let worn = graded(-number(row, "Mileage"), [-65.0, -45.0, -30.0, -15.0]);
        let car = thing(style(row), Some(number(row, "Age")), Some(worn), None);
        (car, 1000.0 * number(row, "Price"))
    };
    rows.iter().map(one).collect()
}

fn ames(rows: &[Cells]) -> Vec<Priced> {
    let style = styles(rows, "Bldg.Type");
    let one = |row: &Cells| {
        let age = number(row, "Yr.Sold") - number(row, "Year.Built");
        let condition = graded(number(row, "Overall.Cond"), [4.0, 5.0, 6.0, 8.0]);
        let tier = graded(number(row, "Overall.Qual"), [5.0, 6.0, 7.0, 8.0]);
        let house = thing(style(row), Some(age.max(0.0)), Some(condition), Some(tier));
        (house, number(row, "price"))
    };
    rows.iter().map(one).collect()
}

fn saratoga(rows: &[Cells]) -> Vec<Priced> {
    let style = styles(rows, "heating");
    let one = |row: &Cells| {
        let large = graded(number(row, "livingArea"), [1200.0, 1500.0, 1800.0, 2200.0]);
        let tier = graded(number(row, "bathrooms"), [1.5, 2.0, 2.5, 3.0]);
        let house = thing(
            style(row),
            Some(number(row, "age")),
            Some(large),
            Some(tier),
        );
        (house, number(row, "price"))
    };
    rows.iter().map(one).collect()
}

fn grinnell(rows: &[Cells]) -> Vec<Priced> {
    let one = |row: &Cells| {
        let age = number(row, "YearSold") - number(row, "YearBuilt");
        let feet = row["SquareFeet"].parse::<f64>().ok();
        let large = feet.map(|feet| graded(feet, [1000.0, 1300.0, 1600.0, 2000.0]));
        let tier = graded(number(row, "Baths"), [1.5, 2.0, 2.5, 3.0]);
        let house = thing(Style::Hybrid, Some(age.max(0.0)), large, Some(tier));
        (house, number(row, "SalePrice"))
    };
    rows.iter().map(one).collect()
}

/// How a set is carried over.
type Carried = fn(&[Cells]) -> Vec<Priced>;

/// The sets, and how each is carried over.
pub const SETS: [(&str, Carried); 6] = [
    ("used_cars_2005", used_cars),
    ("three_cars_2007", three_cars),
    ("three_cars_2017", three_cars),
    ("ames", ames),
    ("saratoga", saratoga),
    ("grinnell", grinnell),
];

/// Shares held at each level with their standard errors, and the median error.
#[derive(Default)]
pub struct Held {
    /// A share a draw, for each level.
    shares: [Vec<f64>; 3],
    errors: Vec<f64>,
}

impl Held {
    /// `that_holds`: the level whose ends are taken.
    fn draw(&mut self, told: &[(f64, Vec<(f64, Predictive)>)], that_holds: impl Fn(f64) -> f64) {
        for (shares, level) in self.shares.iter_mut().zip(LEVELS) {
            let tail = (1.0 - that_holds(level)) / 2.0;
            let held = told.iter().filter(|(ln, sale)| {
                (quantile(sale, tail)..=quantile(sale, 1.0 - tail)).contains(ln)
            });
            shares.push(held.count() as f64 / told.len() as f64);
        }
        let miss = |(ln, sale): &(f64, Vec<(f64, Predictive)>)| {
            ((quantile(sale, 0.5) - ln).exp() - 1.0).abs()
        };
        self.errors.extend(told.iter().map(miss));
    }

    /// Mean share of a level and its standard error over the draws.
    pub fn share(&self, level: usize) -> (f64, f64) {
        let shares = &self.shares[level];
        let n = shares.len() as f64;
        let mean = shares.iter().sum::<f64>() / n;
        let squares: f64 = shares.iter().map(|s| (s - mean).powi(2)).sum();
        (mean, (squares / (n - 1.0) / n).sqrt())
    }

    /// The shares in percent, with the standard error of the last, and the error.
    pub fn words(&self) -> String {
        let [a, b, c] = [0, 1, 2].map(|level| self.share(level));
        format!(
            "{:>5.1} {:>5.1} {:>5.1} ± {:>3.1}  {:>5.1}",
            100.0 * a.0,
            100.0 * b.0,
            100.0 * c.0,
            100.0 * c.1,
            100.0 * median(self.errors.clone())
        )
    }
}

/// Draws `n` sales at a time as the user's own and tells at most 100 of the others, by the
/// model and by least squares.
pub fn held(all: &[Priced], n: usize, draws: u64) -> [Held; 2] {
    let currency = Currency::from_code("USD").expect("USD is in the list");
    let mut both = [Held::default(), Held::default()];
    for seed in 0..draws {
        let mut drawn: Vec<&Priced> = all.iter().collect();
        drawn.shuffle(&mut ChaCha8Rng::seed_from_u64(seed));
        let (own, others) = drawn.split_at(n);
        let records = InMemory {
            sales: (0..)
                .zip(own)
                .map(|(i, one)| sale(i, one, &currency))
                .collect(),
            ..InMemory::default()
        };
        let model = ValueModel {
            priors: Priors::shipped(),
            settings: ValueSettings {
                as_of: DAY,
                currency,
                without: None,
            },
        };
        let fitted = model.fit(&records, &mut Unobserved).expect("a fit");
        let columns = |bike: &Bike| columns(bike, DAY, false, DAY, &currency);
        let row = |(bike, price): &&Priced| Row {
            x: columns(bike),
            y: price.ln(),
        };
        let rows: Vec<Row> = own.iter().map(row).collect();
        let rival = Rival::least_squares(&rows).expect("a fit");
        let told = others.iter().take(100).map(|(bike, price)| {
            let ours = fitted.one_sale(&facts(bike, DAY, &currency));
            let theirs = vec![(1.0, rival.one_sale(&columns(bike)))];
            ((price.ln(), ours), (price.ln(), theirs))
        });
        let (ours, theirs): (Vec<_>, Vec<_>) = told.unzip();
        both[0].draw(&ours, |level| fitted.levels.that_holds(level));
        both[1].draw(&theirs, |level| level);
    }
    both
}

pub fn sale(number: usize, (bike, price): &Priced, currency: &Currency) -> Sale {
    Sale {
        id: format!("S{number}"),
        bike: *bike,
        bought_on: None,
        listed_on: None,
        ask: None,
        sold: Some(Sold {
            on: DAY,
            price: currency.round(*price).expect("a price"),
        }),
        purchase: None,
        parts: None,
        fees: None,
        other_cost: None,
        hours: None,
        note: None,
        guess: None,
        left: None,
        returns: vec![],
    }
}

/// Draws of each set. A set of 90 is told by nearly the same things each time, so the
/// standard errors of the table are a little too small there.
const DRAWS: u64 = 40;

/// Ranges of 80 % and 90 % hold what they say, give or take what a set of its own kind
/// does: with 40 draws each, 90 % ranges held 87.5 and 89.1 % of `three_cars_2007` (20 and
/// 50 sales, standard errors 1.4 and 1.1), 91.2 and 89.8 % of `three_cars_2017`, 87.2, 87.9
/// and 89.4 % of `ames` (20, 50 and 100), 88.0, 88.8 and 89.0 % of `saratoga`, 87.1, 86.5
/// and 88.5 % of `grinnell`, whose prices have heavier tails than any here, and 90 to 91 %
/// of the last; least squares 87 to 93 %. The bounds leave three points for the worst.
#[test]
fn open_ranges_hold() {
    println!("set                n |  50 %  80 %  90 % and miss | least squares");
    for (name, carried) in SETS {
        let Some(rows) = open_data(name) else {
            return;
        };
        let all = carried(&rows);
        for n in [20, 50, 100] {
            if all.len() < n + 30 {
                continue;
            }
            let [ours, theirs] = held(&all, n, DRAWS);
            println!("{name:<16} {n:>3} | {} | {}", ours.words(), theirs.words());
            let [(eighty, _), (ninety, _)] = [ours.share(1), ours.share(2)];
            // Upper ends: where no level was corrected, 85 and 92.5 % were held.
            assert!((0.75..0.84).contains(&eighty), "{name}, {n}: {eighty}");
            assert!((0.85..0.92).contains(&ninety), "{name}, {n}: {ninety}");
        }
    }
}
