//! Weights that keep a few wild rows from deciding the fit (iteratively
//! reweighted least squares).

use super::checks::FitProblem;
use super::design::Design;
use super::least_squares::Fit;

/// How a scaled residual becomes a weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Weighting {
    /// Huber 1964: `min(1, c / |u|)`; 95 % efficient at c = 1.345.
    Huber(f64),
    /// Tukey's bisquare: `(1 - (u/c)^2)^2` within c; 95 % efficient at c = 4.685.
    Bisquare(f64),
    /// Student t errors with these degrees of freedom: `(nu + 1) / (nu + u^2)`.
    StudentT(f64),
}

/// Degrees of freedom of the error distribution used for prices.
pub const DEGREES: f64 = 4.0;

/// The squared scale of the t distribution with 4 degrees of freedom that fits
/// normal errors of variance 1: the root c of `E[5 e^2 / (4 + e^2/c)] = c`,
/// e standard normal. Computed with the trapezoid rule and bisection; a test
/// integrates it again. A squared t scale divided by this is comparable with a
/// normal variance, and half the 80 % range is the same either way to 1 %
/// (1.533 and 1.542 t scales).
pub const NORMAL_SCALE: f64 = 0.690_566_806_67;

impl Weighting {
    /// Weight of a residual of `u` scales.
    pub fn weight(self, u: f64) -> f64 {
        match self {
            Weighting::Huber(c) if u.abs() <= c => 1.0,
            Weighting::Huber(c) => c / u.abs(),
            Weighting::Bisquare(c) if u.abs() < c => (1.0 - (u / c).powi(2)).powi(2),
            Weighting::Bisquare(_) => 0.0,
            Weighting::StudentT(nu) => (nu + 1.0) / (nu + u * u),
        }
    }

    /// Scale of the residuals: for Student t the likelihood's own
    /// (`s^2 = mean(w e^2)`), else the median absolute residual over 0.67449.
    fn scale(self, residuals: &[f64], weights: &[f64]) -> f64 {
        match self {
            Weighting::StudentT(_) => {
                let sum: f64 = residuals.iter().zip(weights).map(|(e, w)| w * e * e).sum();
                (sum / residuals.len() as f64).sqrt()
            }
            _ => median(residuals.iter().map(|e| e.abs()).collect()) / 0.674_489_750_196_082,
        }
    }
}

/// A robust fit: the last weighted fit, the scale and the weights.
#[derive(Clone, Debug)]
pub struct RobustFit {
    /// The weighted least squares fit at the end.
    pub fit: Fit,
    /// Scale of the residuals, in the target's unit.
    pub scale: f64,
    /// Robust weight of each row (its own weight not included).
    pub weights: Vec<f64>,
}

/// Fits `design` robustly, from least squares (the bisquare from Huber's fit).
///
/// # Errors
/// As [`Fit::of`].
pub fn fit(design: &Design, weighting: Weighting) -> Result<RobustFit, FitProblem> {
    let mut weights = match weighting {
        Weighting::Bisquare(_) => fit(design, Weighting::Huber(1.345))?.weights,
        _ => vec![1.0; design.rows()],
    };
    let mut previous: Option<Fit> = None;
    let mut scale = 0.0;
    for _ in 0..500 {
        let all: Vec<f64> = design
            .iter()
            .zip(&weights)
            .map(|((_, _, w), r)| w * r)
            .collect();
        let current = Fit::of(&design.with_weights(&all)?.triangle()?, design.names())?;
        let residuals: Vec<f64> = design
            .iter()
            .map(|(x, y, w)| w.sqrt() * (y - current.predict(x)))
            .collect();
        scale = weighting.scale(&residuals, &weights);
        if scale <= f64::MIN_POSITIVE {
            return Ok(RobustFit {
                fit: current,
                scale,
                weights,
            });
        }
        weights = residuals
            .iter()
            .map(|e| weighting.weight(e / scale))
            .collect();
        let moved = previous.as_ref().map_or(f64::INFINITY, |p| {
            p.coefficients
                .iter()
                .zip(&current.coefficients)
                .map(|(a, b)| (a - b).abs() / (1.0 + b.abs()))
                .fold(0.0, f64::max)
        });
        previous = Some(current);
        if moved < 1e-13 {
            break;
        }
    }
    previous
        .map(|fit| RobustFit {
            fit,
            scale,
            weights,
        })
        .ok_or(FitProblem::NoRows)
}

/// Median; the mean of the middle two for an even count, 0 of nothing.
pub fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    match (values.len(), values.len() / 2) {
        (0, _) => 0.0,
        (n, half) if n % 2 == 1 => values[half],
        (_, half) => f64::midpoint(values[half - 1], values[half]),
    }
}

/// Median of values with weights: where half of the weight lies below; the
/// middle between two values where the half is met exactly. With equal weights it
/// is [`median`], and a value given twice at half weight counts once.
pub fn weighted_median(mut values: Vec<(f64, f64)>) -> f64 {
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = values.iter().map(|(_, weight)| weight).sum::<f64>() / 2.0;
    let (mut below, mut last) = (0.0, None);
    for (value, weight) in values {
        // Weights such as 1/3 do not add up exactly.
        if below >= half - 1e-9 {
            return last.map_or(value, |last: f64| f64::midpoint(last, value));
        }
        below += weight;
        if below > half + 1e-9 {
            return value;
        }
        last = Some(value);
    }
    last.unwrap_or(0.0)
}
