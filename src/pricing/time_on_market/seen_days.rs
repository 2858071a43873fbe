//! The days on which the user looked at listings.

use crate::trade::calendar::days_between;
use crate::trade::{Comparable, Day};
use std::collections::HashMap;

/// Longest time between the last sight of a listing and the next look that
/// counts, in days (judgement).
pub const LONGEST_GAP: i64 = 30;

/// A set of days, a bit each.
#[derive(Clone, Debug, Default, serde::Serialize, serde::Deserialize)]
pub(super) struct SeenDays {
    bits: Vec<u64>,
}

/// A number that grows with the day; months have 32 places.
fn place(day: Day) -> Option<usize> {
    let year = usize::try_from(day.year()).ok()?;
    let (month, day) = (
        usize::try_from(day.month()).ok()?,
        usize::try_from(day.day()).ok()?,
    );
    Some((year * 12 + month - 1) * 32 + day)
}

fn day_at(place: usize) -> Option<Day> {
    let (months, day) = (place / 32, place % 32);
    let year = i16::try_from(months / 12).ok()?;
    Day::new(year, (months % 12) as i8 + 1, day as i8).ok()
}

impl SeenDays {
    /// Adds a day.
    pub(super) fn insert(&mut self, day: Day) {
        let Some(place) = place(day) else { return };
        if self.bits.len() <= place / 64 {
            self.bits.resize(place / 64 + 1, 0);
        }
        self.bits[place / 64] |= 1 << (place % 64);
    }

    /// The first day after `day`.
    pub(super) fn after(&self, day: Day) -> Option<Day> {
        let from = place(day)? + 1;
        let mut word = from / 64;
        let mut bits = self.bits.get(word)? & (u64::MAX << (from % 64));
        while bits == 0 {
            word += 1;
            bits = *self.bits.get(word)?;
        }
        day_at(word * 64 + bits.trailing_zeros() as usize)
    }
}

/// The days on which each source was looked at.
#[derive(Clone, Debug, Default, serde::Serialize, serde::Deserialize)]
pub struct Looks {
    numbers: HashMap<String, usize>,
    sources: Vec<SeenDays>,
    anywhere: SeenDays,
}

impl Looks {
    /// Notes the days up to `as_of` on which a comp was seen (a look is a look,
    /// whatever was looked for); the number of its source.
    pub fn note(&mut self, comp: &Comparable, as_of: Day) -> usize {
        let number = if let Some(number) = self.numbers.get(&comp.source) {
            *number
        } else {
            let number = self.sources.len();
            self.sources.push(SeenDays::default());
            self.numbers.insert(comp.source.clone(), number);
            number
        };
        let seen = [comp.first_seen, comp.last_seen];
        for day in seen.into_iter().flatten().filter(|day| *day <= as_of) {
            self.anywhere.insert(day);
            if let Some(source) = self.sources.get_mut(number) {
                source.insert(day);
            }
        }
        number
    }

    /// Days after `last_seen` at which a listing that is gone is taken to have
    /// ended: half of the time to the next look at its source (at any source,
    /// where that was never looked at again; `as_of` where nothing was), of which
    /// at most [`LONGEST_GAP`] days count.
    pub fn half_gap_after(&self, source: usize, last_seen: Day, as_of: Day) -> f64 {
        let next = self
            .sources
            .get(source)
            .and_then(|days| days.after(last_seen));
        let next = next
            .or_else(|| self.anywhere.after(last_seen))
            .unwrap_or(as_of);
        days_between(last_seen, next).clamp(0, LONGEST_GAP) as f64 / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_found_on_either_side() {
        let mut days = SeenDays::default();
        let list = [(2024, 2, 29), (2024, 12, 31), (2025, 1, 14)];
        list.iter()
            .for_each(|(y, m, d)| days.insert(Day::constant(*y, *m, *d)));
        let day = Day::constant(2024, 12, 31);
        assert_eq!(days.after(day), Some(Day::constant(2025, 1, 14)));
        assert_eq!(days.after(Day::constant(2025, 1, 14)), None);
        assert_eq!(
            days.after(Day::constant(1999, 1, 1)),
            Some(Day::constant(2024, 2, 29))
        );
        assert_eq!(days.after(Day::constant(2030, 1, 1)), None);
    }
}
