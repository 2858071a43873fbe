//! How long each listing was seen on the market: from when, until when, how it ended.

use super::places::Place;
pub use crate::pricing::time_on_market::LONGEST_GAP;
use crate::pricing::time_on_market::{Looks, SHORTEST};
use crate::trade::calendar::days_between;
use crate::trade::{Comparable, Day, Outcome, Sale};

/// How a spell ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SpellEnd {
    /// Sold.
    Sold,
    /// No longer there, reason unknown.
    Gone,
    /// Taken back.
    Withdrawn,
    /// Still there.
    Open,
}

/// A listing on the market, in days since it was listed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spell {
    pub(super) place: Place,
    /// When it came under watch; 0 for own bikes.
    pub(super) entry: f64,
    pub(super) exit: f64,
    pub(super) end: SpellEnd,
    /// 1, or less for one of several listings of a bike.
    pub(super) weight: f64,
}

/// Records that say nothing of the days, and why.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct UnusedListings {
    /// The day of listing is not known.
    pub no_listing_day: usize,
    /// Seen on one day only: it was there that day, and that is all.
    pub seen_once: usize,
    /// It had ended before it was first seen, so only its end was seen.
    pub ended_before_seen: usize,
    /// Own bikes that were sold, with the day of listing not known.
    pub own_no_listing_day: usize,
}

impl UnusedListings {
    /// All comps among them.
    pub fn comps(&self) -> usize {
        self.no_listing_day + self.seen_once + self.ended_before_seen
    }
}

/// A comp that is gone: it ended between two looks.
#[derive(Clone, Copy, Debug)]
struct Gone {
    place: Place,
    source: usize,
    listed: Day,
    entry: f64,
    last_seen: Day,
    weight: f64,
}

/// Collects the spells of the comps.
#[derive(Clone, Debug)]
pub(super) struct Spells {
    as_of: Day,
    ended: Vec<Spell>,
    gone: Vec<Gone>,
    pub(super) unused: UnusedListings,
    looks: Looks,
    /// Number of the source of the comp looked at last.
    source: usize,
}

impl Spells {
    pub(super) fn new(as_of: Day) -> Self {
        Self {
            as_of,
            ended: Vec::new(),
            gone: Vec::new(),
            unused: UnusedListings::default(),
            looks: Looks::default(),
            source: 0,
        }
    }

    /// Notes the days on which a comp was seen (of any style: a look is a look).
    pub(super) fn look(&mut self, comp: &Comparable) {
        self.source = self.looks.note(comp, self.as_of);
    }

    /// Takes the comp that was looked at last as known on the day of the answer, with
    /// how it stood.
    pub(super) fn push(&mut self, comp: &Comparable, outcome: Outcome, place: Place, weight: f64) {
        let (Some(listed), Some(first_seen)) = (comp.listed_on, comp.first_seen) else {
            self.unused.no_listing_day += 1;
            return;
        };
        // What was last seen after the day of the answer had been seen on its first day.
        let last_seen = comp
            .known_until()
            .filter(|last| *last <= self.as_of)
            .unwrap_or(first_seen);
        let days = |day: Day| days_between(listed, day).max(0) as f64;
        let entry = days(first_seen);
        let end = match outcome {
            Outcome::Sold => SpellEnd::Sold,
            Outcome::Gone => SpellEnd::Gone,
            Outcome::Withdrawn => SpellEnd::Withdrawn,
            Outcome::Listed => SpellEnd::Open,
        };
        let ended = comp.ended_on.filter(|_| outcome != Outcome::Listed);
        if end == SpellEnd::Gone && ended.is_none() {
            self.gone.push(Gone {
                place,
                source: self.source,
                listed,
                entry,
                last_seen,
                weight,
            });
            return;
        }
        let mut exit = days(ended.unwrap_or(last_seen));
        if exit == 0.0 && end != SpellEnd::Open {
            exit = SHORTEST;
        }
        if exit < entry {
            self.unused.ended_before_seen += 1;
        } else if exit == entry {
            self.unused.seen_once += 1;
        } else {
            self.ended.push(Spell {
                place,
                entry,
                exit,
                end,
                weight,
            });
        }
    }

    /// The spells, and what was not used. One that is gone ended half-way
    /// between the day it was last seen and the next day on which the user
    /// looked at its source (at any source, where that was never looked at
    /// again), at most [`LONGEST_GAP`] days later, and by the day of the answer.
    pub(super) fn done(mut self) -> (Vec<Spell>, UnusedListings) {
        for gone in &self.gone {
            let wait = self
                .looks
                .half_gap_after(gone.source, gone.last_seen, self.as_of);
            let exit = days_between(gone.listed, gone.last_seen).max(0) as f64 + wait;
            if exit > gone.entry {
                self.ended.push(Spell {
                    place: gone.place,
                    entry: gone.entry,
                    exit,
                    end: SpellEnd::Gone,
                    weight: gone.weight,
                });
            } else {
                self.unused.seen_once += 1;
            }
        }
        (self.ended, self.unused)
    }
}

/// The spell of an own bike as known on `as_of`; `None` before it is listed.
pub(super) fn own_spell(known: &Sale, place: Place, as_of: Day) -> Option<Spell> {
    let listed = known.listed_on?;
    let (until, end) = match (known.sold, &known.left) {
        (Some(sold), _) => (sold.on, SpellEnd::Sold),
        (None, Some(left)) => (left.on, SpellEnd::Open),
        (None, None) => (as_of, SpellEnd::Open),
    };
    let exit = days_between(listed, until).max(0) as f64;
    Some(Spell {
        place,
        entry: 0.0,
        exit: exit.max(SHORTEST),
        end,
        weight: 1.0,
    })
}
