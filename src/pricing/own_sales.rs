//! Own sales: their variance, what the model says of each without it, and how
//! well its ranges held them.

use super::pilot::OwnRow;
use crate::statistics::interval::Predictive;
use crate::statistics::robust::{DEGREES, NORMAL_SCALE, Weighting};
use crate::statistics::{Fit, FitProblem, Triangle};

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

/// Own sales that the model's own widths are worth in [`calibrate`].
const WIDTHS_ARE_WORTH: f64 = 5.0;

/// How much wider or narrower than the model's widths the own sales fell when
/// each was left out: the root of the mean squared standardised residual
/// (t-weighted, so that one wild sale does not decide), shrunk to 1 as if five
/// sales had shown exactly that. Applied to `sales` too.
///
/// Parts of a range (spread, unknown facts, uncertain coefficients) each have a
/// prior of their own; where a market is calmer or wilder than all of them, only
/// the sum can be seen, and this corrects the sum.
pub(super) fn calibrate(sales: &mut [OwnSale]) -> f64 {
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

/// What the variance of an own sale is before own sales speak.
#[derive(Clone, Copy, Debug)]
pub struct StartVariance {
    /// Variance.
    pub variance: f64,
    /// Sales it is worth.
    pub worth: f64,
}

pub(super) struct OwnRows {
    pub(super) rows: Vec<OwnRow>,
}

impl OwnRows {
    pub(super) fn with_comps(&self, comps: &Triangle, weight: f64) -> Result<Triangle, FitProblem> {
        let mut data = Triangle::new(comps.columns());
        for row in &self.rows {
            data.push(&row.x, row.ln_price, row.precision)?;
        }
        data.merge(comps, weight)?;
        Ok(data)
    }

    /// Leverage of each row under the mixture.
    fn leverage(row: &OwnRow, parts: &[(f64, &Fit)]) -> f64 {
        parts
            .iter()
            .map(|(share, fit)| share * fit.leverage(&row.x))
            .sum()
    }

    /// Variance of an own sale: robust squares with leverage-corrected degrees
    /// of freedom, shrunk to the start. Returns the degrees of freedom too.
    pub(super) fn variance(
        &self,
        b: &[f64],
        parts: &[(f64, &Fit)],
        start: &StartVariance,
    ) -> (f64, f64) {
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
    pub(super) fn left_out<'a>(
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
