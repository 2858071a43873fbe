//! What a week on hand has earned: the price of waiting, from the user's own records.
//!
//! `r = (sum of margins + 8 * 0.40 * p) / (sum of price * weeks + 8 * (0.40 / 0.03) * p)`
//!
//! over own bikes sold in the last 24 months, weeks from purchase to sale and `p` their
//! mean price: as if eight more bikes had left 40 % of their price after some 13 weeks,
//! which is 3 % a week (judgement). Where one bike is repaired after another, a bike that
//! waits for a buyer holds a place and a purse, and what that place earns otherwise is
//! the price of waiting: a step towards the largest reward a week (renewal reward: Ross,
//! Stochastic Processes; Howard 1960; from memory). It is kept between 1 and 5 %,
//! since a place is not always wanted (judgement).

/// Bikes that the belief is worth.
const WORTH: f64 = 8.0;
/// What they leave, as a part of the price.
const LEFT: f64 = 0.40;
/// What a week earns where nothing is known, as a part of the price.
pub const BELIEVED: f64 = 0.03;
/// Least and most that a week of waiting is counted at.
const LEAST: f64 = 0.01;
const MOST: f64 = 0.05;
/// Months that count.
pub const MONTHS: i32 = 24;

/// An own bike, bought and sold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// What it brought, in units of the currency.
    pub price: f64,
    /// What was left of that after its direct cost.
    pub margin: f64,
    /// Weeks from purchase to sale.
    pub weeks: f64,
}

/// What a week on hand has earned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Earned {
    /// As a part of the price, before it is kept within bounds.
    pub rate: f64,
    /// The same in units of the currency, for a bike of the mean price.
    pub a_week: f64,
    /// Bikes that told it.
    pub bikes: usize,
}

impl Earned {
    /// From the bikes of the last [`MONTHS`]; `None` without any.
    pub fn of(turns: &[Turn]) -> Option<Self> {
        let bikes = turns.len();
        if bikes == 0 {
            return None;
        }
        let sum = |of: fn(&Turn) -> f64| turns.iter().map(of).sum::<f64>();
        let price = sum(|turn| turn.price) / bikes as f64;
        let earned = sum(|turn| turn.margin) + WORTH * LEFT * price;
        let held = sum(|turn| turn.price * turn.weeks) + WORTH * LEFT / BELIEVED * price;
        let rate = earned / held;
        let a_week = rate * price;
        (rate.is_finite() && a_week.is_finite()).then_some(Self {
            rate,
            a_week,
            bikes,
        })
    }

    /// What a week of waiting is counted at.
    pub fn week_cost(&self) -> f64 {
        self.rate.clamp(LEAST, MOST)
    }
}
