//! What a sale brings, and what may be paid for the bike before it.
//!
//! ```text
//! most to pay = (1 - fee) E - waiting - repair - hours x rate - held back - margin
//! cautious    = the same with the quantile of the sale in the place of E
//! ```
//! `E` is the expected sale of the asking plan, waiting what the weeks until then
//! cost, held back what earlier offers fell short by ([`learning`](super::learning)). The
//! chance of a loss is over the sale (a Student t in logs, moved so that
//! its mean is `E`) and over the repair, whose cost is a guess, too.

use crate::pricing::quote::mean_sale;
use crate::pricing::value::levels::Levels;
use crate::statistics::distribution::normal;
use crate::statistics::distribution::student_t::{Predictive, mixture_cdf, quantile};

/// Standard deviation of ln of what the parts of a job cost in the end: hidden
/// faults (judgement, no source).
pub const REPAIR_SD: f64 = 0.35;

/// Costs of repair that are tried: equally likely quantiles.
const REPAIRS: usize = 41;

/// Steps of the integral of a shortfall.
const STEPS: usize = 600;

/// What one sale brings.
#[derive(Clone, Debug)]
pub struct SaleForecast {
    /// ln of the price: a mixture.
    mixture: Vec<(f64, Predictive)>,
    /// Which level of it holds what is asked, as for the range of a price.
    levels: Levels,
    /// Its mean, in units.
    pub mean: f64,
}

impl SaleForecast {
    /// A sale with this distribution of ln price, moved so that it brings `mean` units on average.
    /// Moved, not stretched: who asks more sells later, and what else is uncertain
    /// about the price stays so. The mean is that of `price`: a
    /// Student t has none in the price itself.
    pub fn with_mean(mixture: &[(f64, Predictive)], levels: Levels, mean: f64) -> Self {
        let by = (mean / mean_sale(mixture)).ln();
        let moved = |t: &Predictive| Predictive {
            location: t.location + by,
            ..*t
        };
        Self {
            mixture: mixture
                .iter()
                .map(|(weight, t)| (*weight, moved(t)))
                .collect(),
            levels,
            mean,
        }
    }

    /// Price below which it ends with probability `p`, in units.
    pub fn quantile(&self, p: f64) -> f64 {
        quantile(&self.mixture, self.levels.quantile(p)).exp()
    }

    /// Probability that it brings less than `units`.
    pub fn chance_below(&self, units: f64) -> f64 {
        if units > 0.0 {
            let chance = mixture_cdf(&self.mixture, units.ln());
            self.levels.chance_below(chance)
        } else {
            0.0
        }
    }

    /// Mean of how far it ends below `units`, 0 where it does not: the integral of
    /// the distribution function up to there, by Simpson's rule.
    pub fn shortfall_below(&self, units: f64) -> f64 {
        if units <= 0.0 {
            return 0.0;
        }
        let step = units / STEPS as f64;
        let sum: f64 = (0..=STEPS)
            .map(|i| {
                let weight = match i {
                    0 | STEPS => 1.0,
                    i if i % 2 == 1 => 4.0,
                    _ => 2.0,
                };
                weight * self.chance_below(step * i as f64)
            })
            .sum();
        sum * step / 3.0
    }
}

/// Everything between the sale and what is left, in units.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Outgoings {
    /// Money for the jobs, as expected.
    pub repair: f64,
    /// Its variance.
    pub repair_variance: f64,
    /// What the hours are to bring.
    pub work: f64,
    /// What waiting for the sale costs.
    pub waiting: f64,
    /// Part of the sale price that selling costs.
    pub fee: f64,
    /// What earlier offers fell short by.
    pub held_back: f64,
}

/// Mean and variance of what jobs cost together, each uncertain by itself:
/// `Var = cost^2 (exp(sd^2) - 1)` for a log-normal with this mean.
pub fn repair(costs: impl Iterator<Item = f64>) -> (f64, f64) {
    let spread = REPAIR_SD.powi(2).exp_m1();
    costs.fold((0.0, 0.0), |(mean, variance), cost| {
        (mean + cost, variance + cost * cost * spread)
    })
}

impl Outgoings {
    /// What is left of a sale at `units`, before the bike is paid for.
    pub fn net(&self, units: f64) -> f64 {
        (1.0 - self.fee) * units - self.waiting - self.repair - self.work - self.held_back
    }

    /// Costs of repair, equally likely: a log-normal with the mean and variance.
    fn repairs(&self) -> Vec<f64> {
        if self.repair <= 0.0 || self.repair_variance <= 0.0 {
            return vec![self.repair];
        }
        let sd = (self.repair_variance / self.repair.powi(2)).ln_1p().sqrt();
        let node = |i: usize| (sd * normal::quantile((i as f64 + 0.5) / REPAIRS as f64)).exp();
        let nodes: Vec<f64> = (0..REPAIRS).map(node).collect();
        let mean = nodes.iter().sum::<f64>() / REPAIRS as f64;
        nodes.iter().map(|n| self.repair * n / mean).collect()
    }
}

/// The most to pay for a margin: on average, and at a quantile of the sale. In
/// units, below 0 where even a gift would not leave the margin.
pub fn most_to_pay(sale: &SaleForecast, out: &Outgoings, margin: f64, at: f64) -> (f64, f64) {
    (
        out.net(sale.mean) - margin,
        out.net(sale.quantile(at)) - margin,
    )
}

/// What may go wrong when the bike is bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Risk {
    /// Expected margin, in units.
    pub margin: f64,
    /// Chance that it is below 0.
    pub chance_of_loss: f64,
    /// Mean loss, 0 counted where there is none: in units.
    pub shortfall: f64,
}

/// The risk of buying it for `paid` units.
pub fn risk(sale: &SaleForecast, out: &Outgoings, paid: f64) -> Risk {
    let repairs = out.repairs();
    let even =
        |repair: f64| (paid + repair + out.work + out.waiting + out.held_back) / (1.0 - out.fee);
    let mean = |what: &dyn Fn(f64) -> f64| {
        repairs.iter().map(|r| what(even(*r))).sum::<f64>() / repairs.len() as f64
    };
    Risk {
        margin: out.net(sale.mean) - paid,
        chance_of_loss: mean(&|units| sale.chance_below(units)),
        shortfall: (1.0 - out.fee) * mean(&|units| sale.shortfall_below(units)),
    }
}
