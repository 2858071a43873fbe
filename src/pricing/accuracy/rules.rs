//! Three rules of thumb, each with the knowledge that the model had.

use crate::pricing::design::coding::Coding;
use crate::pricing::records::observation::{Records, of_sale};
use crate::pricing::value::reduce::{CompMet, Observer};
use crate::statistics::linear::robust::median;
use crate::trade::calendar::days_between;
use crate::trade::{Bike, Currency, Day, Sale};

/// Their names, in order.
pub const RULES: [&str; 3] = [
    "median of the five nearest comps",
    "median ask of the style less 10 %",
    "the last similar own sale",
];

/// What each says, in units; `None` where it has nothing to go on.
pub type Guesses = [Option<f64>; RULES.len()];

/// Comps that the first rule takes.
const NEAREST: usize = 5;
/// What the second leaves of an ask.
const LESS_TEN_PERCENT: f64 = 0.9;

/// Years of age that are as far apart as one condition (judgement).
const YEARS: f64 = 4.0;
/// Tiers that are (judgement).
const TIERS: f64 = 0.7;
/// Conditions that an unknown fact is away (judgement).
const UNKNOWN: f64 = 1.0;
/// Conditions that another style is away: never before its own (judgement).
const OTHER_STYLE: f64 = 100.0;
/// A sale up to so many conditions away is similar (judgement).
const SIMILAR: f64 = 2.0;

/// How unlike two bikes look, in conditions: somebody with a list of ads before
/// them, and no model.
pub fn apart(a: &Bike, a_on: Day, b: &Bike, b_on: Day) -> f64 {
    let gap = |a: Option<f64>, b: Option<f64>, unit: f64| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() / unit,
        _ => UNKNOWN,
    };
    let condition = |bike: &Bike| bike.condition.map(|c| f64::from(c.grade()));
    let tier = |bike: &Bike| bike.tier.map(|t| f64::from(t.grade()));
    let style = if a.style == b.style { 0.0 } else { OTHER_STYLE };
    style
        + gap(a.age(a_on), b.age(b_on), YEARS)
        + gap(condition(a), condition(b), 1.0)
        + gap(tier(a), tier(b), TIERS)
}

/// Collects what the rules need while the comps are read.
pub(super) struct RuleObserver {
    bike: Bike,
    day: Day,
    /// Distance and ln price, nearest first.
    nearest: Vec<(f64, f64)>,
    /// ln prices of the style.
    of_style: Vec<f64>,
}

impl RuleObserver {
    pub(super) fn new(bike: &Bike, day: Day) -> Self {
        Self {
            bike: *bike,
            day,
            nearest: Vec::with_capacity(NEAREST + 1),
            of_style: Vec::new(),
        }
    }

    /// What they say of `sale`, with own sales known on `known`.
    pub(super) fn guesses(
        self,
        records: &dyn Records,
        sale: &Sale,
        known: Day,
        currency: &Currency,
    ) -> Guesses {
        let middle = |lns: Vec<f64>| (!lns.is_empty()).then(|| median(lns).exp());
        let nearest = middle(self.nearest.iter().map(|n| n.1).collect());
        let of_style = middle(self.of_style).map(|ask| LESS_TEN_PERCENT * ask);
        // The last one: nearest in time, then most alike.
        let last = records
            .sales()
            .iter()
            .filter(|other| other.id != sale.id)
            .filter_map(|other| {
                let seen = of_sale(other, known, currency).ok()?;
                let apart = apart(&self.bike, self.day, &other.bike, seen.day);
                let days = days_between(seen.day, self.day).abs();
                (apart <= SIMILAR).then_some((days, apart, seen.ln_price))
            })
            .min_by(|a, b| {
                a.0.cmp(&b.0)
                    .then(a.1.total_cmp(&b.1))
                    .then(a.2.total_cmp(&b.2))
            });
        [nearest, of_style, last.map(|l| l.2.exp())]
    }
}

impl Observer for RuleObserver {
    fn comp(&mut self, met: CompMet<'_>, _: &Coding, _: &[f64]) {
        let CompMet { comp, seen, .. } = met;
        if comp.bike.style == self.bike.style {
            self.of_style.push(seen.ln_price);
        }
        let apart = apart(&self.bike, self.day, &comp.bike, seen.day);
        let one = (apart, seen.ln_price);
        // By price where equally near, so that rows may come in any order.
        let before = |a: &(f64, f64)| a.0.total_cmp(&one.0).then(a.1.total_cmp(&one.1)).is_lt();
        let place = self.nearest.partition_point(before);
        if place < NEAREST {
            self.nearest.insert(place, one);
            self.nearest.truncate(NEAREST);
        }
    }
}
