//! Blockwise, mergeable QR: any number of rows in the memory of one triangle.
//!
//! A [`Triangle`] is the upper-triangular factor R of the weighted rows
//! `sqrt(w) [x | y]` seen so far, found by Householder reflections block by
//! block (tall-skinny QR; Golub & Van Loan, *Matrix Computations*, ch. 5, from
//! memory). The normal equations are never formed.

use super::checks::FitProblem;

/// Rows gathered before a block is folded into the triangle.
const BLOCK: usize = 192;

/// The triangular factor of all rows pushed so far.
#[derive(Clone, Debug)]
pub struct Triangle {
    /// Columns of the design, without the target.
    columns: usize,
    /// Row-major (columns + 1) x (columns + 1), zero below the diagonal. The last column is the target.
    r: Vec<f64>,
    /// Column-major waiting rows: column j is `block[j * BLOCK ..][.. waiting]`.
    block: Vec<f64>,
    waiting: usize,
    rows: usize,
    log_weights: f64,
}

impl Triangle {
    /// An empty triangle for rows of `columns` numbers and a target.
    pub fn new(columns: usize) -> Self {
        let width = columns + 1;
        Self {
            columns,
            r: vec![0.0; width * width],
            block: vec![0.0; width * BLOCK],
            waiting: 0,
            rows: 0,
            log_weights: 0.0,
        }
    }

    /// Columns of the design.
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// Rows pushed with a weight above 0.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// Sum of the logarithms of the weights, for the evidence.
    pub fn log_weights(&self) -> f64 {
        self.log_weights
    }

    /// Adds the row `x` with target `y` and weight `weight` (its relative
    /// precision). A row of weight 0 carries nothing and is not counted.
    ///
    /// # Errors
    /// A row of the wrong width, a number that is not finite, a negative weight.
    pub fn push(&mut self, x: &[f64], y: f64, weight: f64) -> Result<(), FitProblem> {
        if x.len() != self.columns {
            return Err(FitProblem::Width {
                expected: self.columns,
                found: x.len(),
            });
        }
        let bad = |column: String, value: f64| FitProblem::NotFinite {
            row: self.rows,
            column,
            value,
        };
        if !(weight.is_finite() && weight >= 0.0) {
            return Err(bad("weight".into(), weight));
        }
        if !y.is_finite() {
            return Err(bad("target".into(), y));
        }
        if let Some(j) = x.iter().position(|v| !v.is_finite()) {
            return Err(bad(format!("column {j}"), x[j]));
        }
        if weight == 0.0 {
            return Ok(());
        }
        let root = weight.sqrt();
        for (j, value) in x.iter().chain(std::iter::once(&y)).enumerate() {
            self.block[j * BLOCK + self.waiting] = root * value;
        }
        self.waiting += 1;
        self.rows += 1;
        self.log_weights += weight.ln();
        if self.waiting == BLOCK {
            self.fold();
        }
        Ok(())
    }

    /// Adds everything that `other` has seen, each row's weight times `factor`.
    ///
    /// # Errors
    /// The two have different numbers of columns, or the factor is no weight.
    pub fn merge(&mut self, other: &Triangle, factor: f64) -> Result<(), FitProblem> {
        if other.columns != self.columns {
            return Err(FitProblem::Width {
                expected: self.columns,
                found: other.columns,
            });
        }
        if factor == 0.0 {
            return Ok(());
        }
        let (rows, logs) = (self.rows, self.log_weights);
        let whole = other.folded();
        let width = self.columns + 1;
        for i in 0..width {
            let row = &whole.r[i * width..(i + 1) * width];
            self.push(&row[..self.columns], row[self.columns], factor)?;
        }
        self.rows = rows + other.rows;
        self.log_weights = logs + other.log_weights + other.rows as f64 * factor.ln();
        Ok(())
    }

    /// The factor with no rows waiting: row-major, (columns + 1) squared.
    pub fn factor(&self) -> Vec<f64> {
        self.folded().r
    }

    fn folded(&self) -> Triangle {
        let mut whole = self.clone();
        whole.fold();
        whole
    }

    /// Folds the waiting rows in: one Householder reflection a column, acting
    /// on row j of R and on the block (everything else is already zero).
    fn fold(&mut self) {
        let (width, m) = (self.columns + 1, self.waiting);
        if m == 0 {
            return;
        }
        for j in 0..width {
            let (left, right) = self.block.split_at_mut((j + 1) * BLOCK);
            let v = &mut left[j * BLOCK..j * BLOCK + m];
            let below = norm(v);
            if below == 0.0 {
                continue;
            }
            let pivot = self.r[j * width + j];
            let length = pivot.hypot(below);
            let beta = if pivot > 0.0 { -length } else { length };
            let head = pivot - beta;
            v.iter_mut().for_each(|value| *value /= head);
            // H = I - tau (1, v)(1, v)', tau = (beta - pivot) / beta
            let tau = (beta - pivot) / beta;
            self.r[j * width + j] = beta;
            for k in j + 1..width {
                let column = &mut right[(k - j - 1) * BLOCK..(k - j - 1) * BLOCK + m];
                let top = &mut self.r[j * width + k];
                let scale = tau * (*top + dot(v, column));
                if scale != 0.0 {
                    *top -= scale;
                    subtract(column, scale, v);
                }
            }
        }
        self.waiting = 0;
    }
}

/// Euclidean length, scaled so that it neither overflows nor underflows.
fn norm(v: &[f64]) -> f64 {
    let largest = v.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
    if largest == 0.0 {
        return 0.0;
    }
    if (1e-100..1e100).contains(&largest) {
        return dot(v, v).sqrt();
    }
    let scaled: f64 = v.iter().map(|x| (x / largest).powi(2)).sum();
    largest * scaled.sqrt()
}

/// Inner product with eight running sums, so that the compiler can use vectors.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0_f64; 8];
    let (mut left, mut right) = (a.chunks_exact(8), b.chunks_exact(8));
    for (x, y) in left.by_ref().zip(right.by_ref()) {
        for i in 0..8 {
            sums[i] += x[i] * y[i];
        }
    }
    let rest: f64 = left
        .remainder()
        .iter()
        .zip(right.remainder())
        .map(|(x, y)| x * y)
        .sum();
    ((sums[0] + sums[4]) + (sums[1] + sums[5])) + ((sums[2] + sums[6]) + (sums[3] + sums[7])) + rest
}

fn subtract(column: &mut [f64], scale: f64, v: &[f64]) {
    for (c, x) in column.iter_mut().zip(v) {
        *c -= scale * x;
    }
}
