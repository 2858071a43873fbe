//! Asks stand on round figures.

use crate::trade::{Currency, Money};

/// The step is about this part of the value (common practice, no source).
pub(in crate::pricing) const STEP: f64 = 0.02;
/// Below one unit of the currency only where one unit is more than this part.
pub(in crate::pricing) const COARSE: f64 = 0.05;
/// Asks tried at most.
const MOST: usize = 120;

/// The distance between asks for a bike of `value` (in units): the one of 1, 2,
/// 5, 10, 20, 50 … nearest to 2 % of it, in minor units. Below one unit only for
/// the cheapest bikes, and never below one minor unit.
pub fn step(value: f64, currency: &Currency) -> i64 {
    let scale = currency.scale();
    let wanted = (STEP * value).max(1e-12);
    let decade = 10_f64.powf(wanted.log10().floor());
    let nearest = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|digit| digit * decade)
        .min_by(|a, b| {
            let off = |x: f64| (x / wanted).ln().abs();
            off(*a).total_cmp(&off(*b))
        })
        .unwrap_or(1.0);
    let nearest = if nearest < 1.0 && COARSE * value >= 1.0 {
        1.0
    } else {
        nearest
    };
    ((nearest * scale as f64).round() as i64).max(1)
}

/// All asks on price points from `low` to `high` (in units), ascending, at least
/// one; `also` is among them when given.
pub fn between(
    low: f64,
    high: f64,
    value: f64,
    also: Option<Money>,
    currency: &Currency,
) -> Vec<Money> {
    let step = step(value, currency);
    let scale = currency.scale() as f64;
    let first = ((low * scale / step as f64).ceil() as i64).max(1);
    let last = ((high * scale / step as f64).floor() as i64).clamp(first, first + MOST as i64 - 1);
    let mut asks: Vec<Money> = (first..=last)
        .map(|i| Money::from_minor(i * step))
        .collect();
    if let Some(also) = also {
        let place = asks.partition_point(|a| *a < also);
        if asks.get(place) != Some(&also) {
            asks.insert(place, also);
        }
    }
    asks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_about_two_percent() {
        let eur = Currency::from_code("EUR").unwrap();
        let jpy = Currency::from_code("JPY").unwrap();
        for (value, minor) in [
            (212.0, 500),
            (60.0, 100),
            (100.0, 200),
            (30.0, 100),
            (12.0, 20),
            (900.0, 2000),
        ] {
            assert_eq!(step(value, &eur), minor, "{value}");
        }
        assert_eq!(step(24_000.0, &jpy), 500);
        assert_eq!(step(3.0, &jpy), 1);
    }
}
