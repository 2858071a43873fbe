//! A listing's history: from when to when it stood, what it asked, how it ended.

use crate::pricing::design::features::Facts;
use crate::trade::calendar::days_between;
use crate::trade::{AskChange, Currency, Day, Sale};
use jiff::ToSpan;

/// Shortest life in days: a bike that sells on the day of listing stood a part of it.
pub const SHORTEST: f64 = 0.5;
/// Days between the mark-downs of somebody who notes none (the usual way: a
/// tenth off each month).
pub(super) const UNNOTED_STEP: f64 = 30.0;
/// A sale price this far (ln) below the ask speaks of mark-downs that were not
/// noted, not of haggling (judgement).
const MORE_THAN_HAGGLING: f64 = 0.10;

/// A sale within so many days was at the first ask, if no other is noted (judgement).
const BEFORE_ANY_CHANGE: f64 = 21.0;

/// The day `days` after `day`.
pub(in crate::pricing) fn after(day: Day, days: i64) -> Day {
    day.saturating_add(days.days())
}

/// How a listing ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum ListingEnd {
    /// Sold.
    Sold,
    /// No longer there, reason unknown.
    Gone,
    /// Still there, or taken back: it was not sold up to then.
    Unsold,
}

/// One listing.
#[derive(Clone, Debug)]
pub struct History {
    /// Its bike.
    pub facts: Facts,
    /// Whether it is the user's own.
    pub own: bool,
    /// Day of listing; ages are counted from it.
    pub listed_on: Day,
    /// Weight, 1 or less: one of several listings of the same bike counts in part.
    pub weight: f64,
    /// Age in days from which on it was watched.
    pub entry: f64,
    /// Age at its end, or when it was last known to stand.
    pub exit: f64,
    /// How it ended.
    pub end: ListingEnd,
    /// Age from which on, and ln of the ask. Empty when no ask is known.
    pub asks: Vec<(f64, f64)>,
    /// ln of the sale price, where it is known together with the last ask.
    pub ln_price: Option<f64>,
    /// ln of its value estimated without it, and the variance of that estimate.
    pub value: (f64, f64),
}

/// The asks of an own listing that are known on `as_of`: age in days and ln ask,
/// the first at 0. `changes` are this bike's, by day; `noted` says whether the
/// user notes changes of asks at all.
pub(super) fn own_asks(
    sale: &Sale,
    changes: &[AskChange],
    noted: bool,
    as_of: Day,
    currency: &Currency,
) -> Vec<(f64, f64)> {
    let Some(listed) = sale.listed_on else {
        return Vec::new();
    };
    let last = sale.sold.map_or(as_of, |sold| sold.on.min(as_of));
    let ln = |money| currency.units(money).ln();
    let mut asks: Vec<(f64, f64)> = sale.ask.map(|ask| (0.0, ln(ask))).into_iter().collect();
    let stands = |c: &&AskChange| c.on <= last && sale.since_it_came_back(c.on);
    for change in changes.iter().filter(stands).filter(|c| c.ask.minor() > 0) {
        let age = (days_between(listed, change.on) as f64).max(0.0);
        if age == 0.0 {
            asks.clear();
        }
        asks.push((if asks.is_empty() { 0.0 } else { age }, ln(change.ask)));
    }
    let (Some(sold), [(_, first)], false) = (sale.sold, asks.as_slice(), noted) else {
        return asks;
    };
    if sold.price.minor() <= 0 {
        return asks;
    }
    // Nobody notes that no change was made, so an ask that stands alone is the
    // first one only; what the bike brought tells how far it came down.
    let (first, lowest) = (*first, ln(sold.price) + MORE_THAN_HAGGLING / 2.0);
    let steps = (days_between(listed, sold.on) as f64 / UNNOTED_STEP).floor();
    if first - ln(sold.price) > MORE_THAN_HAGGLING && steps >= 1.0 {
        let mut step = 1.0;
        while step <= steps {
            asks.push((step * UNNOTED_STEP, first + (lowest - first) * step / steps));
            step += 1.0;
        }
    }
    asks
}

/// ln of the sale price of an own sale whose last ask is known.
pub(super) fn haggled_price(sale: &Sale, noted: bool, currency: &Currency) -> Option<f64> {
    let sold = sale.sold.filter(|sold| sold.price.minor() > 0)?;
    let days = days_between(sale.listed_on?, sold.on) as f64;
    (noted || days <= BEFORE_ANY_CHANGE).then(|| currency.units(sold.price).ln())
}

impl History {
    /// The stretches at one ask each: from age, to age, ln ask (if known).
    pub fn stretches(&self) -> Vec<(f64, f64, Option<f64>)> {
        if self.asks.is_empty() {
            return vec![(self.entry, self.exit, None)];
        }
        let ends = self.asks.iter().skip(1).map(|a| a.0).chain([f64::INFINITY]);
        self.asks
            .iter()
            .zip(ends)
            .map(|((from, ask), to)| (from.max(self.entry), to.min(self.exit), Some(*ask)))
            .filter(|(from, to, _)| to > from)
            .collect()
    }
}
