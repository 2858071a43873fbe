//! The value model: a recipe ([`ValueModel`]) and what it learns ([`FittedValue`]).
//!
//! One Bayesian linear model of ln price over own sales and comps, fitted as
//! augmented weighted least squares:
//!
//! `ln P_i = x_i' b + e_i`, `Var e_i = s_g^2 + (what unknown facts leave)`, with
//! a prior row for each column. Groups of comps have an offset and a variance
//! each; Student t weights (4 degrees) keep wild rows from deciding; the scale
//! of the priors is averaged over seven values by their evidence; from eight
//! own sales on, the weight of all comps is chosen by how well own sales are
//! predicted when left out (a power prior, Ibrahim & Chen 2000, from memory).

use super::features::{self, Coding, FACTS, Facts};
use super::fitting::{self, Gathered, Watch};
use super::observation::{Group, Records, RecordsError};
use super::priors::Priors;
use crate::statistics::conjugate::Conjugate;
use crate::statistics::interval::Predictive;
use crate::statistics::robust::{DEGREES, NORMAL_SCALE, Weighting};
use crate::statistics::{Fit, FitProblem, Triangle};
use crate::trade::{Currency, Day};

/// Scales of all priors that are averaged, with their prior weights: 1 is the
/// shipped belief, 10 is ten times as sure of it.
const SCALES: [(f64, f64); 7] = [
    (0.1, 0.05),
    (0.25, 0.1),
    (0.5, 0.2),
    (1.0, 0.3),
    (2.0, 0.2),
    (4.0, 0.1),
    (10.0, 0.05),
];

/// Weights of all comps that are tried.
const COMPS_WEIGHTS: [f64; 5] = [1.0, 0.5, 0.25, 0.125, 0.0625];

/// Log score that a halving of the comps' weight must gain. Without it the
/// choice follows the noise of a few sales: over 60 simulated markets with 40
/// own sales and 200 comps the model's median error fell from 1.25 to 1.22 times
/// the oracle's, and a further point of cost changed nothing.
const A_HALVING_COSTS: f64 = 1.0;

/// Own sales from which on the comps' weight is chosen.
const SALES_TO_WEIGH_COMPS: usize = 8;

/// Shape of the inverse-gamma prior of the variance (6 degrees of freedom).
const SHAPE: f64 = 3.0;

/// What the model is asked.
#[derive(Clone, Debug)]
pub struct ValueSettings {
    /// The day of the answer; nothing later is used.
    pub as_of: Day,
    /// The book's currency.
    pub currency: Currency,
    /// An own bike to leave out (the one that is priced).
    pub without: Option<String>,
}

/// The recipe.
#[derive(Clone, Debug)]
pub struct ValueModel<'a> {
    /// The beliefs it starts from.
    pub priors: &'a Priors,
    /// What it is asked.
    pub settings: ValueSettings,
}

/// Why there is no fitted model.
#[derive(Debug, thiserror::Error)]
pub enum NoFit {
    /// The records hold no price at all.
    #[error("there are no prices in the records")]
    NoRecords,
    /// The records could not be read.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// The least squares were refused.
    #[error(transparent)]
    Fit(#[from] FitProblem),
}

/// A fit under one scale of the priors.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its share in the answer; all parts add up to 1.
    pub share: f64,
    /// Scale of the priors.
    pub scale: f64,
    /// The fit.
    pub fit: Fit,
}

/// An own sale as the model saw it.
#[derive(Clone, Debug)]
pub struct OwnSale {
    /// The bike's id.
    pub id: String,
    /// ln of its price.
    pub ln_price: f64,
    /// What the model says of it without it.
    pub left_out: Predictive,
    /// Robust weight, about 1 for a usual sale.
    pub weight: f64,
}

/// The fitted model.
#[derive(Clone, Debug)]
pub struct FittedValue {
    /// The coding of its rows.
    pub coding: Coding,
    /// The book's currency.
    pub currency: Currency,
    /// Fits by scale of the priors.
    pub parts: Vec<Part>,
    /// Mean coefficients over the parts.
    pub coefficients: Vec<f64>,
    /// Variance of one own sale around its value.
    pub own_variance: f64,
    /// Degrees of freedom of that variance.
    pub own_freedom: f64,
    /// What the scale of every range is multiplied by, from how the own sales
    /// fell when each was left out; 1 without own sales.
    pub range_factor: f64,
    /// Weight of all comps, 0 to 1.
    pub comps_weight: f64,
    /// Share of the prior in the base bike's value, 0 to 1.
    pub prior_weight: f64,
    /// Own sales, in the order of the records.
    pub own: Vec<OwnSale>,
    /// Numbers of records and what was left out.
    pub gathered: Gathered,
    /// Beliefs that the records contradict: column, studentised distance.
    pub conflicts: Vec<(String, f64)>,
}

impl ValueModel<'_> {
    /// Fits the model; `watch` is shown every comp with the pilot coefficients.
    ///
    /// # Errors
    /// [`NoFit`]; never a fit with a number that is not finite.
    pub fn fit(&self, records: &dyn Records, watch: &mut dyn Watch) -> Result<FittedValue, NoFit> {
        let reduced = fitting::reduce(self, records, watch)?;
        let mut coding = reduced.coding;
        let names = coding.names();
        let prior = Prior::new(self.priors, &coding, reduced.centre);
        let own = OwnRows { rows: reduced.own };
        let mut comps_weight = 1.0;
        let mut best = f64::NEG_INFINITY;
        let candidates = if own.rows.len() >= SALES_TO_WEIGH_COMPS && reduced.comps.rows() > 0 {
            &COMPS_WEIGHTS[..]
        } else {
            &COMPS_WEIGHTS[..1]
        };
        if candidates.len() > 1 {
            for candidate in candidates {
                let data = own.with_comps(&reduced.comps, *candidate)?;
                let fit = prior.fit(&data, 1.0, &names)?;
                let (variance, freedom) =
                    own.variance(&fit.coefficients, &[(1.0, &fit)], &reduced.start);
                let score: f64 = own
                    .left_out(&[(1.0, &fit)], variance, freedom)
                    .zip(&own.rows)
                    .map(|(p, row)| p.ln_density(row.ln_price))
                    .sum();
                let score = score + A_HALVING_COSTS * candidate.log2();
                if score > best {
                    (best, comps_weight) = (score, *candidate);
                }
            }
        }
        let data = own.with_comps(&reduced.comps, comps_weight)?;
        let n = own.rows.len() as f64 + comps_weight * reduced.comps.rows() as f64;
        let mut parts = Vec::with_capacity(SCALES.len());
        for (scale, chance) in SCALES {
            let fit = prior.fit(&data, scale, &names)?;
            let model = Conjugate {
                a0: SHAPE,
                b0: SHAPE,
                n,
                log_det_prior: prior.log_det(scale),
                log_weights: data.log_weights(),
            };
            parts.push((chance.ln() + model.log_evidence(&fit), scale, fit));
        }
        let top = parts.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
        let whole: f64 = parts.iter().map(|p| (p.0 - top).exp()).sum();
        let parts: Vec<Part> = parts
            .into_iter()
            .map(|(log, scale, fit)| Part {
                share: (log - top).exp() / whole,
                scale,
                fit,
            })
            .collect();
        let mut coefficients = vec![0.0; coding.width()];
        for part in &parts {
            for (sum, b) in coefficients.iter_mut().zip(&part.fit.coefficients) {
                *sum += part.share * b;
            }
        }
        let shares: Vec<(f64, &Fit)> = parts.iter().map(|p| (p.share, &p.fit)).collect();
        let (own_variance, own_freedom) = own.variance(&coefficients, &shares, &reduced.start);
        let mut sales: Vec<OwnSale> = own
            .left_out(&shares, own_variance, own_freedom)
            .zip(&own.rows)
            .map(|(left_out, row)| OwnSale {
                id: row.id.clone(),
                ln_price: row.ln_price,
                left_out,
                weight: row.robust,
            })
            .collect();
        let range_factor = calibrate(&mut sales);
        let prior_weight = prior.share_in_base(&parts, &mut coding);
        let conflicts = prior.conflicts(&parts, &names);
        Ok(FittedValue {
            coding,
            currency: self.settings.currency,
            coefficients,
            own_variance,
            own_freedom,
            range_factor,
            comps_weight,
            prior_weight,
            own: sales,
            gathered: reduced.gathered,
            conflicts,
            parts,
        })
    }
}

impl FittedValue {
    /// The row of a bike priced as an own sale on the day of the answer.
    pub fn row(&self, facts: &Facts) -> Vec<f64> {
        let mut coding = self.coding.clone();
        let mut x = vec![0.0; coding.width()];
        let day = coding.as_of;
        coding.row(facts, day, None, &mut x);
        x
    }

    /// ln of the value of a bike: the centre of its predictive distribution.
    pub fn ln_value(&self, facts: &Facts) -> f64 {
        self.row(facts)
            .iter()
            .zip(&self.coefficients)
            .map(|(x, b)| x * b)
            .sum()
    }

    /// The predictive distribution of ln of ONE sale price: parts with their
    /// shares. Scale: own-sale variance, leverage, and what is unknown.
    pub fn one_sale(&self, facts: &Facts) -> Vec<(f64, Predictive)> {
        let x = self.row(facts);
        let unknown = self
            .coding
            .clone()
            .unknown_variance(facts, &self.coefficients);
        self.parts
            .iter()
            .map(|part| {
                let variance = self.own_variance + part.fit.leverage(&x) + unknown;
                let location = part.fit.predict(&x);
                (
                    part.share,
                    Predictive {
                        freedom: self.own_freedom,
                        location,
                        scale: self.range_factor * variance.sqrt(),
                    },
                )
            })
            .collect()
    }
}

/// Own sales that the model's own widths are worth in [`calibrate`].
const WIDTHS_ARE_WORTH: f64 = 8.0;

/// How much wider or narrower than the model's widths the own sales fell when
/// each was left out: the root of the mean squared standardised residual
/// (t-weighted, so that one wild sale does not decide), shrunk to 1 as if eight
/// sales had shown exactly that. Applied to `sales` too.
///
/// Parts of a range (spread, unknown facts, uncertain coefficients) each have a
/// prior of their own; where a market is calmer or wilder than all of them, only
/// the sum can be seen, and this corrects the sum.
fn calibrate(sales: &mut [OwnSale]) -> f64 {
    let (mut sum, mut count) = (WIDTHS_ARE_WORTH, WIDTHS_ARE_WORTH);
    for sale in sales.iter().filter(|s| s.weight > 0.0) {
        let z = (sale.ln_price - sale.left_out.location) / sale.left_out.scale;
        let weight = Weighting::StudentT(DEGREES).weight(z / NORMAL_SCALE.sqrt());
        sum += weight * z * z / NORMAL_SCALE;
        count += 1.0;
    }
    let factor = (sum / count).sqrt();
    sales
        .iter_mut()
        .for_each(|sale| sale.left_out.scale *= factor);
    factor
}

/// Prior rows of the augmented system.
pub(super) struct Prior {
    /// Mean and precision (1 / sd^2) of each column at scale 1.
    beliefs: Vec<(f64, f64)>,
    bounds: crate::statistics::Bounds,
}

impl Prior {
    /// The intercept is nearly flat (sd 1) around `centre`, the records' own
    /// level, so that a market ten times dearer needs no setting.
    pub(super) fn new(priors: &Priors, coding: &Coding, centre: f64) -> Self {
        let mut beliefs: Vec<(f64, f64)> = priors
            .beliefs()
            .iter()
            .map(|b| (b.mean, 1.0 / (b.sd * b.sd)))
            .collect();
        beliefs[0] = (centre, 1.0);
        let step = priors.market.quarter;
        beliefs.extend(
            coding
                .step_spread
                .iter()
                .map(|s| (step.mean, 1.0 / (s * step.sd).powi(2))),
        );
        let falling = features::AGE.take(3).map(|j| (j, f64::NEG_INFINITY, 0.0));
        let rising = features::CONDITION
            .chain(features::TIER)
            .map(|j| (j, 0.0, f64::INFINITY));
        let bounds = crate::statistics::Bounds {
            limits: falling.chain(rising).collect(),
        };
        Self { beliefs, bounds }
    }

    fn precision(&self, column: usize, scale: f64) -> f64 {
        self.beliefs[column].1 * if column == 0 { 1.0 } else { scale }
    }

    fn log_det(&self, scale: f64) -> f64 {
        (0..self.beliefs.len())
            .map(|j| self.precision(j, scale).ln())
            .sum()
    }

    /// Means of all columns, to start from.
    pub(super) fn means(&self) -> Vec<f64> {
        self.beliefs.iter().map(|b| b.0).collect()
    }

    /// The fit of `data` with the prior rows at `scale`, within the bounds.
    pub(super) fn fit(
        &self,
        data: &Triangle,
        scale: f64,
        names: &[String],
    ) -> Result<Fit, FitProblem> {
        let mut all = data.clone();
        let mut x = vec![0.0; self.beliefs.len()];
        for j in 0..x.len() {
            x[j] = 1.0;
            all.push(&x, self.beliefs[j].0, self.precision(j, scale))?;
            x[j] = 0.0;
        }
        Fit::within(&all, names, &self.bounds)
    }

    /// Share of the prior rows in the variance of the base bike's value:
    /// `x' V L0 V x / x' V x` with V the posterior covariance.
    fn share_in_base(&self, parts: &[Part], coding: &mut Coding) -> f64 {
        let mut base = Facts {
            values: [0.0; FACTS],
            known: features::ALL_KNOWN & !features::NEW_KNOWN,
        };
        base.values[features::STYLE.start - 1 + features::BASE_STYLE.index()] = 1.0;
        let mut x = vec![0.0; coding.width()];
        let day = coding.as_of;
        coding.row(&base, day, None, &mut x);
        parts
            .iter()
            .map(|part| {
                let white = part.fit.whitened(&x);
                let whole: f64 = white.iter().map(|v| v * v).sum();
                let mut unit = vec![0.0; x.len()];
                let from_prior: f64 = (0..x.len())
                    .map(|j| {
                        unit[j] = 1.0;
                        let vx: f64 = part
                            .fit
                            .whitened(&unit)
                            .iter()
                            .zip(&white)
                            .map(|(a, b)| a * b)
                            .sum();
                        unit[j] = 0.0;
                        self.precision(j, part.scale) * vx * vx
                    })
                    .sum();
                part.share * (from_prior / whole).clamp(0.0, 1.0)
            })
            .sum()
    }

    /// Prior rows whose studentised residual is beyond 2.5: what the records
    /// contradict. Columns of one effect are told once, at their worst.
    fn conflicts(&self, parts: &[Part], names: &[String]) -> Vec<(String, f64)> {
        let mut found: Vec<(String, f64)> = Vec::new();
        let mut unit = vec![0.0; self.beliefs.len()];
        for j in 1..self.beliefs.len() {
            unit[j] = 1.0;
            let t: f64 = parts
                .iter()
                .map(|part| {
                    let precision = self.precision(j, 1.0);
                    let spread = (1.0 / precision - part.fit.leverage(&unit)).max(1e-3 / precision);
                    part.share * (part.fit.coefficients[j] - self.beliefs[j].0) / spread.sqrt()
                })
                .sum();
            unit[j] = 0.0;
            if t.abs() > 2.5 {
                found.push((names[j].clone(), t));
            }
        }
        found
    }
}

/// What the variance of an own sale is before own sales speak.
#[derive(Clone, Copy, Debug)]
pub struct StartVariance {
    /// Variance.
    pub variance: f64,
    /// Sales it is worth.
    pub worth: f64,
}

struct OwnRows {
    rows: Vec<fitting::OwnRow>,
}

impl OwnRows {
    fn with_comps(&self, comps: &Triangle, weight: f64) -> Result<Triangle, FitProblem> {
        let mut data = Triangle::new(comps.columns());
        for row in &self.rows {
            data.push(&row.x, row.ln_price, row.precision)?;
        }
        data.merge(comps, weight)?;
        Ok(data)
    }

    /// Leverage of each row under the mixture.
    fn leverage(row: &fitting::OwnRow, parts: &[(f64, &Fit)]) -> f64 {
        parts
            .iter()
            .map(|(share, fit)| share * fit.leverage(&row.x))
            .sum()
    }

    /// Variance of an own sale: robust squares with leverage-corrected degrees
    /// of freedom, shrunk to the start. Returns the degrees of freedom too.
    fn variance(&self, b: &[f64], parts: &[(f64, &Fit)], start: &StartVariance) -> (f64, f64) {
        let (mut sum, mut freedom) = (start.worth * start.variance, start.worth);
        for row in self.rows.iter().filter(|r| r.robust > 0.0) {
            let residual: f64 = row.ln_price - row.x.iter().zip(b).map(|(x, b)| x * b).sum::<f64>();
            let total = row.variance + row.unknown;
            let share = row.variance / total;
            let square = row.robust * residual * residual / NORMAL_SCALE;
            let h = (row.precision * Self::leverage(row, parts)).clamp(0.0, 0.999);
            sum += share * share * square + (1.0 - share) * row.variance * (1.0 - h);
            freedom += 1.0 - h;
        }
        (sum / freedom, freedom)
    }

    /// What the fit without each row says of it. Exact for the row's weight:
    /// the residual is `e / (1 - h)` and the variance of the fit `V / (1 - h)`.
    fn left_out<'a>(
        &'a self,
        parts: &'a [(f64, &'a Fit)],
        variance: f64,
        freedom: f64,
    ) -> impl Iterator<Item = Predictive> + 'a {
        self.rows.iter().map(move |row| {
            let fitted: f64 = parts
                .iter()
                .map(|(share, fit)| share * fit.predict(&row.x))
                .sum();
            let v = Self::leverage(row, parts);
            let h = (row.precision * v).clamp(0.0, 0.999);
            let location = row.ln_price - (row.ln_price - fitted) / (1.0 - h);
            let scale = (variance + row.unknown + v / (1.0 - h)).sqrt();
            Predictive {
                freedom: (freedom - 1.0).max(2.0),
                location,
                scale,
            }
        })
    }
}

/// Variances of the groups before their rows speak, in the order of [`Group::ALL`].
pub(super) fn start_variances(priors: &Priors) -> [f64; 6] {
    let asks = &priors.asks;
    Group::ALL.map(|group| match group {
        Group::Own => priors.noise.powi(2),
        Group::Price => asks.price.noise.powi(2),
        Group::Sold => asks.sold.noise.powi(2),
        Group::Gone => asks.gone.noise.powi(2),
        Group::Listed => asks.listed.noise.powi(2),
        Group::Withdrawn => asks.withdrawn.noise.powi(2),
    })
}
