//! What repairs usually cost here, by kind: what is in the costs, without their words.

use crate::trade::{Cost, CostKind, Currency, Day, Money};

/// What a repair usually costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UsualCost {
    /// The repair, in our own words.
    pub job: &'static str,
    /// The mean of what was paid for it, to two digits.
    pub cost: Money,
}

/// Costs of a kind below which nothing is usual, and the mean would tell one of them
/// (judgement).
const FEW: usize = 3;

/// A repair, and words of which an item of it has one; the first that fits counts.
const REPAIRS: [(&str, &[&str]); 11] = [
    ("inner tubes", &["tube"]),
    ("tyres", &["tyre", "tire"]),
    (
        "brake blocks and pads",
        &["brake block", "brake pad", "brake shoe"],
    ),
    ("cables", &["cable"]),
    (
        "chain and sprockets",
        &["chain", "cassette", "freewheel", "sprocket"],
    ),
    ("saddle", &["saddle"]),
    ("bar tape and grips", &["tape", "grip"]),
    ("pedals", &["pedal"]),
    ("wheel", &["wheel", "rim", "spoke"]),
    ("bearings", &["bearing", "bottom bracket", "headset"]),
    ("lights", &["light", "lamp", "dynamo"]),
];

/// Words of what is no repair of one bike although it names a part: oil, tools.
const NO_REPAIR: [&str; 4] = ["oil", "lube", "cutter", "tool"];

/// What repairs usually cost: over parts and supplies of single bikes up to `as_of`, those
/// from the box too, for what they are worth. In the order of the list above.
pub fn usual_costs(costs: &[Cost], as_of: Day, currency: &Currency) -> Vec<UsualCost> {
    let mut paid: [Vec<Money>; REPAIRS.len()] = Default::default();
    let bought = costs.iter().filter(|cost| {
        let kind = matches!(cost.kind, CostKind::Part | CostKind::Supply);
        kind && cost.bike.is_some() && cost.on <= as_of && cost.amount > Money::ZERO
    });
    for cost in bought {
        let item = cost.item.as_deref().unwrap_or_default().to_lowercase();
        let has = |words: &[&str]| words.iter().any(|word| item.contains(word));
        let place = REPAIRS.iter().position(|(_, words)| has(words));
        if let Some(place) = place.filter(|_| !has(&NO_REPAIR)) {
            paid[place].push(cost.amount);
        }
    }
    let of_each = REPAIRS.iter().zip(paid);
    let usual = of_each.filter_map(|((job, _), paid)| {
        let count = Some(paid.len()).filter(|count| *count >= FEW)?;
        let sum: Money = paid.into_iter().sum();
        let cost = two_digits(currency.units(sum) / count as f64, currency)?;
        Some(UsualCost { job, cost })
    });
    usual.collect()
}

/// An amount to two digits: 27.80 becomes 28, 9.45 becomes 9.5.
fn two_digits(units: f64, currency: &Currency) -> Option<Money> {
    let step = 10_f64.powf(units.log10().floor() - 1.0);
    currency.round((units / step).round() * step)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cost(item: &str, minor: i64) -> Cost {
        Cost {
            bike: Some("B-1".into()),
            on: Day::constant(2026, 4, 1),
            kind: CostKind::Part,
            item: Some(item.into()),
            amount: Money::from_minor(minor),
            from_box: false,
        }
    }

    #[test]
    fn the_mean_of_three_or_more_is_usual() {
        let euro = Currency::from_code("EUR").unwrap();
        let today = Day::constant(2026, 5, 2);
        let mut costs = vec![
            cost("two Tyres", 3310),
            cost("tyre, rear", 1480),
            cost("chain oil", 900),
            cost("inner tube", 500),
            cost("chain", 1200),
        ];
        assert_eq!(usual_costs(&costs, today, &euro), []);
        costs.push(cost("tires", 2787));
        let tyres = UsualCost {
            job: "tyres",
            cost: Money::from_minor(2500), // 33.10, 14.80 and 27.87: 25.26
        };
        assert_eq!(usual_costs(&costs, today, &euro), [tyres]);
        // What is no part of one bike, or cost nothing, counts nothing.
        costs.extend([
            Cost {
                bike: None,
                ..cost("tyres for all", 9000)
            },
            Cost {
                kind: CostKind::Purchase,
                ..cost("bike with new tyres", 9000)
            },
            cost("tyre, from a friend", 0),
        ]);
        assert_eq!(usual_costs(&costs, today, &euro), [tyres]);
        // Of a later day it is not known yet.
        assert_eq!(usual_costs(&costs, Day::constant(2026, 3, 1), &euro), []);
    }

    #[test]
    fn an_amount_is_told_to_two_digits() {
        let euro = Currency::from_code("EUR").unwrap();
        for (units, minor) in [(27.80, 2800), (9.46, 950), (123.40, 12_000), (0.378, 38)] {
            assert_eq!(
                two_digits(units, &euro),
                Some(Money::from_minor(minor)),
                "{units}"
            );
        }
    }
}
