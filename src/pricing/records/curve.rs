//! Value against age: the curve, and the records of the style around it.

use super::observation::of_sale;
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features::{Facts, facts, set_age};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::value::reduce::{CompMet, Observer};
use crate::statistics::distribution::student_t;
use crate::trade::{Bike, Currency, Day, Outcome, Sale, Style};

/// Points of the curve.
const POINTS: usize = 61;
/// Comps shown, at most; more would hide one another.
const SHOWN: usize = 1500;

/// A comp on the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeenComp {
    /// Age in years on the day of its price.
    pub age: f64,
    /// Price in units of the currency.
    pub price: f64,
    /// How the listing stood.
    pub outcome: Outcome,
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
                price: seen.ln_price.exp(),
                outcome,
            });
        }
    }
}

/// Age (years) and price of the own sales of a style, as known on `as_of`.
pub fn sales_of_style(
    sales: &[Sale],
    style: Style,
    as_of: Day,
    currency: &Currency,
) -> Vec<(f64, f64)> {
    sales
        .iter()
        .filter(|s| s.bike.style == style)
        .filter_map(|s| {
            Some((
                s.bike.age(s.priced_on()?)?,
                of_sale(s, as_of, currency).ok()?.ln_price.exp(),
            ))
        })
        .collect()
}

/// Low, median and high of `bike` with its own model year, or range of them.
pub fn here(model: &FittedValue, bike: &Bike, level: f64) -> (f64, f64, f64) {
    let here = facts(bike, model.coding.as_of, &model.currency);
    of_facts(model, &here, level)
}

/// Low, median and high of `bike` at one age in years.
fn at_age(model: &FittedValue, bike: &Bike, age: f64, level: f64) -> (f64, f64, f64) {
    let mut here = facts(bike, model.coding.as_of, &model.currency);
    set_age(&mut here, age);
    of_facts(model, &here, level)
}

fn of_facts(model: &FittedValue, facts: &Facts, level: f64) -> (f64, f64, f64) {
    let sale = model.one_sale(facts);
    let end = |p: f64| student_t::quantile(&sale, p).exp();
    (
        end((1.0 - level) / 2.0),
        model.ln_value(facts).exp(),
        end(f64::midpoint(1.0, level)),
    )
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
