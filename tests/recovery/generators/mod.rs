//! What the simulated books promise. Seeds are fixed, so every figure below is
//! always the same; bounds are 4 standard errors of the simulated share or mean
//! unless the line says otherwise.

mod book;
mod market;

use wheelworth::trade::Currency;

pub fn share<T>(rows: &[T], is: impl Fn(&T) -> bool) -> f64 {
    rows.iter().filter(|row| is(row)).count() as f64 / rows.len() as f64
}

pub fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

pub fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Mean and its standard error.
pub fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let middle = mean(values);
    let variance =
        values.iter().map(|v| (v - middle).powi(2)).sum::<f64>() / (values.len() - 1) as f64;
    (middle, (variance / values.len() as f64).sqrt())
}

pub fn euro() -> Currency {
    Currency::from_code("EUR").unwrap()
}
