//! What a workshop gives away, and to whom.

use super::bike::words;
use super::calendar::Day;
use super::money::Money;
use super::quarter::Quarter;
use std::fmt;

words! {
    /// What the gifts are taken from.
    Give {
        /// The sale prices.
        Price = "price",
        /// The sale prices less the costs.
        Net = "net",
    }
}

/// Who receives the donated proceeds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beneficiary {
    /// Name, unique.
    pub name: String,
    /// Weight in the split, above 0; weights need not add up to 100.
    pub weight: u32,
}

/// The rule by which the proceeds are given away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Giving {
    /// What the gifts are taken from.
    pub give: Give,
    /// Share given away, in hundredths of a percent, 1 to 10,000.
    pub share: u16,
    /// Month in which the year starts, 1 to 12.
    pub year_starts: u8,
    /// In the order given.
    pub beneficiaries: Vec<Beneficiary>,
}

/// A rule that took the place of the one before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleChange {
    /// From this day on: the first of a quarter.
    pub from: Day,
    /// The rule.
    pub giving: Giving,
}

/// The rules by which the proceeds are given away, one after the other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rules {
    first: Giving,
    /// By day, one a day.
    changes: Vec<RuleChange>,
}

impl Rules {
    /// The rule that a book was started with, and its changes in any order; of several
    /// changes of one day the last counts.
    pub fn new(first: Giving, changes: impl IntoIterator<Item = RuleChange>) -> Self {
        let mut rules = Self {
            first,
            changes: vec![],
        };
        for change in changes {
            rules.changes.retain(|known| known.from != change.from);
            rules.changes.push(change);
        }
        rules.changes.sort_by_key(|change| change.from);
        rules
    }

    /// The rule that the book was started with.
    pub fn first(&self) -> &Giving {
        &self.first
    }

    /// Its changes, by day.
    pub fn changes(&self) -> &[RuleChange] {
        &self.changes
    }

    /// The rule in force on a day.
    pub fn on(&self, day: Day) -> &Giving {
        let changes = self.changes.iter();
        let last = changes.take_while(|change| change.from <= day).last();
        last.map_or(&self.first, |change| &change.giving)
    }

    /// The rule in force in a quarter: that of its first day.
    pub fn of(&self, quarter: Quarter) -> &Giving {
        self.on(quarter.first_day(self.year_starts()))
    }

    /// Month in which the year starts, 1 to 12; no change of the rule changes it.
    pub fn year_starts(&self) -> u8 {
        self.first.year_starts
    }

    /// Everybody whom a rule names that began on `day` or before it, each once, those of
    /// the first rule first.
    pub fn named_by(&self, day: Day) -> Vec<&str> {
        let changes = self.changes.iter().filter(|change| change.from <= day);
        let rules = std::iter::once(&self.first).chain(changes.map(|change| &change.giving));
        let mut names: Vec<&str> = Vec::new();
        for who in rules.flat_map(|rule| &rule.beneficiaries) {
            if !names.contains(&who.name.as_str()) {
                names.push(&who.name);
            }
        }
        names
    }
}

impl From<Giving> for Rules {
    fn from(only: Giving) -> Self {
        Self::new(only, [])
    }
}

/// A beneficiary's own figure of what money does: `one meal: 2.40`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Means {
    /// Whose figure it is.
    pub beneficiary: String,
    /// The day of the figure.
    pub on: Day,
    /// One of what the money does: `meal`.
    pub unit: String,
    /// Several of it: `meals`.
    pub units: String,
    /// What one costs, above 0.
    pub amount: Money,
}

#[cfg(test)]
mod tests {
    use super::{Beneficiary, Give, Giving, RuleChange, Rules};
    use crate::trade::{Day, Quarter};

    fn giving(share: u16, names: &[&str]) -> Giving {
        Giving {
            give: Give::Price,
            share,
            year_starts: 1,
            beneficiaries: names
                .iter()
                .map(|name| Beneficiary {
                    name: (*name).to_string(),
                    weight: 1,
                })
                .collect(),
        }
    }

    #[test]
    fn a_rule_holds_from_its_day_on_and_the_last_of_a_day_counts() {
        let change = |month, share, names: &[&str]| RuleChange {
            from: Day::constant(2026, month, 1),
            giving: giving(share, names),
        };
        let changes = [
            change(7, 30, &["C"]),
            change(4, 20, &["B"]),
            change(7, 40, &["B", "D"]),
        ];
        let rules = Rules::new(giving(10, &["A"]), changes);
        for (month, day, share) in [(1, 1, 10), (3, 31, 10), (4, 1, 20), (6, 30, 20), (7, 1, 40)] {
            let day = Day::constant(2026, month, day);
            assert_eq!(rules.on(day).share, share, "{day}");
            assert_eq!(rules.of(Quarter::of(day, 1)).share, share, "{day}");
        }
        assert_eq!(rules.named_by(Day::constant(2026, 6, 30)), ["A", "B"]);
        assert_eq!(rules.named_by(Day::MAX), ["A", "B", "D"]);
        assert_eq!(Rules::from(giving(10, &[])).on(Day::MAX).share, 10);
    }
}
