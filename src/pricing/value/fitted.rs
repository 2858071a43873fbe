//! The fitted value model: ln of a bike's value and the distribution of one sale.

use super::mixture::Component;
use super::own_sales::OwnSale;
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features::Facts;
use crate::pricing::records::gathered::Gathered;
use crate::pricing::records::observation::Observation;
use crate::statistics::Fit;
use crate::statistics::distribution::student_t::Predictive;
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
    /// Power-prior exponent of the comps, 0 to 1: what each of them counts.
    pub comps_exponent: f64,
    /// Share of the prior in the base bike's value, 0 to 1.
    pub prior_weight: f64,
    /// Own sales, in the order of the records.
    pub own: Vec<OwnSale>,
    /// Numbers of records and what was left out.
    pub gathered: Gathered,
    /// Beliefs that the records contradict: column, its name, studentised distance.
    pub conflicts: Vec<(usize, String, f64)>,
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
    /// that the effects add up to it. They are symmetric and their centres close
    /// together, so an even chance of more or less lies there.
    pub fn ln_value(&self, facts: &Facts) -> f64 {
        self.row(facts)
            .iter()
            .zip(&self.coefficients)
            .map(|(x, b)| x * b)
            .sum()
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
        self.components
            .iter()
            .map(|one| {
                let variance = self.own_variance + one.fit.leverage(&x) + unknown;
                let location = one.fit.predict(&x);
                (
                    one.weight,
                    Predictive {
                        freedom: self.own_freedom,
                        location,
                        scale: self.range_factor * variance.sqrt(),
                    },
                )
            })
            .collect()
    }

    /// Variance of one sale that is not the bike's but chance's: who comes, and
    /// how they haggle.
    pub fn luck_variance(&self) -> f64 {
        (1.0 - self.bike_share) * self.own_variance * self.range_factor.powi(2)
    }

    /// Variance of what buyers see of a bike around its value on the day of the
    /// answer, over all components.
    pub fn bike_variance(&self, facts: &Facts) -> f64 {
        let (x, centre) = (self.row(facts), self.ln_value(facts));
        let doubt = self
            .components
            .iter()
            .map(|p| p.weight * (p.fit.leverage(&x) + (p.fit.predict(&x) - centre).powi(2)))
            .sum();
        self.variance_of_bike(doubt, facts)
    }

    /// ln of the value of a bike priced as an own sale on `day`, and the variance
    /// of what its buyers see around that.
    pub fn value_on(&self, facts: &Facts, day: Day) -> (f64, f64) {
        let mut x = vec![0.0; self.coding.width()];
        self.coding.row(facts, day, None, &mut x);
        let location = x.iter().zip(&self.coefficients).map(|(x, b)| x * b).sum();
        (
            location,
            self.variance_of_bike(self.likeliest().leverage(&x), facts),
        )
    }

    /// The same for a comp, with its own row left out: `x0'b - w (x0'V x) e / (1 - h)`
    /// with `x` its row, `x0` the same bike as an own sale, `w` the weight of the
    /// row and `h = w x'V x`.
    pub fn comp_left_out(&self, seen: &Observation, precision: f64) -> (f64, f64) {
        let width = self.coding.width();
        let (mut x, mut own) = (vec![0.0; width], vec![0.0; width]);
        self.coding
            .row(&seen.facts, seen.day, seen.group.source(), &mut x);
        self.coding.row(&seen.facts, seen.day, None, &mut own);
        let fit = self.likeliest();
        let (a, b) = (fit.whitened(&x), fit.whitened(&own));
        let inner = |p: &[f64], q: &[f64]| p.iter().zip(q).map(|(p, q)| p * q).sum::<f64>();
        let weight = precision * self.comps_exponent;
        let h = (weight * inner(&a, &a)).clamp(0.0, 0.999);
        let residual = seen.ln_price - inner(&x, &self.coefficients);
        let location =
            inner(&own, &self.coefficients) - weight * inner(&a, &b) * residual / (1.0 - h);
        let leverage = inner(&b, &b) + weight * inner(&a, &b).powi(2) / (1.0 - h);
        (location, self.variance_of_bike(leverage, &seen.facts))
    }

    fn variance_of_bike(&self, leverage: f64, facts: &Facts) -> f64 {
        let unknown = self.coding.unknown_variance(facts, &self.coefficients);
        let own = self.bike_share * self.own_variance;
        self.range_factor.powi(2) * (own + leverage + unknown)
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
