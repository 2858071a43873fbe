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
            .or(self.last_seen)
            .or(self.ended_on)
    }

    /// Last day on which anything was known of it: its end, where that became known in
    /// another way after it was last seen.
    pub fn known_until(&self) -> Option<Day> {
        self.last_seen
            .max(self.ended_on)
            .or(self.first_seen)
            .or(self.listed_on)
    }

    /// The state of the listing as it was known on `day`. When it was last seen
    /// after `day`, its end and its last ask were not known yet: it counts as
    /// `listed` at its first ask. One that was gone at an unknown day ended after
    /// it was last seen: on that very day it was still listed. A comp without any
    /// date is the same every day.
    pub fn state_on(&self, day: Day) -> State {
        if self.known_until().is_some_and(|last| last > day) {
            let day = self.first_seen.or(self.listed_on);
            return State {
                outcome: Outcome::Listed,
                ask: self.ask,
                sold_price: None,
                day,
            };
        }
        let still_there =
            self.outcome == Outcome::Gone && self.ended_on.is_none() && self.last_seen == Some(day);
        State {
            outcome: if still_there {
                Outcome::Listed
            } else {
                self.outcome
            },
            ask: self.standing_ask(),
            sold_price: self.sold_price,
            day: self.priced_on(),
        }
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

/// How a listing stood on some day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct State {
    /// Its outcome so far.
    pub outcome: Outcome,
    /// The ask that stood last.
    pub ask: Money,
    /// What the buyer paid, when known.
    pub sold_price: Option<Money>,
    /// The day for which its price speaks.
    pub day: Option<Day>,
}
