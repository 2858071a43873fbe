//! A second opinion on a bike whose new price is known: what age and condition leave
//! of it, by the beliefs, with a level learnt from the records.
//!
//! `ln value = ln new price + anchor + age + condition`, where age and condition act
//! as they are believed to (against the same bike as new), and the anchor is learnt as
//! the mean of what is left, a conjugate normal with the belief as its prior. One bike
//! stands around it with a variance that is learnt too (shrunk as if
//! `noise_sales` bikes had shown what is believed).

use super::initial::Pilot;
use crate::pricing::design::coding::Coding;
use crate::pricing::design::fact::{self, NEW_PRICE_KNOWN};
use crate::pricing::design::features::{self, AGE, CONDITION, Facts};
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::Observation;
use crate::statistics::dot;
use serde::{Deserialize, Serialize};

/// What is left of a new price.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Depreciation {
    /// ln of value over new price of a bike as new, and its variance.
    pub anchor: (f64, f64),
    /// Variance of one bike around it.
    pub around: f64,
    /// A year of age between the knots, then a step up of condition.
    beliefs: Vec<Belief>,
}

/// An opinion on ln of a value, with its variance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opinion {
    /// Its centre.
    pub mean: f64,
    /// How unsure it is.
    pub variance: f64,
}

impl Depreciation {
    /// Learns the anchor from the pilot's rows that know their new price.
    pub(super) fn learn(
        priors: &Priors,
        coding: &Coding,
        seen: &[Observation],
        pilot: &Pilot,
    ) -> Self {
        let belief = priors.new_price.anchor;
        let around = priors.new_price.around_anchor.powi(2);
        let mut all = Self {
            anchor: (belief.mean, belief.sd.powi(2)),
            around,
            beliefs: priors.beliefs()[AGE].to_vec(),
        };
        all.beliefs.extend(&priors.beliefs()[CONDITION]);
        let mut as_own = vec![0.0; coding.width()];
        // What is left of each price, as of an own sale today, and the row's variance.
        let mut left = Vec::new();
        for (row, seen) in pilot.rows.iter().zip(seen) {
            if row.robust == 0.0 || !seen.facts.knows(NEW_PRICE_KNOWN) {
                continue;
            }
            coding.row(&seen.facts, coding.as_of, None, &mut as_own);
            let price = row.ln_price - dot(&row.x, &pilot.b) + dot(&as_own, &pilot.b);
            let e = price - all.ln_without_anchor(&seen.facts, &as_own);
            left.push((e, seen.weight * row.robust, row.variance + row.unknown));
        }
        let worth = priors.noise_sales;
        // Twice: the variance around follows the anchor, and the other way round.
        for _ in 0..2 {
            let mut precision = 1.0 / belief.sd.powi(2);
            let mut sum = belief.mean * precision;
            for (e, weight, variance) in &left {
                let one = weight / (all.around + variance);
                precision += one;
                sum += one * e;
            }
            all.anchor = (sum / precision, 1.0 / precision);
            let squares = left.iter().map(|(e, weight, variance)| {
                weight * ((e - all.anchor.0).powi(2) - variance).max(0.0)
            });
            let squares: f64 = squares.sum();
            let count: f64 = left.iter().map(|(_, weight, _)| weight).sum();
            all.around = (worth * around + squares) / (worth + count);
        }
        all
    }

    fn ln_without_anchor(&self, facts: &Facts, x: &[f64]) -> f64 {
        let distances = from_new(x);
        let beliefs = self.beliefs.iter().zip(distances);
        facts.values[fact::NEW_PRICE] + beliefs.map(|(one, d)| one.mean * d).sum::<f64>()
    }

    /// What is believed of a year of age between the knots, then of a step up of
    /// condition.
    pub(in crate::pricing) fn beliefs(&self) -> &[Belief] {
        &self.beliefs
    }

    /// The opinion on a bike with the row `x`; `None` where its new price is unknown.
    pub fn opinion(&self, facts: &Facts, x: &[f64]) -> Option<Opinion> {
        if !facts.knows(NEW_PRICE_KNOWN) {
            return None;
        }
        let beliefs = self.beliefs.iter().zip(from_new(x));
        let steps: f64 = beliefs.map(|(one, d)| (one.sd * d).powi(2)).sum();
        Some(Opinion {
            mean: self.ln_without_anchor(facts, x) + self.anchor.0,
            variance: self.anchor.1 + self.around + steps,
        })
    }
}

/// Years of age between the knots, and steps of condition below mint (negative), of a row.
fn from_new(x: &[f64]) -> impl Iterator<Item = f64> + '_ {
    let ages = x[AGE].iter().zip(features::base_lengths());
    let mint = [0.0, 0.0, 1.0, 1.0];
    let conditions = x[CONDITION].iter().zip(mint);
    ages.map(|(x, base)| x + base)
        .chain(conditions.map(|(x, mint)| x - mint))
}

impl Opinion {
    /// Both opinions put together, each weighed by its precision. Where they are
    /// further apart than both allow, the doubt grows by what is beyond that, as in a
    /// meta-analysis with random effects (DerSimonian & Laird 1986, from memory).
    #[must_use]
    pub fn and(self, second: Opinion) -> Opinion {
        let both = self.variance + second.variance;
        if both <= 0.0 {
            return self;
        }
        let share = self.variance / both;
        let apart = second.mean - self.mean;
        let beyond = (apart * apart - both).max(0.0);
        Opinion {
            mean: self.mean + share * apart,
            variance: share * second.variance + share * (1.0 - share) * beyond,
        }
    }
}
