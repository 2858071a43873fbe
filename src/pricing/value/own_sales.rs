//! Own sales: their variance, what the model says of each without it, and how
//! well its ranges held them.

use super::initial::OwnRow;
use crate::pricing::prior::prior_rows::PriorRows;
use crate::statistics::distribution::student_t::Predictive;
use crate::statistics::linear::robust::{NORMAL_SCALE, student_t_weight};
use crate::statistics::{Fit, FitProblem, RFactor};
use crate::trade::Day;
use crate::trade::calendar::{DAYS_PER_YEAR, days_between};

/// An own sale as the model saw it.
#[derive(Clone, Debug)]
pub struct OwnSale {
    /// The bike's id.
    pub id: String,
    /// ln of its price.
    pub ln_price: f64,
    /// The day for which the price speaks.
    pub day: Day,
    /// What the model says of it without it.
    pub left_out: Predictive,
    /// Robust weight, about 1 for a usual sale.
    pub weight: f64,
}

/// Own sales that the model's own widths are worth in [`calibrate`].
const WIDTHS_ARE_WORTH: f64 = 4.0;
/// Years after which a sale counts half for where sales have been running of late.
const LATELY: f64 = 0.3;
/// Sales without any lean that stand beside those of late.
const NO_LEAN_IS_WORTH: f64 = 2.0;
/// How often that lean is added to the spread: a market that goes on moving is
/// by now further off than the mean of late, which lags.
const LEAN_COUNTS: f64 = 2.0;

/// How much wider or narrower than the model's widths the own sales fell when
/// each was left out, applied to `sales` too. `z` being their standardised
/// residuals, it is the root of two parts:
///
/// * their mean square (t-weighted, so that one wild sale does not decide), shrunk
///   to 1 as if four sales had shown exactly that. Parts of a range (spread,
///   unknown facts, uncertain coefficients) each have a prior of their own; where
///   a market is calmer or wilder than all of them, only the sum can be seen, and
///   this corrects the sum.
/// * the square of twice their mean of late (weights `a`, half after 110 days):
///   while sales run to one side, the market is moving faster than the model
///   follows, and the next one may lie further on. Of `(sum a z)^2` what chance
///   alone makes, `sum a^2` times the first part, is taken off, and the rest shrunk to
///   0 by two sales.
///
/// Chosen by what ranges held in simulated markets that move (`src/guide/simulations.md`).
pub(in crate::pricing) fn calibrate(sales: &mut [OwnSale], as_of: Day) -> f64 {
    let (mut sum, mut count) = (WIDTHS_ARE_WORTH, WIDTHS_ARE_WORTH);
    let (mut lean, mut weights, mut squares) = (0.0, 0.0, 0.0);
    for sale in sales.iter().filter(|s| s.weight > 0.0) {
        let z = (sale.ln_price - sale.left_out.location) / sale.left_out.scale;
        let robust = student_t_weight(z / NORMAL_SCALE.sqrt());
        sum += robust * z * z / NORMAL_SCALE;
        count += 1.0;
        let years = days_between(sale.day, as_of).max(0) as f64 / DAYS_PER_YEAR;
        let weight = 0.5_f64.powf(years / LATELY);
        lean += weight * z;
        weights += weight;
        squares += weight * weight;
    }
    let spread = sum / count;
    let moving = if squares > 0.0 {
        let beyond_chance = (lean * lean - squares * spread).max(0.0) / weights.powi(2);
        let of_late = weights * weights / squares;
        beyond_chance * of_late / (of_late + NO_LEAN_IS_WORTH)
    } else {
        0.0
    };
    let factor = (spread + LEAN_COUNTS.powi(2) * moving).sqrt();
    for sale in sales {
        sale.left_out.scale *= factor;
    }
    factor
}

/// What the variance of an own sale is before own sales speak.
#[derive(Clone, Copy, Debug, serde::Serialize, serde::Deserialize)]
pub struct StartVariance {
    /// Variance.
    pub variance: f64,
    /// Sales it is worth.
    pub worth: f64,
}

/// The own sales as rows of the design.
pub(in crate::pricing) struct OwnRows {
    pub(in crate::pricing) rows: Vec<OwnRow>,
}

impl OwnRows {
    /// Rows that carry something.
    pub(in crate::pricing) fn used(&self) -> usize {
        self.rows.iter().filter(|row| row.robust > 0.0).count()
    }

    /// The R factor of these rows and the comps, the weight of each comp times
    /// `exponent`.
    pub(in crate::pricing) fn with_comps(
        &self,
        comps: &RFactor,
        exponent: f64,
    ) -> Result<RFactor, FitProblem> {
        let mut data = RFactor::new(comps.columns());
        for row in &self.rows {
            data.push(&row.x, row.ln_price, row.precision)?;
        }
        data.merge(comps, exponent)?;
        Ok(data)
    }

    /// Leverage of each row under the mixture.
    fn leverage(row: &OwnRow, fits: &[Weighed<'_>]) -> f64 {
        fits.iter()
            .map(|one| one.weight * one.fit.leverage(&row.x))
            .sum()
    }

    /// Variance of an own sale: robust squares with leverage-corrected degrees
    /// of freedom, shrunk to the start. Returns the degrees of freedom too.
    pub(in crate::pricing) fn variance(
        &self,
        b: &[f64],
        fits: &[Weighed<'_>],
        start: &StartVariance,
    ) -> (f64, f64) {
        let (mut sum, mut freedom) = (start.worth * start.variance, start.worth);
        for row in self.rows.iter().filter(|r| r.robust > 0.0) {
            let residual: f64 = row.ln_price - row.x.iter().zip(b).map(|(x, b)| x * b).sum::<f64>();
            let total = row.variance + row.unknown;
            let share = row.variance / total;
            let square = row.robust * residual * residual / NORMAL_SCALE;
            let h = (row.precision * Self::leverage(row, fits)).clamp(0.0, 0.999);
            sum += share * share * square + (1.0 - share) * row.variance * (1.0 - h);
            freedom += 1.0 - h;
        }
        (sum / freedom, freedom)
    }

    /// What the fit without each row says of it.
    ///
    /// `h` being the row's leverage, least squares without it leave the residual
    /// `e / (1 - h)`, which is `e (1 + h / (1 - h))`, and the variance of the fit
    /// `V / (1 - h)`. A fit with Student t weights follows a price further than that,
    /// since rows that it leaves behind lose weight: against what is pulled at, the
    /// other rows hold with [`FIRMNESS`] of their weight, the beliefs with all of theirs.
    /// With `d` the share of the other rows in what is known there without this one,
    /// one step of Newton's method leaves
    /// `e (1 + h / (1 - h) / (1 - (1 - FIRMNESS) d))`; held against refits in
    /// `tests/recovery/left_out.rs`.
    pub(in crate::pricing) fn left_out<'a>(
        &'a self,
        fits: &'a [Weighed<'a>],
        (variance, freedom): (f64, f64),
        prior: &'a PriorRows,
    ) -> impl Iterator<Item = Predictive> + 'a {
        let likeliest = fits.iter().max_by(|a, b| a.weight.total_cmp(&b.weight));
        self.rows.iter().map(move |row| {
            let fitted: f64 = fits
                .iter()
                .map(|one| one.weight * one.fit.predict(&row.x))
                .sum();
            let v = Self::leverage(row, fits);
            let h = (row.precision * v).clamp(0.0, 0.999);
            let rows = likeliest.map_or(0.0, |one| prior.share_of_rows(one.fit, one.scale, &row.x));
            let others = ((rows - h) / (1.0 - h)).clamp(0.0, 1.0);
            let pulled = h / (1.0 - h) / (1.0 - (1.0 - FIRMNESS) * others);
            Predictive {
                freedom: (freedom - 1.0).max(2.0),
                location: row.ln_price - (row.ln_price - fitted) * (1.0 + pulled),
                scale: (variance + row.unknown + v / (1.0 - h)).sqrt(),
            }
        })
    }
}

/// A fit, its weight in the answer and the scale of its priors.
#[derive(Clone, Copy)]
pub(in crate::pricing) struct Weighed<'a> {
    pub(in crate::pricing) weight: f64,
    pub(in crate::pricing) scale: f64,
    pub(in crate::pricing) fit: &'a Fit,
}

/// How firmly rows with Student t weights hold, of their weight: expected curvature of
/// the log density over expected weight, `(nu + 1) / (nu + 3)` at 4 degrees of freedom.
const FIRMNESS: f64 = 5.0 / 7.0;

#[cfg(test)]
mod tests {
    use super::{OwnRow, OwnRows, OwnSale, StartVariance, Weighed, calibrate};
    use crate::pricing::design::features::Facts;
    use crate::pricing::value::initial::Said;
    use crate::statistics::distribution::student_t::Predictive;
    use crate::statistics::linear::robust::NORMAL_SCALE;
    use crate::statistics::{Fit, RFactor};
    use crate::trade::Day;

    const TODAY: Day = Day::constant(2026, 3, 1);

    fn row(robust: f64, unknown: f64) -> OwnRow {
        OwnRow {
            id: "B-1".into(),
            ln_price: 5.3,
            day: TODAY,
            x: vec![1.0],
            variance: 0.04,
            unknown,
            robust,
            precision: 1.0,
            facts: Facts::of_base(),
            said: Said::default(),
        }
    }

    /// By hand: rows of the weight 4 leave the leverage 1/4; of a residual of 0.3 half is the
    /// sale's own where unknown facts add as much, and the rest of its part is what was
    /// believed of it, less the leverage. A row of no weight says nothing.
    #[test]
    fn half_of_a_miss_is_laid_to_what_is_unknown() {
        let mut known = RFactor::new(1);
        known.push(&[1.0], 5.0, 4.0).unwrap();
        let fit = Fit::of(&known, &["level".to_string()]).unwrap();
        let fits = [Weighed {
            weight: 1.0,
            scale: 1.0,
            fit: &fit,
        }];
        let rows = OwnRows {
            rows: vec![row(1.0, 0.04), row(0.0, 0.04)],
        };
        let start = StartVariance {
            variance: 0.05,
            worth: 2.0,
        };
        let (variance, freedom) = rows.variance(&[5.0], &fits, &start);
        let square: f64 = 0.09 / NORMAL_SCALE;
        let sum = 2.0 * 0.05 + 0.25 * square + 0.5 * 0.04 * 0.75;
        assert!((freedom - 2.75).abs() < 1e-12, "{freedom}");
        assert!((variance - sum / 2.75).abs() < 1e-12, "{variance}");
    }

    /// By hand, of two sales a year apart that fell 1 and 2 widths above: the older counts
    /// `0.5^(365/365.2425/0.3)` for where prices run of late.
    #[test]
    fn sales_that_run_to_one_side_widen_the_ranges() {
        let sale = |day: Day, z: f64| OwnSale {
            id: "B-1".into(),
            ln_price: 5.0 + 0.2 * z,
            day,
            left_out: Predictive {
                freedom: 9.0,
                location: 5.0,
                scale: 0.2,
            },
            weight: 1.0,
        };
        let mut sales = [sale(Day::constant(2025, 3, 1), 1.0), sale(TODAY, 2.0)];
        let factor = calibrate(&mut sales, TODAY);
        let robust = |z: f64| {
            // A weight of (nu + 1) / (nu + u²), nu = 4, as the fit has it.
            let u = z / NORMAL_SCALE.sqrt();
            5.0 / (4.0 + u * u) * z * z / NORMAL_SCALE
        };
        let spread = (4.0 + robust(1.0) + robust(2.0)) / 6.0;
        let old = 0.5_f64.powf(365.0 / 365.2425 / 0.3);
        let (lean, weights, squares) = (old + 2.0, old + 1.0, old * old + 1.0);
        let beyond = (lean * lean - squares * spread) / (weights * weights);
        let of_late = weights * weights / squares;
        let moving = beyond * of_late / (of_late + 2.0);
        assert!(moving > 0.1, "{moving}");
        let expected = (spread + 4.0 * moving).sqrt();
        assert!((factor - expected).abs() < 1e-12, "{factor} {expected}");
        for sale in &sales {
            assert!((sale.left_out.scale - 0.2 * factor).abs() < 1e-15);
        }
    }
}
