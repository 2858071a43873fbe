//! The bike from which the contributions start.

use super::features::{self, Facts};
use crate::statistics::linear::robust::median;
use crate::trade::{Bike, Condition, Currency, Day, Sale, SeatTube, Tier, Years};

/// The bike from which the contributions start.
#[derive(Clone, Debug, PartialEq)]
pub struct Base {
    /// In words.
    pub words: String,
    /// Its features.
    pub bike: Bike,
    /// Its age in years.
    pub age: f64,
}

/// The standard base bike on `as_of`.
pub fn standard_base(as_of: Day) -> Base {
    let mut bike = Bike::of(features::BASE_STYLE);
    bike.made = Some(Years::from(as_of.year() - features::BASE_AGE as i16));
    bike.condition = Condition::from_grade(features::BASE_CONDITION);
    bike.tier = Tier::from_grade(features::BASE_TIER);
    bike.seat_tube = SeatTube::from_tenths(5100);
    let words = format!(
        "{}, {} years, condition {}, tier {}, size M, today",
        features::BASE_STYLE,
        features::BASE_AGE,
        features::BASE_CONDITION,
        features::BASE_TIER
    );
    Base {
        words,
        bike,
        age: features::BASE_AGE,
    }
}

/// The typical bike among the own sales known on `as_of`: the most frequent
/// style and size, the median age, condition and tier. `None` without sales.
pub fn typical_base(sales: &[Sale], as_of: Day) -> Option<Base> {
    let sold: Vec<&Sale> = sales
        .iter()
        .filter(|s| s.sold_by(as_of).is_some())
        .collect();
    let style = most_frequent(sold.iter().map(|s| s.bike.style))?;
    let of_style: Vec<&Bike> = sold
        .iter()
        .map(|s| &s.bike)
        .filter(|b| b.style == style)
        .collect();
    let middle = |values: Vec<f64>| (!values.is_empty()).then(|| median(values));
    let grade = |value: f64| value.round() as u8;
    let ages = sold
        .iter()
        .filter(|s| s.bike.style == style)
        .filter_map(|s| s.bike.age(s.priced_on()?));
    let age = middle(ages.collect()).unwrap_or(features::BASE_AGE).round();
    let graded = |get: fn(&Bike) -> Option<u8>| {
        middle(
            of_style
                .iter()
                .filter_map(|b| get(b).map(f64::from))
                .collect(),
        )
    };
    let condition = graded(|b| b.condition.map(crate::trade::bike::Condition::grade))
        .map_or(features::BASE_CONDITION, grade);
    let tier =
        graded(|b| b.tier.map(crate::trade::bike::Tier::grade)).map_or(features::BASE_TIER, grade);
    let tube = most_frequent(of_style.iter().filter_map(|b| b.size())).and_then(|size| {
        of_style
            .iter()
            .find(|b| b.size() == Some(size))
            .and_then(|b| b.seat_tube)
    });
    let mut bike = Bike::of(style);
    bike.condition = Condition::from_grade(condition);
    bike.tier = Tier::from_grade(tier);
    bike.seat_tube = tube.or(SeatTube::from_tenths(5100));
    let size = bike.size().map_or(String::new(), |s| format!(", size {s}"));
    let words = format!("{style}, {age:.0} years, condition {condition}, tier {tier}{size}, today");
    Some(Base { words, bike, age })
}

/// The most frequent value, the first in order among equals.
fn most_frequent<T: Ord>(values: impl Iterator<Item = T>) -> Option<T> {
    let mut counts = std::collections::BTreeMap::new();
    values.for_each(|v| *counts.entry(v).or_insert(0_usize) += 1);
    let most = *counts.values().max()?;
    counts.into_iter().find(|(_, n)| *n == most).map(|(v, _)| v)
}

/// The base's age is stated in years, so its facts do not come from a model year.
pub(in crate::pricing) fn base_facts(base: &Base, as_of: Day, currency: &Currency) -> Facts {
    let mut there = features::facts(&base.bike, as_of, currency);
    features::set_age(&mut there, base.age);
    there
}
