//! Plain rules for the ask, as a seller without a program would have them.

use super::SellingMarket;
use super::policy::{DAYS, Policy};
use crate::recovery::market::Market;
use crate::recovery::market::buyers::price_point;
use crate::recovery::rules::Rules;
use wheelworth::pricing::design::features::facts;
use wheelworth::pricing::value::fitted::FittedValue;
use wheelworth::trade::{Bike, Currency, Day};

/// The value of a bike in the currency's units.
pub fn value(fitted: &FittedValue, bike: &Bike, as_of: Day, currency: &Currency) -> f64 {
    fitted.ln_value(&facts(bike, as_of, currency)).exp()
}

/// Value + 10 %, then 10 % off each fortnight.
pub fn each_fortnight(value: f64) -> Policy {
    falling(1.1 * value, 0.1, 14.0)
}

/// A first ask, a part of it off each `every` days, on the market's price points.
pub fn falling(first: f64, cut: f64, every: f64) -> Policy {
    let mut steps: Vec<(f64, f64)> = Vec::new();
    for number in 0..(DAYS as f64 / every).ceil() as i32 {
        let ask = price_point(first * (1.0 - cut).powi(number), 1.0);
        if steps.last().is_none_or(|s| s.1 > ask) {
            steps.push((every * f64::from(number), ask));
        }
    }
    Policy::new(steps)
}

/// The comps of a market, to ask for the nearest.
pub struct FiveNearest(Rules);

impl FiveNearest {
    /// Learns the comps.
    pub fn of(market: &SellingMarket) -> Self {
        let same = Market {
            as_of: market.as_of,
            sales: market.sales.clone(),
            ln_worth: Vec::new(),
            comps: market.comps.clone(),
            fresh: Vec::new(),
        };
        Self(Rules::of(&same, &market.currency))
    }

    /// The median ask of the five nearest comps, kept to the end; none without
    /// comps.
    pub fn policy(&self, bike: &Bike, as_of: Day) -> Option<Policy> {
        let [_, five, _] = self.0.guess(bike, as_of);
        five.map(|ask| Policy::single(price_point(ask, 1.0)))
    }
}
