//! Blockwise, mergeable QR: any number of rows in the memory of one triangle.
//!
//! A [`Triangle`] is the upper-triangular factor R of the weighted rows
//! `sqrt(w) [x | y]` seen so far, found by Householder reflections block by
//! block (tall-skinny QR; Golub & Van Loan, *Matrix Computations*, ch. 5, from
//! memory). The normal equations are never formed.

use super::checks::FitProblem;

/// Rows gathered before a block is folded into the triangle.
pub(super) const BLOCK: usize = 192;

/// Columns that meet the reflections together.
const TOGETHER: usize = 4;

/// The triangular factor of all rows pushed so far.
#[derive(Clone, Debug, serde::Serialize, serde::Deserialize)]
#[serde(from = "Folded", into = "Folded")]
pub struct Triangle {
    /// Columns of the design, without the target.
    columns: usize,
    /// Row-major (columns + 1) x (columns + 1), zero below the diagonal. The last column is the target.
    pub(super) r: Vec<f64>,
    /// Column-major waiting rows: column j is `block[j * BLOCK ..][.. waiting]`.
    pub(super) block: Vec<f64>,
    pub(super) waiting: usize,
    rows: usize,
    log_weights: f64,
}

/// A triangle with no rows waiting, as it is kept.
#[derive(serde::Serialize, serde::Deserialize)]
struct Folded {
    columns: usize,
    r: Vec<f64>,
    rows: usize,
    log_weights: f64,
}

impl From<Triangle> for Folded {
    fn from(triangle: Triangle) -> Self {
        let whole = triangle.folded();
        Self {
            columns: whole.columns,
            r: whole.r,
            rows: whole.rows,
            log_weights: whole.log_weights,
        }
    }
}

impl From<Folded> for Triangle {
    fn from(kept: Folded) -> Self {
        let mut triangle = Self::new(kept.columns);
        // What does not fit is no triangle; an empty one is refused by every fit.
        if kept.r.len() == triangle.r.len() {
            triangle.r = kept.r;
            triangle.rows = kept.rows;
            triangle.log_weights = kept.log_weights;
        }
        triangle
    }
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
        if self.take(x, y, weight)? {
            self.fold();
        }
        Ok(())
    }

    /// The same, but what waits is not folded: true when the block is full.
    pub(super) fn take(&mut self, x: &[f64], y: f64, weight: f64) -> Result<bool, FitProblem> {
        self.check(self.columns, x, y, weight)?;
        Ok(self.put(x.iter().copied(), y, weight))
    }

    /// The same with a row of `width` numbers, of which this triangle has those at
    /// `places`; the others are 0.
    pub(super) fn take_of(
        &mut self,
        width: usize,
        places: &[usize],
        (x, y, weight): (&[f64], f64, f64),
    ) -> Result<bool, FitProblem> {
        self.check(width, x, y, weight)?;
        Ok(self.put(places.iter().map(|j| x[*j]), y, weight))
    }

    fn check(&self, width: usize, x: &[f64], y: f64, weight: f64) -> Result<(), FitProblem> {
        if x.len() != width {
            return Err(FitProblem::Width {
                expected: width,
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
        // All are looked at, so that the compiler can use vectors.
        if x.iter().fold(true, |sound, v| sound & v.is_finite()) {
            return Ok(());
        }
        let place = x.iter().position(|v| !v.is_finite());
        Err(place.map_or_else(
            || bad("target".into(), y),
            |j| bad(format!("column {j}"), x[j]),
        ))
    }

    /// Puts a sound row into the block: true when that is full.
    fn put(&mut self, x: impl Iterator<Item = f64>, y: f64, weight: f64) -> bool {
        if weight == 0.0 {
            return false;
        }
        let root = weight.sqrt();
        for (j, value) in x.chain(std::iter::once(y)).enumerate() {
            self.block[j * BLOCK + self.waiting] = root * value;
        }
        self.waiting += 1;
        self.rows += 1;
        self.log_weights += weight.ln();
        self.waiting == BLOCK
    }

    /// Adds everything that `other` has seen, whose columns are those of this one at
    /// `places`; in the others its rows are 0.
    pub(super) fn merge_of(&mut self, other: &Triangle, places: &[usize]) {
        let (rows, logs) = (self.rows, self.log_weights);
        let mut x = vec![0.0; self.columns];
        let width = other.columns + 1;
        let mut add = |row: &mut dyn Iterator<Item = f64>| {
            let mut row = row;
            for (place, value) in places.iter().zip(&mut row) {
                x[*place] = value;
            }
            let y = row.next().unwrap_or(0.0);
            if self.put(x.iter().copied(), y, 1.0) {
                self.fold();
            }
        };
        // Before anything was folded R is 0.
        for row in other.r.chunks_exact(width) {
            if row.iter().any(|v| *v != 0.0) {
                add(&mut row.iter().copied());
            }
        }
        for i in 0..other.waiting {
            add(&mut (0..width).map(|j| other.block[j * BLOCK + i]));
        }
        self.rows = rows + other.rows;
        self.log_weights = logs + other.log_weights;
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
    /// on row j of R and on the block (everything else is already zero). A few
    /// columns at a time meet all earlier reflections in turn, so that they stay
    /// near at hand; each sees the same ones in the same order as one by one.
    pub(super) fn fold(&mut self) {
        let (width, m) = (self.columns + 1, self.waiting);
        if m == 0 {
            return;
        }
        let mut taus = vec![0.0; width];
        for first in (0..width).step_by(TOGETHER) {
            let last = (first + TOGETHER).min(width);
            let (done, ours) = self.block.split_at_mut(first * BLOCK);
            for (j, (tau, v)) in taus.iter().zip(done.chunks_exact(BLOCK)).enumerate() {
                let tops = &mut self.r[j * width + first..j * width + last];
                reflect(*tau, &v[..m], tops, ours);
            }
            for j in first..last {
                let (left, right) = ours.split_at_mut((j + 1 - first) * BLOCK);
                let v = &mut left[(j - first) * BLOCK..][..m];
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
                taus[j] = (beta - pivot) / beta;
                self.r[j * width + j] = beta;
                let tops = &mut self.r[j * width + j + 1..j * width + last];
                reflect(taus[j], v, tops, right);
            }
        }
        self.waiting = 0;
    }
}

/// Applies `H = I - tau (1, v)(1, v)'` to columns: `tops` of R and the block's
/// columns below them. A `tau` of 0 stands for no reflection.
fn reflect(tau: f64, v: &[f64], tops: &mut [f64], columns: &mut [f64]) {
    if tau == 0.0 {
        return;
    }
    for (top, column) in tops.iter_mut().zip(columns.chunks_exact_mut(BLOCK)) {
        let column = &mut column[..v.len()];
        let scale = tau * (*top + dot(v, column));
        if scale != 0.0 {
            *top -= scale;
            subtract(column, scale, v);
        }
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
