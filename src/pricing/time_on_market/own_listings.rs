//! The histories of the user's own listings.

use super::history::{End, History, SHORTEST, haggled_price, own_asks};
use crate::pricing::features::facts;
use crate::pricing::observation::Records;
use crate::pricing::value::FittedValue;
use crate::trade::calendar::days_between;
use crate::trade::{AskChange, Day};
use std::collections::HashMap;

/// The changes of one bike among all, which are in the order of bike and day.
pub fn changes_of<'a>(all: &'a [AskChange], bike: &str) -> &'a [AskChange] {
    let from = all.partition_point(|c| c.bike.as_str() < bike);
    let to = all.partition_point(|c| c.bike.as_str() <= bike);
    &all[from..to]
}

/// Own listings with a day of listing, as known on the model's day; `without`
/// leaves one bike out.
pub fn own_histories(
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
        let (until, end) = match sale.sold {
            Some(sold) => (sold.on, End::Sold),
            None => (as_of, End::Unsold),
        };
        let exit = days_between(listed_on, until) as f64;
        let exit = if end == End::Sold {
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
