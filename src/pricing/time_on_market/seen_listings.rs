//! The histories of comps, collected while the value model reads them.

use super::history::{History, ListingEnd, SHORTEST};
use super::seen_days::Looks;
use crate::pricing::design::coding::Coding;
use crate::pricing::records::observation::Observation;
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::value::reduce::{CompMet, Observer, name_hash};
use crate::trade::calendar::days_between;
use crate::trade::{Comparable, Currency, Day, Outcome};
use std::collections::BinaryHeap;

/// Comps whose histories are used, at most: those with the smallest hash of their
/// name. Nothing is gained by more, since their sellers are not the user.
pub(super) const MOST: usize = 1500;

/// A comp with what its history needs, before its value is known.
#[derive(Clone, Debug, serde::Serialize, serde::Deserialize)]
pub(in crate::pricing) struct SeenListing {
    hash: u64,
    seen: Observation,
    precision: f64,
    listed_on: Day,
    entry: f64,
    /// Age when last known to stand, or its end where that day is known.
    exit: f64,
    end: ListingEnd,
    /// Its source, and the day after which it ended at a day that is not known.
    gone: Option<(usize, Day)>,
    asks: Vec<(f64, f64)>,
}

impl PartialEq for SeenListing {
    fn eq(&self, other: &Self) -> bool {
        self.hash == other.hash
    }
}

impl Eq for SeenListing {}

impl PartialOrd for SeenListing {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for SeenListing {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.hash.cmp(&other.hash)
    }
}

/// What was collected, to be kept.
#[derive(serde::Serialize, serde::Deserialize)]
pub(in crate::pricing) struct KeptListings<L, S> {
    looks: L,
    kept: S,
}

/// Collects comps with a known day of listing.
#[derive(Clone, Debug)]
pub struct SeenListings {
    as_of: Day,
    currency: Currency,
    looks: Looks,
    source: usize,
    kept: BinaryHeap<SeenListing>,
}

impl SeenListings {
    /// Nothing collected yet.
    pub fn new(as_of: Day, currency: Currency) -> Self {
        Self {
            as_of,
            currency,
            looks: Looks::default(),
            source: 0,
            kept: BinaryHeap::new(),
        }
    }

    /// What is to be kept of it.
    pub(in crate::pricing) fn kept(&self) -> KeptListings<&Looks, Vec<&SeenListing>> {
        KeptListings {
            looks: &self.looks,
            kept: self.kept.iter().collect(),
        }
    }

    /// Back from [`Self::kept`].
    pub(in crate::pricing) fn from_kept(
        kept: KeptListings<Looks, Vec<SeenListing>>,
        as_of: Day,
        currency: Currency,
    ) -> Self {
        Self {
            looks: kept.looks,
            kept: kept.kept.into(),
            ..Self::new(as_of, currency)
        }
    }

    fn seen(
        &self,
        comp: &Comparable,
        seen: &Observation,
        precision: f64,
        hash: u64,
    ) -> Option<SeenListing> {
        let as_of = self.as_of;
        let listed_on = comp.listed_on.filter(|day| *day <= as_of)?;
        let age = |day: Day| days_between(listed_on, day) as f64;
        let first = comp.first_seen.unwrap_or(listed_on);
        let state = comp.state_on(as_of);
        let wholly = comp.known_until().is_none_or(|last| last <= as_of);
        let ended_on = comp.ended_on.filter(|_| wholly);
        let last = if wholly {
            comp.last_seen.unwrap_or(first)
        } else {
            first
        };
        let (exit, end, gone) = match (state.outcome, ended_on) {
            (Outcome::Sold, Some(on)) => (age(on), ListingEnd::Sold, None),
            (Outcome::Gone, Some(on)) => (age(on), ListingEnd::Gone, None),
            (Outcome::Withdrawn, Some(on)) => (age(on), ListingEnd::Unsold, None),
            (Outcome::Sold, None) => (age(last), ListingEnd::Sold, None),
            (Outcome::Gone, None) => (age(last), ListingEnd::Gone, Some((self.source, last))),
            (Outcome::Withdrawn, None) | (Outcome::Listed, _) => {
                (age(last), ListingEnd::Unsold, None)
            }
        };
        let ln = |money| self.currency.units(money).ln();
        let mut asks = vec![(0.0, ln(comp.ask))];
        if let Some(last_ask) = comp
            .last_ask
            .filter(|a| wholly && *a != comp.ask && a.minor() > 0)
        {
            // It changed at some time between the two: the middle.
            asks.push((f64::midpoint(age(first), age(last)).max(0.1), ln(last_ask)));
        }
        Some(SeenListing {
            hash,
            seen: *seen,
            precision,
            listed_on,
            entry: age(first).max(0.0),
            exit,
            end,
            gone,
            asks,
        })
    }

    /// The histories, each with its value estimated without it.
    pub fn histories(self, model: &FittedValue) -> Vec<History> {
        let (looks, as_of) = (self.looks, self.as_of);
        let finish = |one: SeenListing| {
            let wait = one.gone.map_or(0.0, |(source, last)| {
                looks.half_gap_after(source, last, as_of)
            });
            // What ended before it was first seen was never watched.
            let exit = match one.exit + wait {
                0.0 if one.end != ListingEnd::Unsold => SHORTEST,
                exit => exit,
            };
            (exit > one.entry).then(|| History {
                facts: one.seen.facts,
                own: false,
                listed_on: one.listed_on,
                weight: one.seen.weight,
                entry: one.entry,
                exit,
                end: one.end,
                asks: one.asks,
                ln_price: None,
                value: model.comp_left_out(&one.seen, one.precision),
            })
        };
        self.kept
            .into_sorted_vec()
            .into_iter()
            .filter_map(finish)
            .collect()
    }
}

impl Observer for SeenListings {
    fn comp(&mut self, met: CompMet<'_>, _: &Coding, _: &[f64]) {
        self.source = self.looks.note(met.comp, self.as_of);
    }

    fn weighed(&mut self, comp: &Comparable, seen: &Observation, precision: f64) {
        if comp.listed_on.is_none() {
            return;
        }
        let hash = name_hash(comp);
        if self.kept.len() == MOST && self.kept.peek().is_some_and(|top| hash >= top.hash) {
            return;
        }
        if let Some(one) = self.seen(comp, seen, precision, hash) {
            self.kept.push(one);
            if self.kept.len() > MOST {
                self.kept.pop();
            }
        }
    }
}
