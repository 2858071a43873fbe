//! Somebody else's bicycle offered for sale, seen by the user.

use super::bike::{Bike, words};
use super::calendar::Day;
use super::money::Money;
use std::fmt;

words! {
    /// How a listing stood when it was last seen.
    Outcome {
        /// Still there.
        Listed = "listed",
        /// The page said it was sold.
        Sold = "sold",
        /// The seller took it back.
        Withdrawn = "withdrawn",
        /// No longer there, reason unknown.
        Gone = "gone",
    }
}

/// One row of `comps.csv`.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparable {
    /// Id, unique within its source.
    pub listing: String,
    /// Where it was seen; empty when not recorded.
    pub source: String,
    /// Its features.
    pub bike: Bike,
    /// Day of listing, when known.
    pub listed_on: Option<Day>,
    /// First and last day on which it was seen in any state.
    pub first_seen: Option<Day>,
    pub last_seen: Option<Day>,
    /// Ask when first seen.
    pub ask: Money,
    /// Ask when last seen.
    pub last_ask: Option<Money>,
    /// State when last seen.
    pub outcome: Outcome,
    /// Day on which it ended, where the page said so.
    pub ended_on: Option<Day>,
    /// What the buyer paid, seldom known.
    pub sold_price: Option<Money>,
}

impl Comparable {
    /// First day on which anything was known of the listing.
    pub fn known_from(&self) -> Option<Day> {
        self.first_seen
            .or(self.listed_on)
            .or(self.ended_on)
            .or(self.last_seen)
    }

    /// Last day on which anything was known of it.
    pub fn known_until(&self) -> Option<Day> {
        self.last_seen
            .or(self.ended_on)
            .or(self.first_seen)
            .or(self.listed_on)
    }

    /// The comp as it was known on `day`. `None` when it was seen only later.
    /// When it was last seen after `day`, its end and its last ask were not
    /// known yet: it counts as `listed` at its first ask. A comp without any
    /// date is known on every day.
    pub fn as_known_on(mut self, day: Day) -> Option<Comparable> {
        if self.known_from().is_some_and(|first| first > day) {
            return None;
        }
        if self.known_until().is_some_and(|last| last > day) {
            self.outcome = Outcome::Listed;
            self.last_ask = None;
            self.ended_on = None;
            self.sold_price = None;
            self.last_seen = self.first_seen.or(self.listed_on);
        }
        Some(self)
    }

    /// The ask that stood last.
    pub fn standing_ask(&self) -> Money {
        self.last_ask.unwrap_or(self.ask)
    }

    /// The day for which its price speaks: its end when known, else the last
    /// day on which it was seen.
    pub fn priced_on(&self) -> Option<Day> {
        self.ended_on.or(self.known_until())
    }
}
