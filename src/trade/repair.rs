//! Jobs that could be done to a bike, and parts that it could be taken apart into.

use super::bike::{Condition, Tier};
use super::inspection::Item;
use super::money::Money;

/// A job that could be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Its name, unique within a list.
    pub name: String,
    /// What its parts cost; from the parts box, what they are worth.
    pub cost: Money,
    /// Unpaid hours in hundredths; `None` when they are not known.
    pub hours: Option<i64>,
    /// The parts are in the box: no money is spent now.
    pub from_box: bool,
    /// Whether it must be done before anybody rides the bike; `None` when the
    /// list does not say.
    pub safety: Option<bool>,
    /// Checks of the inspection that it clears.
    pub clears: Vec<&'static Item>,
    /// The condition that it opens the way to.
    pub condition_after: Option<Condition>,
    /// The component tier that it brings the bike to.
    pub tier_after: Option<Tier>,
}

impl Job {
    /// Money spent now.
    pub fn spent(&self) -> Money {
        if self.from_box {
            Money::ZERO
        } else {
            self.cost
        }
    }

    /// Whether it clears a check that is a gate.
    pub fn clears_a_gate(&self) -> bool {
        self.clears.iter().any(|item| item.is_gate())
    }
}

/// A part that could be sold by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// What it brings when it is sold.
    pub price: Money,
    /// Chance that it is sold, 0 to 1.
    pub chance: f64,
}
