//! How far a measure may go.

/// What a measure is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Tenths of a millimetre.
    Length,
    /// Hundredths of a percent.
    Percent,
}

/// The bound of a measure, in its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// Not less than this.
    AtLeast(i64),
    /// Not more than this.
    AtMost(i64),
    /// Less than this.
    Below(i64),
}

/// A measure of a check and its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    /// What it is counted in.
    pub unit: Unit,
    /// Beyond it the check has failed.
    pub bound: Bound,
    /// Beyond it the part is worn, though within the limit.
    pub worn: Option<i64>,
    /// A larger measure is taken for a slip of the pen (judgement, no source).
    pub most_read: i64,
}

/// What a measure says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Degree {
    /// Good.
    Good,
    /// Worn, within the limit.
    Worn,
    /// Beyond the limit.
    Beyond,
}

impl Limit {
    /// In tenths of a millimetre.
    pub(super) const fn length(bound: Bound, worn: Option<i64>) -> Self {
        Self {
            unit: Unit::Length,
            bound,
            worn,
            most_read: 5000, // half a metre
        }
    }

    /// In hundredths of a percent.
    pub(super) const fn percent(bound: Bound, worn: Option<i64>, most_read: i64) -> Self {
        Self {
            unit: Unit::Percent,
            bound,
            worn,
            most_read,
        }
    }

    /// What a measure in the limit's unit says.
    pub fn judge(&self, value: i64) -> Degree {
        let (beyond, worn) = match self.bound {
            Bound::AtLeast(least) => (value < least, self.worn.is_some_and(|w| value < w)),
            Bound::AtMost(most) => (value > most, self.worn.is_some_and(|w| value > w)),
            Bound::Below(bound) => (value >= bound, self.worn.is_some_and(|w| value >= w)),
        };
        match (beyond, worn) {
            (true, _) => Degree::Beyond,
            (false, true) => Degree::Worn,
            (false, false) => Degree::Good,
        }
    }
}
