//! How well predictions fit what came true, by the measures with which assessors
//! of property are judged: IAAO, *Standard on Ratio Studies*, April 2013.

use super::ranks::spearman;
use crate::statistics::distribution::student_t::student_t_quantile;
use crate::statistics::linear::design::Design;
use crate::statistics::linear::least_squares::Fit;
use crate::statistics::linear::robust::median;

/// Measures of the ratios predicted / actual (IAAO 2013). Level: the averages.
/// Uniformity: the COD. Whether the dear are judged like the cheap: the PRD, the
/// PRB and the rank correlation.
#[derive(Clone, Debug, PartialEq)]
pub struct RatioStudy {
    /// Number of ratios.
    pub sales: usize,
    /// Median ratio.
    pub median: f64,
    /// Its interval from order statistics; `None` with too few ratios for it.
    pub median_interval: Option<(f64, f64)>,
    /// Mean ratio.
    pub mean: f64,
    /// Sum of the predictions over the sum of what came true.
    pub weighted_mean: f64,
    /// Coefficient of dispersion: mean distance from the median ratio, in percent of it.
    pub cod: f64,
    /// Price-related differential: mean over weighted mean. Above 1 where the
    /// dear are predicted too low beside the cheap.
    pub prd: f64,
    /// Price-related bias; `None` where it cannot be had.
    pub prb: Option<Prb>,
    /// Spearman's rank correlation of the ratio with what came true; `None` below
    /// three ratios or where either is all alike.
    pub spearman: Option<f64>,
}

/// Price-related bias: by which part of itself the ratio rises with each doubling of value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prb {
    /// Slope of `(r - M) / M` on `log2((predicted / M + actual) / 2)`, with M the
    /// median ratio.
    pub slope: f64,
    /// Its standard error.
    pub standard_error: f64,
    /// Its Student t interval, n - 2 degrees of freedom.
    pub interval: (f64, f64),
}

impl RatioStudy {
    /// The study of `(predicted, actual)` at a confidence above 0 and below 1.
    /// `None` when there are no pairs, or a number in them is not finite and above 0.
    ///
    /// ```
    /// use wheelworth::statistics::evaluation::ratio_study::RatioStudy;
    /// let study = RatioStudy::of(&[(90.0, 100.0), (200.0, 200.0), (330.0, 300.0)], 0.95).unwrap();
    /// assert_eq!(study.median, 1.0);
    /// assert!((study.cod - 100.0 * 0.2 / 3.0).abs() < 1e-9);
    /// ```
    pub fn of(pairs: &[(f64, f64)], confidence: f64) -> Option<Self> {
        let sound = |v: f64| v.is_finite() && v > 0.0;
        if pairs.is_empty() || !pairs.iter().all(|(p, a)| sound(*p) && sound(*a)) {
            return None;
        }
        let count = pairs.len() as f64;
        let mut ratios: Vec<f64> = pairs.iter().map(|(p, a)| p / a).collect();
        let (predicted, actual) = pairs
            .iter()
            .fold((0.0, 0.0), |(p, a), pair| (p + pair.0, a + pair.1));
        let centre = median(ratios.clone());
        let mean = ratios.iter().sum::<f64>() / count;
        let weighted_mean = predicted / actual;
        let apart = ratios.iter().map(|r| (r - centre).abs()).sum::<f64>() / count;
        let ranked: Vec<(f64, f64)> = pairs.iter().map(|(p, a)| (p / a, *a)).collect();
        ratios.sort_by(f64::total_cmp);
        Some(Self {
            sales: pairs.len(),
            median: centre,
            median_interval: median_interval(&ratios, confidence),
            mean,
            weighted_mean,
            cod: 100.0 * apart / centre,
            prd: mean / weighted_mean,
            prb: Prb::of(pairs, centre, confidence),
            spearman: spearman(&ranked),
        })
    }
}

impl Prb {
    fn of(pairs: &[(f64, f64)], centre: f64, confidence: f64) -> Option<Self> {
        if pairs.len() < 3 {
            return None;
        }
        let mut design = Design::new(["intercept", "doublings of value"]);
        for (predicted, actual) in pairs {
            let value = (0.5 * (predicted / centre + actual)).log2();
            let off = (predicted / actual - centre) / centre;
            design.push(&[1.0, value], off, 1.0).ok()?;
        }
        let fit = Fit::of(&design.r_factor().ok()?, design.names()).ok()?;
        let slope = *fit.coefficients.get(1)?;
        let standard_error = *fit.standard_errors(fit.residual_sd()?).get(1)?;
        let freedom = pairs.len() as f64 - 2.0;
        let reach = standard_error * student_t_quantile(f64::midpoint(1.0, confidence), freedom);
        Some(Self {
            slope,
            standard_error,
            interval: (slope - reach, slope + reach),
        })
    }
}

/// The j-th smallest and j-th largest of the sorted values, with the largest j at
/// which they hold the true median with at least this confidence,
/// `1 - 2 P(X <= j - 1)` for X binomial with n trials of 1/2 (IAAO 2013, on
/// confidence intervals).
fn median_interval(sorted: &[f64], confidence: f64) -> Option<(f64, f64)> {
    let n = sorted.len();
    let mut ln_chance = -(n as f64) * std::f64::consts::LN_2;
    let mut below = 0.0;
    let mut cut = 0;
    while 2 * cut < n {
        below += ln_chance.exp();
        if 1.0 - 2.0 * below < confidence {
            break;
        }
        ln_chance += ((n - cut) as f64 / (cut + 1) as f64).ln();
        cut += 1;
    }
    let j = cut.checked_sub(1)?;
    Some((*sorted.get(j)?, *sorted.get(n - 1 - j)?))
}
