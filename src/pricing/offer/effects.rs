//! How much better a bike is after jobs, and how sure that is.
//!
//! The two bikes are the same one, so that what no record holds of it, and who
//! happens to come, cancel: with `d = x1 - x0`, the rows after and before,
//! `D = d'b` and `Var D = d'Vd`, without the variance of a sale, mixed over the
//! scales of the priors. An uplift is much better known than a price.

use crate::pricing::design::coding::Coding;
use crate::pricing::design::features;
use crate::pricing::design::features::{AGE, CONDITION};
use crate::pricing::prior::priors::Priors;
use crate::pricing::quote::Source;
use crate::pricing::quote::from_new_price;
use crate::pricing::quote::repaired::{OF_CONDITION, OF_TIER};
use crate::pricing::value::fitted::FittedValue;
use crate::statistics::distribution::student_t::{Predictive, quantile};
use crate::trade::Bike;

/// Effects of repairs on one bike.
pub(super) struct Effects<'a> {
    known: Known<'a>,
    found: Bike,
}

/// What the effects of features are taken from.
enum Known<'a> {
    /// The records.
    Fitted(&'a FittedValue),
    /// The beliefs alone: age and condition.
    Believed {
        coding: Box<Coding>,
        currency: crate::trade::Currency,
        means: Vec<f64>,
        sds: Vec<f64>,
        freedom: f64,
    },
}

impl<'a> Effects<'a> {
    /// The effects for a bike as found; `None` when there is nothing to go on.
    pub(super) fn of(source: &Source<'a>, priors: &Priors, found: &Bike) -> Option<Self> {
        let known = Known::of(source, priors, found)?;
        Some(Self {
            known,
            found: *found,
        })
    }

    /// The row of the bike with better grades, as far as repairs bring what these show.
    pub(super) fn row(&self, bike: &Bike) -> Vec<f64> {
        let repaired = Bike {
            tier: self.found.tier,
            ..*bike
        };
        let [found, repaired, done] = [&self.found, &repaired, bike].map(|one| self.known.row(one));
        let rows = found.iter().zip(repaired).zip(done);
        rows.map(|((found, repaired), done)| {
            found + OF_CONDITION * (repaired - found) + OF_TIER * (done - repaired)
        })
        .collect()
    }
}

impl<'a> Known<'a> {
    fn of(source: &Source<'a>, priors: &Priors, bike: &Bike) -> Option<Self> {
        let (as_of, currency) = match source {
            Source::Fitted(model) => return Some(Known::Fitted(model)),
            Source::Nothing { as_of, currency } => (*as_of, *currency),
        };
        let new_price = bike.new_price.filter(|p| p.minor() > 0)?;
        let coding = from_new_price::coding(priors, as_of, currency.units(new_price).ln());
        let (mut means, mut sds) = (vec![0.0; coding.width()], vec![0.0; coding.width()]);
        let beliefs = priors.beliefs();
        for j in AGE.chain(CONDITION) {
            (means[j], sds[j]) = (beliefs[j].mean, beliefs[j].sd);
        }
        Some(Known::Believed {
            coding: Box::new(coding),
            currency,
            means,
            sds,
            freedom: priors.noise_sales,
        })
    }

    /// The row of a bike.
    fn row(&self, bike: &Bike) -> Vec<f64> {
        match self {
            Known::Fitted(model) => {
                let as_of = model.coding.as_of;
                model.row(&features::facts(bike, as_of, &model.currency))
            }
            Known::Believed {
                coding, currency, ..
            } => {
                let mut x = vec![0.0; coding.width()];
                let facts = features::facts(bike, coding.as_of, currency);
                coding.row(&facts, coding.as_of, None, &mut x);
                x
            }
        }
    }
}

impl Effects<'_> {
    /// Mean of the effect of a difference of rows.
    pub(super) fn mean(&self, d: &[f64]) -> f64 {
        let b = match &self.known {
            Known::Fitted(model) => &model.coefficients,
            Known::Believed { means, .. } => means,
        };
        d.iter().zip(b).map(|(d, b)| d * b).sum()
    }

    /// Quantile of it.
    pub(super) fn quantile(&self, d: &[f64], p: f64) -> f64 {
        let mixture: Vec<(f64, Predictive)> = match &self.known {
            Known::Fitted(model) => model
                .components
                .iter()
                .map(|one| {
                    let t = Predictive {
                        freedom: model.own_freedom,
                        location: one.fit.predict(d),
                        scale: model.range_factor * one.fit.leverage(d).sqrt(),
                    };
                    (one.weight, t)
                })
                .collect(),
            Known::Believed { sds, freedom, .. } => {
                let variance: f64 = d.iter().zip(sds).map(|(d, sd)| (d * sd).powi(2)).sum();
                let t = Predictive {
                    freedom: *freedom,
                    location: self.mean(d),
                    scale: variance.sqrt(),
                };
                vec![(1.0, t)]
            }
        };
        if mixture.iter().all(|(_, t)| t.scale <= 0.0) {
            return self.mean(d);
        }
        quantile(&mixture, p)
    }
}
