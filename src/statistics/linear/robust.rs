//! Weights that keep a few wild rows from deciding a fit (iteratively reweighted
//! least squares), and medians.

/// Degrees of freedom of the error distribution used for prices.
pub const DEGREES: f64 = 4.0;

/// The squared scale of the t distribution with 4 degrees of freedom that fits
/// normal errors of variance 1: the root c of `E[5 e^2 / (4 + e^2/c)] = c`,
/// e standard normal. Computed with the trapezoid rule and bisection; a test
/// integrates it again. A squared t scale divided by this is comparable with a
/// normal variance, and half the 80 % range is the same either way to 1 %
/// (1.533 and 1.542 t scales).
pub const NORMAL_SCALE: f64 = 0.690_566_806_67;

/// Weight of a residual of `u` scales under Student t errors with [`DEGREES`] `nu` of
/// freedom: `(nu + 1) / (nu + u^2)` (Lange, Little & Taylor 1989, JASA 84, from memory).
pub fn student_t_weight(u: f64) -> f64 {
    (DEGREES + 1.0) / (DEGREES + u * u)
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
