//! Who makes a plan from the records, and a stand-in.

use super::plain::{falling, fitted, value};
use super::policy::WITHIN;
use wheelworth::pricing::observation::InMemory;
use wheelworth::pricing::value::FittedValue;
use wheelworth::trade::calendar::days_between;
use wheelworth::trade::{Bike, Currency, Day};

/// A plan with the chances it states.
#[derive(Clone, Debug)]
pub struct Planned {
    /// (day from the listing, ask); the first on day 0, asks never rising.
    pub steps: Vec<(f64, f64)>,
    /// Stated chance of a sale in the first 7, 14, 30, 60 days.
    pub within: [f64; 4],
}

/// Learns once from a market's records, and then plans for any bike.
pub trait PlanMaker: Sized {
    /// Learns.
    fn learn(records: &InMemory, as_of: Day, currency: &Currency) -> Self;

    /// The plan for a bike listed on `as_of`.
    fn plan(&self, records: &InMemory, bike: &Bike, as_of: Day, currency: &Currency) -> Planned;
}

/// The user's own habit as a plan: value + 3 %, a tenth off each 30 days; the
/// chances are the shares of the own listings that sold so soon.
pub struct Habit {
    fitted: Option<FittedValue>,
    within: [f64; 4],
}

/// What is stated without any dated sale (judgement).
const UNKNOWN: [f64; 4] = [0.25, 0.4, 0.65, 0.85];

impl PlanMaker for Habit {
    fn learn(records: &InMemory, as_of: Day, currency: &Currency) -> Self {
        let days: Vec<i64> = records
            .sales
            .iter()
            .filter_map(|sale| Some(days_between(sale.listed_on?, sale.sold?.on)))
            .collect();
        let share = |within: usize| {
            let soon = days.iter().filter(|d| **d < within as i64).count();
            soon as f64 / days.len() as f64
        };
        Self {
            fitted: fitted(records, as_of, currency),
            within: if days.is_empty() {
                UNKNOWN
            } else {
                WITHIN.map(share)
            },
        }
    }

    fn plan(&self, _: &InMemory, bike: &Bike, as_of: Day, currency: &Currency) -> Planned {
        let value = self
            .fitted
            .as_ref()
            .map_or(100.0, |fitted| value(fitted, bike, as_of, currency));
        Planned {
            steps: falling(1.03 * value, 0.1, 30.0).steps,
            within: self.within,
        }
    }
}
