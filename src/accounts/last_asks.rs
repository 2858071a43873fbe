//! The ask that stands, or stood last, of each of the user's own bikes.

use crate::trade::{AskChange, Day, Money, Sale};
use std::collections::HashMap;

/// The last change of each bike's ask up to a day.
pub(super) struct LastAsks<'a>(HashMap<&'a str, &'a AskChange>);

impl<'a> LastAsks<'a> {
    /// Of changes in any order.
    pub(super) fn of(asks: &'a [AskChange], as_of: Day) -> Self {
        let mut last: HashMap<&str, &AskChange> = HashMap::new();
        let counts = |change: &&AskChange| change.on <= as_of && change.ask.minor() > 0;
        for change in asks.iter().filter(counts) {
            let latest = last.entry(&change.bike).or_insert(change);
            if change.on >= latest.on {
                *latest = change;
            }
        }
        Self(last)
    }

    /// What it asks, or asked last, of a bike as known on that day. Changes of before it
    /// came back from a buyer were of that listing.
    pub(super) fn ask(&self, sale: &Sale) -> Option<Money> {
        let changed = self.0.get(sale.id.as_str());
        let changed = changed.filter(|change| sale.since_it_came_back(change.on));
        changed.map(|change| change.ask).or(sale.ask)
    }
}
