//! What a book is started with: its currency and what it gives away.

use crate::trade::{Currency, Give, Giving};

/// What `start` sets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Currency of all money in the book.
    pub currency: Currency,
    /// The rule by which the proceeds are given away.
    pub giving: Giving,
}

impl Settings {
    /// The defaults: give the whole price, year from January, nobody named yet.
    pub fn new(currency: Currency) -> Self {
        Self {
            currency,
            giving: Giving {
                give: Give::Price,
                share: 10_000,
                year_starts: 1,
                beneficiaries: vec![],
            },
        }
    }

    /// What a book could not keep, if anything.
    pub(in crate::book) fn fault(&self) -> Option<String> {
        let giving = &self.giving;
        if !(1..=10_000).contains(&giving.share) {
            return Some("the share must be above 0 and at most 100 percent".into());
        }
        if !(1..=12).contains(&giving.year_starts) {
            return Some(format!("there is no month {}", giving.year_starts));
        }
        let names = giving.beneficiaries.iter().map(|who| who.name.as_str());
        for (index, who) in giving.beneficiaries.iter().enumerate() {
            if who.name.trim().is_empty() {
                return Some("a beneficiary needs a name".into());
            }
            if who.weight == 0 {
                return Some(format!("the weight of \"{}\" must be above 0", who.name));
            }
            if names.clone().take(index).any(|name| name == who.name) {
                return Some(format!("the beneficiary \"{}\" is named twice", who.name));
            }
        }
        None
    }
}
