//! The fitted value model: ln of a bike's value and the distribution of one sale.

use super::depreciation::{Depreciation, Opinion};
use super::levels::Levels;
use super::mixture::Component;
use super::own_sales::OwnSale;
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features::Facts;
use crate::pricing::eye::learnt::Eye;
use crate::pricing::eye::look::Look;
use crate::pricing::records::gathered::Gathered;
use crate::pricing::records::observation::Observation;
use crate::statistics::distribution::student_t::{Predictive, quantile};
use crate::statistics::{Fit, dot};
use crate::trade::{Currency, Day};

/// The fitted model.
#[derive(Clone, Debug)]
pub struct FittedValue {
    /// The coding of its rows.
    pub coding: Coding,
    /// The book's currency.
    pub currency: Currency,
    /// Fits by scale of the priors.
    pub components: Vec<Component>,
    /// Mean coefficients over the components.
    pub coefficients: Vec<f64>,
    /// Variance of one own sale around its value.
    pub own_variance: f64,
    /// Share of it that is the bike itself, seen by every buyer.
    pub bike_share: f64,
    /// Degrees of freedom of that variance.
    pub own_freedom: f64,
    /// What the scale of every range is multiplied by, from how the own sales
    /// fell when each was left out; 1 without own sales.
    pub range_factor: f64,
    /// Which level of its ranges holds what is asked.
    pub levels: Levels,
    /// Power-prior exponent of the comps, 0 to 1: what each of them counts.
    pub comps_exponent: f64,
    /// Share of the prior in the base bike's value, 0 to 1.
    pub prior_weight: f64,
    /// The second opinion on bikes whose new price is known.
    pub depreciation: Depreciation,
    /// Own sales, in the order of the records.
    pub own: Vec<OwnSale>,
    /// The user's own eye.
    pub eye: Eye,
    /// Numbers of records and what was left out.
    pub gathered: Gathered,
    /// Beliefs that the records contradict: column, its name, studentised distance.
    pub conflicts: Vec<(usize, String, f64)>,
}

/// What the second opinion does to the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SecondOpinion {
    /// What it moves ln of the value by.
    pub moves: f64,
    /// What it multiplies the variance of the fit by.
    pub narrows: f64,
}

impl FittedValue {
    /// The row of a bike priced as an own sale on the day of the answer.
    pub fn row(&self, facts: &Facts) -> Vec<f64> {
        let coding = &self.coding;
        let mut x = vec![0.0; coding.width()];
        let day = coding.as_of;
        coding.row(facts, day, None, &mut x);
        x
    }

    /// ln of the value of a bike: the mean of the centres of the components, so
    /// that the effects add up to it, and what the second opinion moves it by. They are
    /// symmetric and their centres close together, so half of all sales lie below.
    pub fn ln_value(&self, facts: &Facts) -> f64 {
        let x = self.row(facts);
        dot(&x, &self.coefficients) + self.second_opinion(facts, &x).moves
    }

    /// What the second opinion does to a bike with the row `x`.
    pub fn second_opinion(&self, facts: &Facts, x: &[f64]) -> SecondOpinion {
        let centre = dot(x, &self.coefficients);
        let parts = self.components.iter();
        let doubt = parts.map(|one| {
            let apart = one.fit.predict(x) - centre;
            one.weight * (one.fit.leverage(x) + apart * apart)
        });
        self.with_opinion(facts, x, doubt.sum())
    }

    /// The same where the variance of the fit there is known. What unknown facts leave
    /// is not in it: they leave it to both opinions alike.
    fn with_opinion(&self, facts: &Facts, x: &[f64], doubt: f64) -> SecondOpinion {
        let Some(opinion) = self.depreciation.opinion(facts, x) else {
            return SecondOpinion {
                moves: 0.0,
                narrows: 1.0,
            };
        };
        let first = Opinion {
            mean: dot(x, &self.coefficients),
            variance: doubt,
        };
        let both = first.and(opinion);
        SecondOpinion {
            moves: both.mean - first.mean,
            narrows: if doubt > 0.0 {
                both.variance / doubt
            } else {
                1.0
            },
        }
    }

    /// The ends, in ln, of the range that holds a share `level` of single sales of a bike.
    pub fn range(&self, facts: &Facts, level: f64) -> (f64, f64) {
        let (sale, level) = (self.one_sale(facts), self.levels.that_holds(level));
        let end = |p: f64| quantile(&sale, p);
        (end((1.0 - level) / 2.0), end(f64::midpoint(1.0, level)))
    }

    /// The predictive distribution of ln of ONE sale price: a mixture, each
    /// component with its weight. Scale: own-sale variance, leverage, and what is unknown.
    pub fn one_sale(&self, facts: &Facts) -> Vec<(f64, Predictive)> {
        self.one_sale_on(facts, self.coding.as_of)
    }

    /// The same for a bike that is listed on `day`.
    pub fn one_sale_on(&self, facts: &Facts, day: Day) -> Vec<(f64, Predictive)> {
        let mut x = vec![0.0; self.coding.width()];
        self.coding.row(facts, day, None, &mut x);
        let unknown = self.coding.unknown_variance(facts, &self.coefficients);
        let second = self.second_opinion(facts, &x);
        let parts = self.components.iter();
        let parts = parts.map(|one| {
            let doubt = one.fit.leverage(&x) * second.narrows + unknown;
            let sale = Predictive {
                freedom: self.own_freedom,
                location: one.fit.predict(&x) + second.moves,
                scale: self.range_factor * (self.own_variance + doubt).sqrt(),
            };
            (one.weight, sale)
        });
        parts.collect()
    }

    /// Variance of one sale that is not the bike's but chance's: who comes, and
    /// how they haggle.
    pub fn luck_variance(&self) -> f64 {
        (1.0 - self.bike_share) * self.own_variance * self.range_factor.powi(2)
    }

    /// Variance of what buyers see of a bike around its value on the day of the
    /// answer, over all components.
    pub fn bike_variance(&self, facts: &Facts) -> f64 {
        let x = self.row(facts);
        let centre = dot(&x, &self.coefficients);
        let doubt = self
            .components
            .iter()
            .map(|p| p.weight * (p.fit.leverage(&x) + (p.fit.predict(&x) - centre).powi(2)))
            .sum();
        self.value_with_doubt(facts, &x, doubt).1
    }

    /// ln of the value of a bike priced as an own sale on `day`, and the variance
    /// of what its buyers see around that.
    pub fn value_on(&self, facts: &Facts, day: Day) -> (f64, f64) {
        let mut x = vec![0.0; self.coding.width()];
        self.coding.row(facts, day, None, &mut x);
        self.value_with_doubt(facts, &x, self.likeliest().leverage(&x))
    }

    /// The same for a comp, with its own row left out: `x0'b - w (x0'V x) e / (1 - h)`
    /// with `x` its row, `x0` the same bike as an own sale, `w` the weight of the
    /// row and `h = w x'V x`.
    pub fn comp_left_out(&self, seen: &Observation, precision: f64) -> (f64, f64) {
        let width = self.coding.width();
        let (mut x, mut own) = (vec![0.0; width], vec![0.0; width]);
        self.coding.row(&seen.facts, seen.day, seen.asked(), &mut x);
        self.coding.row(&seen.facts, seen.day, None, &mut own);
        let fit = self.likeliest();
        let (a, b) = (fit.whitened(&x), fit.whitened(&own));
        let inner = |p: &[f64], q: &[f64]| p.iter().zip(q).map(|(p, q)| p * q).sum::<f64>();
        let weight = precision * self.comps_exponent;
        let h = (weight * inner(&a, &a)).clamp(0.0, 0.999);
        let residual = seen.ln_price - inner(&x, &self.coefficients);
        let shift = weight * inner(&a, &b) * residual / (1.0 - h);
        let leverage = inner(&b, &b) + weight * inner(&a, &b).powi(2) / (1.0 - h);
        let (location, variance) = self.value_with_doubt(&seen.facts, &own, leverage);
        (location - shift, variance)
    }

    /// What a guess (ln of units) does to the value of a bike that is listed on `day`.
    pub fn look(&self, facts: &Facts, day: Day, guess: f64) -> Look {
        let (ln_value, bike) = self.value_on(facts, day);
        self.eye.look(guess - ln_value, bike)
    }

    /// ln of the value of a bike with the row `x`, and the variance of what its buyers
    /// see around that, where the fit's own variance there is `leverage`.
    fn value_with_doubt(&self, facts: &Facts, x: &[f64], leverage: f64) -> (f64, f64) {
        let unknown = self.coding.unknown_variance(facts, &self.coefficients);
        let second = self.with_opinion(facts, x, leverage);
        let own = self.bike_share * self.own_variance;
        (
            dot(x, &self.coefficients) + second.moves,
            self.range_factor.powi(2) * (own + leverage * second.narrows + unknown),
        )
    }

    /// The fit of the heaviest component.
    fn likeliest(&self) -> &Fit {
        let best = self
            .components
            .iter()
            .max_by(|a, b| a.weight.total_cmp(&b.weight));
        &best.unwrap_or(&self.components[0]).fit
    }
}
