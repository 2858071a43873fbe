//! The model year of a bike: one year, or the years that it may be of.

use super::calendar::{Day, age_in_years};
use serde::{Serialize, Serializer};
use std::fmt;

/// A model year, or a range of model years of which each is as likely as any other.
///
/// ```
/// use wheelworth::trade::Years;
/// assert_eq!(Years::from(2013).to_string(), "2013");
/// assert_eq!(Years::range(2010, 2013).unwrap().to_string(), "2010..2013");
/// assert_eq!(Years::range(2013, 2013), Some(Years::from(2013)));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Years {
    first: i16,
    last: i16,
}

impl Years {
    /// How many years may lie between the first and the last of a range: whoever
    /// knows less than this knows the era of a bike and not its year (a choice
    /// without a source).
    pub const WIDEST: i16 = 40;

    /// From the first and the last year, both counted; `None` when they are in the
    /// wrong order or more than [`Self::WIDEST`] years apart.
    pub fn range(first: i16, last: i16) -> Option<Self> {
        let apart = i32::from(last) - i32::from(first);
        (0..=i32::from(Self::WIDEST))
            .contains(&apart)
            .then_some(Self { first, last })
    }

    /// The first year.
    pub fn first(self) -> i16 {
        self.first
    }

    /// The last year.
    pub fn last(self) -> i16 {
        self.last
    }

    /// The year, where there is only one.
    pub fn exact(self) -> Option<i16> {
        (self.first == self.last).then_some(self.first)
    }

    /// Every year, in order; at least one.
    pub fn each(self) -> impl Iterator<Item = i16> {
        self.first..=self.last
    }

    /// Mean age in decimal years on `day` over all the years.
    pub fn mean_age(self, day: Day) -> f64 {
        let ages: f64 = self.each().map(|year| age_in_years(year, day)).sum();
        ages / self.each().count() as f64
    }
}

impl From<i16> for Years {
    fn from(year: i16) -> Self {
        Self {
            first: year,
            last: year,
        }
    }
}

/// As files have it: `2013`, `2010..2013`.
impl fmt::Display for Years {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.exact() {
            Some(year) => write!(f, "{year}"),
            None => write!(f, "{}..{}", self.first, self.last),
        }
    }
}

/// A number for a year, a string such as `2010..2013` for a range.
impl Serialize for Years {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.exact() {
            Some(year) => serializer.serialize_i16(year),
            None => serializer.collect_str(self),
        }
    }
}
