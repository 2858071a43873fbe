//! Weighted least squares on a reduced (triangular) system.
//!
//! The rows have been reduced by [`RFactor`]; what is left, `R b = q`, is
//! checked here for rank, its columns scaled to length 1, and solved by
//! linfa-linear without an intercept of its own (linfa ignores weights and
//! would append a column of ones to every row, prior rows included). The
//! factor, its inverse, standard errors and leverages are ours, because
//! linfa-linear returns none.

use super::checks::{FitProblem, SMALLEST_INDEPENDENT_PART};
use super::householder::dot;
use super::r_factor::RFactor;
use linfa::traits::Fit as _;
use ndarray::{Array1, Array2};

/// Lowest and highest value allowed for each coefficient.
#[derive(Clone, Debug, Default)]
pub struct Bounds {
    /// `(column, lowest, highest)`; columns not named are free.
    pub limits: Vec<(usize, f64, f64)>,
}

/// A fitted weighted least squares.
#[derive(Clone, Debug)]
pub struct Fit {
    /// Coefficients, within their bounds.
    pub coefficients: Vec<f64>,
    /// Weighted sum of squared residuals over all rows, prior rows included.
    pub residual_sum: f64,
    /// Rows with a weight above 0, prior rows included.
    pub rows: usize,
    /// Columns held at a bound.
    pub held: Vec<usize>,
    /// Inverse of R (upper-triangular, row-major), of the fit without bounds.
    inverse: Vec<f64>,
    /// ln |det R|.
    log_det: f64,
}

impl Fit {
    /// Fits the rows of an R factor.
    ///
    /// # Errors
    /// [`FitProblem::NoRows`], or [`FitProblem::Singular`] naming the column by
    /// `names` (or its number where that is too short).
    pub fn of(r_factor: &RFactor, names: &[String]) -> Result<Fit, FitProblem> {
        Self::within(r_factor, names, &Bounds::default())
    }

    /// Fits with bounds on coefficients by an active set (Lawson & Hanson 1974,
    /// *Solving Least Squares Problems*, from memory): the coefficient that
    /// breaks its bound most is held there and the rest fitted again, and one
    /// that the data pull back inside is released.
    ///
    /// # Errors
    /// As [`Fit::of`].
    pub fn within(
        r_factor: &RFactor,
        names: &[String],
        bounds: &Bounds,
    ) -> Result<Fit, FitProblem> {
        let p = r_factor.columns();
        if r_factor.rows() == 0 {
            return Err(FitProblem::NoRows);
        }
        let factor = r_factor.factor();
        let width = p + 1;
        let lengths = column_lengths(&factor, p);
        for j in 0..p {
            let part = factor[j * width + j].abs();
            if part.is_nan() || part <= SMALLEST_INDEPENDENT_PART * lengths[j] {
                let column = names
                    .get(j)
                    .cloned()
                    .unwrap_or_else(|| format!("column {j}"));
                let ratio = if lengths[j] > 0.0 {
                    part / lengths[j]
                } else {
                    0.0
                };
                return Err(FitProblem::Singular { column, ratio });
            }
        }
        let system = System {
            factor: &factor,
            lengths: &lengths,
            p,
        };
        let (coefficients, held) = system.bounded(bounds)?;
        let residual_sum = system.residual_sum(&coefficients);
        let log_det = (0..p).map(|j| factor[j * width + j].abs().ln()).sum();
        Ok(Fit {
            coefficients,
            residual_sum,
            rows: r_factor.rows(),
            held,
            inverse: invert(&factor, p),
            log_det,
        })
    }

    /// Residual standard deviation, `sqrt(residual sum / (rows - columns))`;
    /// `None` without degrees of freedom.
    pub fn residual_sd(&self) -> Option<f64> {
        let left = self
            .rows
            .checked_sub(self.coefficients.len())
            .filter(|d| *d > 0)?;
        Some((self.residual_sum / left as f64).sqrt())
    }

    /// Standard errors of the coefficients for a residual deviation `sd`.
    pub fn standard_errors(&self, sd: f64) -> Vec<f64> {
        let p = self.coefficients.len();
        self.inverse
            .chunks_exact(p.max(1))
            .map(|row| sd * row.iter().map(|v| v * v).sum::<f64>().sqrt())
            .collect()
    }

    /// `x' b`.
    pub fn predict(&self, x: &[f64]) -> f64 {
        x.iter().zip(&self.coefficients).map(|(x, b)| x * b).sum()
    }

    /// `x' (A'WA)^-1 x`: the leverage of a row of weight 1, without dimension.
    pub fn leverage(&self, x: &[f64]) -> f64 {
        self.leverage_with(x, &mut Vec::new())
    }

    /// The same for many rows, with a room to work in that is kept between them.
    pub fn leverage_with(&self, x: &[f64], room: &mut Vec<f64>) -> f64 {
        self.whiten(x, room);
        dot(room, room)
    }

    /// `(R^-1)' x`, whose squared length is the leverage and whose inner
    /// products are those of `(A'WA)^-1`.
    pub fn whitened(&self, x: &[f64]) -> Vec<f64> {
        let mut out = Vec::new();
        self.whiten(x, &mut out);
        out
    }

    /// `(A'WA)^-1 x`, as long as `x`.
    pub fn covariance_with(&self, x: &[f64]) -> Vec<f64> {
        let white = self.whitened(x);
        let rows = self.inverse.chunks_exact(white.len().max(1));
        rows.enumerate()
            .map(|(i, row)| dot(&row[i..], &white[i..]))
            .collect()
    }

    fn whiten(&self, x: &[f64], out: &mut Vec<f64>) {
        let p = self.coefficients.len();
        out.clear();
        out.resize(p, 0.0);
        let rows = x.iter().zip(self.inverse.chunks_exact(p.max(1)));
        for (i, (value, row)) in rows.enumerate() {
            if *value != 0.0 {
                // Before the diagonal the row is 0.
                let cells = out[i..].iter_mut().zip(&row[i..]);
                cells.for_each(|(o, r)| *o += value * r);
            }
        }
    }

    /// ln |A'WA|.
    pub fn log_det_information(&self) -> f64 {
        2.0 * self.log_det
    }
}

struct System<'a> {
    factor: &'a [f64],
    lengths: &'a [f64],
    p: usize,
}

impl System<'_> {
    /// Solves for the columns in `free`, the others held at `fixed`.
    fn solve(&self, free: &[usize], fixed: &[f64]) -> Result<Vec<f64>, FitProblem> {
        let (p, width) = (self.p, self.p + 1);
        let mut coefficients = fixed.to_vec();
        if free.is_empty() {
            return Ok(coefficients);
        }
        let target = Array1::from_shape_fn(p, |i| {
            let row = &self.factor[i * width..(i + 1) * width];
            let held: f64 = (0..p)
                .filter(|j| !free.contains(j))
                .map(|j| row[j] * fixed[j])
                .sum();
            row[p] - held
        });
        let records = Array2::from_shape_fn((p, free.len()), |(i, k)| {
            self.factor[i * width + free[k]] / self.lengths[free[k]]
        });
        let dataset = linfa::Dataset::new(records, target);
        let model = linfa_linear::LinearRegression::new()
            .with_intercept(false)
            .fit(&dataset)
            .map_err(|e| FitProblem::Solver(e.to_string()))?;
        for (k, scaled) in model.params().iter().enumerate() {
            let value = scaled / self.lengths[free[k]];
            if !value.is_finite() {
                return Err(FitProblem::Solver(format!(
                    "coefficient {} is {value}",
                    free[k]
                )));
            }
            coefficients[free[k]] = value;
        }
        Ok(coefficients)
    }

    fn bounded(&self, bounds: &Bounds) -> Result<(Vec<f64>, Vec<usize>), FitProblem> {
        let mut held: Vec<(usize, f64)> = Vec::new();
        let mut released = vec![0_u8; self.p];
        // Each round holds or releases one column; a column is released once at
        // most, so the loop ends after at most twice as many rounds as bounds.
        for _ in 0..=2 * bounds.limits.len() {
            let free: Vec<usize> = (0..self.p)
                .filter(|j| held.iter().all(|(h, _)| h != j))
                .collect();
            let fixed = self.fixed(&held);
            let b = self.solve(&free, &fixed)?;
            let worst = bounds
                .limits
                .iter()
                .filter(|(j, ..)| free.contains(j))
                .map(|(j, low, high)| (*j, b[*j].clamp(*low, *high)))
                .map(|(j, at)| (j, at, (b[j] - at).abs() * self.lengths[j]))
                .filter(|(.., off)| *off > 0.0)
                .max_by(|a, b| a.2.total_cmp(&b.2));
            if let Some((j, at, _)) = worst {
                held.push((j, at));
                continue;
            }
            let pulls = self.pulls(&b);
            let free_again = held.iter().position(|(j, at)| {
                let limit = bounds.limits.iter().find(|(k, ..)| k == j);
                released[*j] == 0
                    && limit.is_some_and(|(_, low, high)| {
                        (at == low && pulls[*j] > 1e-9) || (at == high && pulls[*j] < -1e-9)
                    })
            });
            if let Some(k) = free_again {
                let (j, _) = held.remove(k);
                released[j] += 1;
            } else {
                let mut columns: Vec<usize> = held.into_iter().map(|(j, _)| j).collect();
                columns.sort_unstable();
                return Ok((b, columns));
            }
        }
        // Not reached with consistent data; the last held set is a valid fit.
        let free: Vec<usize> = (0..self.p)
            .filter(|j| held.iter().all(|(h, _)| h != j))
            .collect();
        let mut b = self.solve(&free, &self.fixed(&held))?;
        for (j, low, high) in &bounds.limits {
            b[*j] = b[*j].clamp(*low, *high);
        }
        Ok((b, held.into_iter().map(|(j, _)| j).collect()))
    }

    /// Coefficients that are held, and 0 for the others.
    fn fixed(&self, held: &[(usize, f64)]) -> Vec<f64> {
        let mut fixed = vec![0.0; self.p];
        for (j, at) in held {
            fixed[*j] = *at;
        }
        fixed
    }

    /// `R'(q - R b)` for each column scaled to length 1: above 0 where a larger
    /// coefficient would fit better.
    fn pulls(&self, b: &[f64]) -> Vec<f64> {
        let (p, width) = (self.p, self.p + 1);
        let mut pulls = vec![0.0; p];
        for i in 0..p {
            let row = &self.factor[i * width..(i + 1) * width];
            let left = row[p] - (i..p).map(|j| row[j] * b[j]).sum::<f64>();
            (i..p).for_each(|j| pulls[j] += row[j] * left / self.lengths[j]);
        }
        pulls
    }

    fn residual_sum(&self, b: &[f64]) -> f64 {
        let (p, width) = (self.p, self.p + 1);
        let inside: f64 = (0..p)
            .map(|i| {
                let row = &self.factor[i * width..(i + 1) * width];
                (row[p] - (i..p).map(|j| row[j] * b[j]).sum::<f64>()).powi(2)
            })
            .sum();
        inside + self.factor[p * width + p].powi(2)
    }
}

fn column_lengths(factor: &[f64], p: usize) -> Vec<f64> {
    (0..p)
        .map(|j| {
            (0..=j)
                .map(|i| factor[i * (p + 1) + j].powi(2))
                .sum::<f64>()
                .sqrt()
        })
        .collect()
}

/// Inverse of R, by back substitution: row by row from the last.
fn invert(factor: &[f64], p: usize) -> Vec<f64> {
    let width = p + 1;
    let mut inverse = vec![0.0; p * p];
    for i in (0..p).rev() {
        let (before, done) = inverse.split_at_mut((i + 1) * p);
        let row = &mut before[i * p..];
        for (k, below) in (i + 1..p).zip(done.chunks_exact(p)) {
            let times = factor[i * width + k];
            let cells = row[k..].iter_mut().zip(&below[k..]);
            cells.for_each(|(cell, b)| *cell += times * b);
        }
        let pivot = factor[i * width + i];
        row[i + 1..].iter_mut().for_each(|cell| *cell /= -pivot);
        row[i] = 1.0 / pivot;
    }
    inverse
}
