//! The days on which the user looked at listings.

use crate::trade::Day;
use crate::trade::calendar::days_between;

/// Longest wait for the next look that is believed, in days (judgement).
const LONGEST_WAIT: f64 = 30.0;
/// Days assumed where no later look is known (judgement).
const USUAL_WAIT: f64 = 7.0;

/// A set of days, a bit each.
#[derive(Clone, Debug, Default)]
pub struct SeenDays {
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
    pub fn insert(&mut self, day: Day) {
        let Some(place) = place(day) else { return };
        if self.bits.len() <= place / 64 {
            self.bits.resize(place / 64 + 1, 0);
        }
        self.bits[place / 64] |= 1 << (place % 64);
    }

    /// The first day after `day`.
    pub fn after(&self, day: Day) -> Option<Day> {
        let from = place(day)? + 1;
        let mut word = from / 64;
        let mut bits = self.bits.get(word)? & (u64::MAX << (from % 64));
        while bits == 0 {
            word += 1;
            bits = *self.bits.get(word)?;
        }
        day_at(word * 64 + bits.trailing_zeros() as usize)
    }

    /// The last day before `day`.
    pub fn before(&self, day: Day) -> Option<Day> {
        let to = place(day)?;
        let mut word = (to / 64).min(self.bits.len().checked_sub(1)?);
        let mut bits = self.bits[word];
        if word == to / 64 {
            bits &= !(u64::MAX << (to % 64));
        }
        while bits == 0 {
            word = word.checked_sub(1)?;
            bits = self.bits[word];
        }
        day_at(word * 64 + 63 - bits.leading_zeros() as usize)
    }

    /// Days after `last_seen` on which a listing that was then gone is taken to
    /// have ended: the middle of the time to the next look.
    pub fn half_wait_after(&self, last_seen: Day) -> f64 {
        let wait = self.after(last_seen).map_or(USUAL_WAIT, |next| {
            (days_between(last_seen, next) as f64).min(LONGEST_WAIT)
        });
        wait / 2.0
    }

    /// Days before `seen_ended` on which a listing that was then known to have
    /// ended is taken to have ended.
    pub fn half_wait_before(&self, seen_ended: Day) -> f64 {
        let wait = self.before(seen_ended).map_or(USUAL_WAIT, |last| {
            (days_between(last, seen_ended) as f64).min(LONGEST_WAIT)
        });
        wait / 2.0
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
        assert_eq!(days.before(day), Some(Day::constant(2024, 2, 29)));
        assert_eq!(days.before(Day::constant(2024, 2, 29)), None);
        assert_eq!(days.after(Day::constant(2025, 1, 14)), None);
        assert_eq!(
            days.before(Day::constant(2030, 1, 1)),
            Some(Day::constant(2025, 1, 14))
        );
        assert_eq!(days.half_wait_after(day), 7.0);
        assert_eq!(days.half_wait_after(Day::constant(2024, 2, 29)), 15.0);
    }
}
