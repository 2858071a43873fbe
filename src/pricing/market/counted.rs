//! The comps as rows to be counted: one a bike, however often it was listed.

use super::places::Place;
use crate::trade::comparable::State;
use crate::trade::{Comparable, Condition, Day, Money, Outcome, SeatTube, Tier, Years};
use std::collections::BTreeMap;

/// A comp as known on the day of the answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CompRow {
    pub(super) place: Place,
    pub(super) outcome: Outcome,
    /// The ask that stood last.
    pub(super) ask: Money,
    /// What the buyer paid, when known.
    pub(super) paid: Option<Money>,
}

/// What the double listings of one bike share: everything that is known of it.
type Likeness = (
    usize,
    Option<Years>,
    Option<Condition>,
    Option<Tier>,
    Option<SeatTube>,
    Money,
);

/// One of several listings of a bike: first day, last day, and the rest of its row.
#[derive(Clone, Copy, Debug)]
struct Listing {
    first: Option<Day>,
    last: Option<Day>,
    weight: f64,
    row: CompRow,
}

/// Takes listings with their weights, gives rows.
#[derive(Clone, Debug, Default)]
pub(super) struct Counted {
    rows: Vec<CompRow>,
    several: BTreeMap<Likeness, Vec<Listing>>,
    /// Listings taken.
    pub(super) listings: usize,
}

impl Counted {
    /// Takes a listing; a weight below 1 says that the bike is listed elsewhere too.
    pub(super) fn push(&mut self, comp: &Comparable, state: &State, place: Place, weight: f64) {
        self.listings += 1;
        let row = CompRow {
            place,
            outcome: state.outcome,
            ask: state.ask,
            paid: state.sold_price,
        };
        if weight >= 1.0 {
            self.rows.push(row);
            return;
        }
        let bike = &comp.bike;
        let likeness = (
            bike.style.index(),
            bike.made,
            bike.condition,
            bike.tier,
            bike.seat_tube,
            state.ask,
        );
        self.several.entry(likeness).or_default().push(Listing {
            first: comp.known_from(),
            last: comp.known_until(),
            weight,
            row,
        });
    }

    /// One row a bike: of several listings the one that appeared last. The
    /// weights of a bike's listings add up to 1, which tells where the next of
    /// two bikes alike begins.
    pub(super) fn rows(self) -> Vec<CompRow> {
        /// Weights such as 1/3 do not add up exactly.
        const NEARLY: f64 = 1e-6;
        let mut rows = self.rows;
        for mut listings in self.several.into_values() {
            listings.sort_by_key(|l| (l.first, l.last, l.row.place, l.row.outcome, l.row.paid));
            let mut weight = 0.0;
            let last = listings.len().saturating_sub(1);
            for (number, listing) in listings.iter().enumerate() {
                weight += listing.weight;
                // A listing whose like is not there still stands for a bike.
                if weight >= 1.0 - NEARLY || number == last {
                    rows.push(listing.row);
                    weight = 0.0;
                }
            }
        }
        rows
    }
}
