//! Quarters of a year that may start in any month.

use super::calendar::Day;
use std::fmt;

/// A quarter of a workshop's year, named by the calendar year in which that
/// year starts: with a year from July, `2026-Q1` is July to September 2026 and
/// `2026-Q4` is April to June 2027.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Quarter {
    year: i16,
    number: u8,
}

impl Quarter {
    /// Quarter `number` (1 to 4) of the year that starts in `year` (1899, whose
    /// year from July holds the first days of 1900, to 9998, so that its days can
    /// be told). `None` for any other.
    pub fn new(year: i16, number: u8) -> Option<Self> {
        ((1899..=9998).contains(&year) && (1..=4).contains(&number))
            .then_some(Self { year, number })
    }

    /// Reads `2026-Q2`, also with a small q.
    ///
    /// ```
    /// use wheelworth::trade::Quarter;
    /// assert_eq!(Quarter::read("2026-q2"), Quarter::new(2026, 2));
    /// assert!(Quarter::read("2026-Q5").is_none());
    /// ```
    pub fn read(text: &str) -> Option<Self> {
        let (year, number) = text.trim().split_once(['-'])?;
        let number = number.strip_prefix(['Q', 'q'])?;
        let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        let well_formed = year.len() == 4 && number.len() == 1 && digits(year) && digits(number);
        well_formed.then(|| Self::new(year.parse().ok()?, number.parse().ok()?))?
    }

    /// The quarter that holds `day`, in years that start in the month
    /// `year_starts` (1 to 12).
    ///
    /// ```
    /// use wheelworth::trade::{Day, Quarter};
    /// assert_eq!(Quarter::of(Day::constant(2027, 4, 1), 7).to_string(), "2026-Q4");
    /// ```
    pub fn of(day: Day, year_starts: u8) -> Self {
        let since = month_count(day) - (i32::from(year_starts) - 1);
        Self {
            year: since.div_euclid(12) as i16,
            number: (since.rem_euclid(12) / 3) as u8 + 1,
        }
    }

    /// Its first day.
    pub fn first_day(self, year_starts: u8) -> Day {
        let months = self.index() * 3 + i32::from(year_starts) - 1;
        let (year, month) = (months.div_euclid(12), months.rem_euclid(12) + 1);
        Day::new(year as i16, month as i8, 1).unwrap_or(Day::MAX)
    }

    /// Its last day.
    pub fn last_day(self, year_starts: u8) -> Day {
        let next = self.next().first_day(year_starts);
        next.yesterday().unwrap_or(Day::MAX)
    }

    /// The one after it.
    #[must_use]
    pub fn next(self) -> Self {
        Self::from_index(self.index() + 1)
    }

    /// The one before it.
    #[must_use]
    pub fn previous(self) -> Self {
        Self::from_index(self.index() - 1)
    }

    /// Quarters since the year 0, so that differences count quarters.
    pub fn index(self) -> i32 {
        i32::from(self.year) * 4 + i32::from(self.number) - 1
    }

    fn from_index(index: i32) -> Self {
        Self {
            year: index.div_euclid(4) as i16,
            number: index.rem_euclid(4) as u8 + 1,
        }
    }
}

/// Months since the year 0.
fn month_count(day: Day) -> i32 {
    i32::from(day.year()) * 12 + i32::from(day.month()) - 1
}

impl fmt::Display for Quarter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{:04}-Q{}", self.year, self.number))
    }
}
