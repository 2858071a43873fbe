//! Value against age: the curve, and the records of the style around it.

use super::observation::{Observation, of_sale};
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features::{facts, set_age};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::value::reduce::{CompMet, Observer};
use crate::trade::{Bike, Day, Outcome, Sale, Style};

/// Points of the curve.
const POINTS: usize = 61;
/// Comps shown, at most; more would hide one another.
const SHOWN: usize = 1500;

/// A comp for the picture.
#[derive(Clone, Debug)]
pub struct SeenComp {
    /// Age in years on the day of its price.
    age: f64,
    /// Its bike, the day and ln of the price.
    seen: Observation,
    /// How the listing stood.
    outcome: Outcome,
}

/// Collects the comps of one style during the fit's second pass.
pub struct CompsOfStyle {
    style: Style,
    as_of: Day,
    /// The first of them.
    pub found: Vec<SeenComp>,
}

impl CompsOfStyle {
    /// Nothing found yet.
    pub fn new(style: Style, as_of: Day) -> Self {
        Self {
            style,
            as_of,
            found: Vec::new(),
        }
    }

    /// Whether no more are shown.
    pub fn is_full(&self) -> bool {
        self.found.len() == SHOWN
    }
}

impl Observer for CompsOfStyle {
    fn comp(&mut self, met: CompMet<'_>, _: &Coding, _: &[f64]) {
        let CompMet { comp, seen, .. } = met;
        if comp.bike.style != self.style || self.is_full() {
            return;
        }
        if let Some(age) = comp.bike.age(seen.day) {
            let outcome = comp.state_on(self.as_of).outcome;
            self.found.push(SeenComp {
                age,
                seen: *seen,
                outcome,
            });
        }
    }
}

/// Age (years) and price of each comp, had it been `bike` at that age and today.
pub fn comps_as(model: &FittedValue, bike: &Bike, comps: &[SeenComp]) -> Vec<(f64, f64, Outcome)> {
    let placed = comps.iter().map(|comp| {
        let price = price_as(model, bike, comp.age, &comp.seen);
        (comp.age, price, comp.outcome)
    });
    placed.collect()
}

/// The same of the own sales of its style.
pub fn sales_as(model: &FittedValue, bike: &Bike, sales: &[Sale]) -> Vec<(f64, f64)> {
    let of_style = sales.iter().filter(|sale| sale.bike.style == bike.style);
    let placed = of_style.filter_map(|sale| {
        let age = sale.bike.age(sale.priced_on()?)?;
        let seen = of_sale(sale, model.coding.as_of, &model.currency).ok()?;
        Some((age, price_as(model, bike, age, &seen)))
    });
    placed.collect()
}

/// A price with what the model says that its bike and day differ from `bike` at that age
/// and today: its surprise stays.
fn price_as(model: &FittedValue, bike: &Bike, age: f64, seen: &Observation) -> f64 {
    let mut like = facts(bike, model.coding.as_of, &model.currency);
    set_age(&mut like, age);
    let (was, _) = model.value_on(&seen.facts, seen.day);
    (seen.ln_price + model.ln_value(&like) - was).exp()
}

/// Low, median and high of `bike` at one age in years.
fn at_age(model: &FittedValue, bike: &Bike, age: f64, level: f64) -> (f64, f64, f64) {
    let mut here = facts(bike, model.coding.as_of, &model.currency);
    set_age(&mut here, age);
    let (low, high) = model.range(&here, level);
    (low.exp(), model.ln_value(&here).exp(), high.exp())
}

/// `(age, low, median, high)` from new to `oldest` years.
pub fn value_by_age(
    model: &FittedValue,
    bike: &Bike,
    oldest: f64,
    level: f64,
) -> Vec<(f64, f64, f64, f64)> {
    (0..POINTS)
        .map(|i| oldest * i as f64 / (POINTS - 1) as f64)
        .map(|age| {
            let (low, median, high) = at_age(model, bike, age, level);
            (age, low, median, high)
        })
        .collect()
}
