//! The histories of the user's own listings.

use super::history::{History, ListingEnd, SHORTEST, UNNOTED_STEP, haggled_price, own_asks};
use crate::pricing::design::features::facts;
use crate::pricing::records::observation::Records;
use crate::pricing::value::fitted::FittedValue;
use crate::statistics::linear::robust::median;
use crate::trade::calendar::days_between;
use crate::trade::{AskChange, Currency, Day, Sale};
use std::collections::HashMap;

/// What a mark-down that nobody noted leaves of an ask (common practice, no source).
const USUAL_MARK_DOWN: f64 = 0.9;
/// Mark-downs from which on the user's own way is known.
const ENOUGH_MARK_DOWNS: usize = 3;
/// Mark-downs that are taken to follow.
const FURTHER_MARK_DOWNS: u8 = 4;

/// The changes of one bike among all, which are in the order of bike and day.
pub(super) fn changes_of<'a>(all: &'a [AskChange], bike: &str) -> &'a [AskChange] {
    let from = all.partition_point(|c| c.bike.as_str() < bike);
    let to = all.partition_point(|c| c.bike.as_str() <= bike);
    &all[from..to]
}

/// Own listings with a day of listing, as known on the model's day; `without`
/// leaves one bike out.
pub(super) fn own_histories(
    model: &FittedValue,
    records: &dyn Records,
    without: Option<&str>,
) -> Vec<History> {
    let (as_of, currency) = (model.coding.as_of, &model.currency);
    let left_out: HashMap<&str, _> = model.own.iter().map(|s| (s.id.as_str(), s)).collect();
    let changes = records.ask_changes();
    let noted = changes.iter().any(|c| c.on <= as_of);
    let luck = model.luck_variance();
    let mut histories = Vec::new();
    for sale in records.sales() {
        if without == Some(sale.id.as_str()) {
            continue;
        }
        let Some(sale) = sale.as_known_on(as_of) else {
            continue;
        };
        let Some(listed_on) = sale.listed_on else {
            continue;
        };
        let facts = facts(&sale.bike, listed_on, currency);
        let value = match left_out.get(sale.id.as_str()) {
            Some(own) if own.weight == 0.0 => continue, // nonsense
            Some(own) => {
                let t = own.left_out;
                (t.location, (t.scale.powi(2) - luck).max(0.0))
            }
            None => model.value_on(&facts, listed_on),
        };
        // One that was given away or kept in the end had stood unsold until then.
        let (until, end) = match (sale.sold, &sale.left) {
            (Some(sold), _) => (sold.on, ListingEnd::Sold),
            (None, Some(left)) => (left.on, ListingEnd::Unsold),
            (None, None) => (as_of, ListingEnd::Unsold),
        };
        let exit = days_between(listed_on, until) as f64;
        let exit = if end == ListingEnd::Sold {
            exit.max(SHORTEST)
        } else {
            exit
        };
        let asks = own_asks(&sale, changes_of(changes, &sale.id), noted, as_of, currency);
        if exit > 0.0 {
            histories.push(History {
                facts,
                own: true,
                listed_on,
                weight: 1.0,
                entry: 0.0,
                exit,
                end,
                ln_price: haggled_price(&sale, noted, currency),
                asks,
                value,
            });
        }
    }
    histories
}

/// What an own bike that stands listed on `as_of` has asked so far: days stood,
/// and its asks by age. `None` when it is not listed, or sold.
pub fn standing(
    sale: &crate::trade::Sale,
    changes: &[AskChange],
    as_of: Day,
    currency: &crate::trade::Currency,
) -> Option<(f64, Vec<(f64, f64)>)> {
    if sale.sold.is_some() {
        return None;
    }
    let listed = sale.listed_on.filter(|day| *day <= as_of)?;
    let asks = own_asks(sale, changes_of(changes, &sale.id), true, as_of, currency);
    Some((days_between(listed, as_of) as f64, asks))
}

/// How the user marks down: days from one ask to the next, and ln of what is left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkDowns {
    /// Days between asks.
    pub days: f64,
    /// ln(next ask / ask), below 0.
    pub ln_step: f64,
    /// Whether any change of an ask is noted.
    pub noted: bool,
}

impl MarkDowns {
    /// The medians of the mark-downs noted up to `as_of`; the usual way, a tenth
    /// each month, where fewer than three are.
    pub fn of(sales: &[Sale], changes: &[AskChange], as_of: Day, currency: &Currency) -> Self {
        let mut steps: Vec<(f64, f64)> = Vec::new();
        for sale in sales {
            let own = changes_of(changes, &sale.id);
            let asks = own_asks(sale, own, true, as_of, currency);
            let pairs = asks.iter().zip(asks.iter().skip(1));
            steps.extend(
                pairs
                    .map(|(a, b)| (b.0 - a.0, b.1 - a.1))
                    .filter(|s| s.1 < 0.0),
            );
        }
        let noted = changes.iter().any(|change| change.on <= as_of);
        if steps.len() < ENOUGH_MARK_DOWNS {
            return Self {
                days: UNNOTED_STEP,
                ln_step: USUAL_MARK_DOWN.ln(),
                noted,
            };
        }
        Self {
            days: median(steps.iter().map(|s| s.0).collect()).max(1.0),
            ln_step: median(steps.iter().map(|s| s.1).collect()),
            noted,
        }
    }
}

/// What an own bike asked by age (days, ln ask), without regard to what it
/// brought; empty where no ask is recorded. After its sale (or `as_of`) it is
/// taken to be marked down as the user does: a quick sale leaves no mark-downs,
/// but they would have come. Where no change is noted of any bike, so from the
/// day of listing on.
pub fn asked(
    sale: &Sale,
    changes: &[AskChange],
    habit: &MarkDowns,
    as_of: Day,
    currency: &Currency,
) -> Vec<(f64, f64)> {
    let mut asks = own_asks(sale, changes_of(changes, &sale.id), true, as_of, currency);
    let (Some((from, ask)), Some(listed)) = (asks.last().copied(), sale.listed_on) else {
        return asks;
    };
    let end = sale.sold.map_or(as_of, |sold| sold.on.min(as_of));
    let stood = if habit.noted {
        days_between(listed, end) as f64
    } else {
        0.0
    };
    let first = ((stood - from) / habit.days).floor().max(0.0);
    asks.extend((1..=FURTHER_MARK_DOWNS).map(|number| {
        let number = f64::from(number);
        let age = from + (first + number) * habit.days;
        (age, ask + number * habit.ln_step)
    }));
    asks
}

#[cfg(test)]
mod tests {
    use super::{MarkDowns, asked};
    use crate::trade::sale::Sold;
    use crate::trade::{Bike, Currency, Day, Money, Sale, Style};

    /// Sold after 24 days at its first ask, by somebody who cuts a tenth each ten days: two
    /// cuts were not made, and the next would have come on day 30. Where no change is
    /// noted of any bike, nobody knows, and the first would have come on day 10.
    #[test]
    fn mark_downs_go_on_where_the_bike_was_sold() {
        let sale = Sale {
            listed_on: Some(Day::constant(2026, 3, 1)),
            ask: Some(Money::from_minor(20_000)),
            sold: Some(Sold {
                on: Day::constant(2026, 3, 25),
                price: Money::from_minor(19_000),
            }),
            ..Sale::of("B-1", Bike::of(Style::City))
        };
        let currency = Currency::from_code("EUR").unwrap();
        let ln_step = 0.9_f64.ln();
        for (noted, next) in [(true, 30.0), (false, 10.0)] {
            let habit = MarkDowns {
                days: 10.0,
                ln_step,
                noted,
            };
            let asks = asked(&sale, &[], &habit, Day::constant(2026, 5, 2), &currency);
            let expected = [(0.0, 200.0), (next, 180.0), (next + 10.0, 162.0)];
            for ((age, ask), (day, units)) in asks.iter().zip(expected) {
                assert_eq!(*age, day, "{asks:?}");
                assert!((ask.exp() - units).abs() < 1e-9, "{asks:?}");
            }
            assert!(asks.len() > 3, "{asks:?}");
        }
    }
}
