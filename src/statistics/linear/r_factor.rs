//! Blockwise, mergeable QR: any number of rows in the memory of one R factor.
//!
//! A [`RFactor`] is the upper-triangular factor R of the weighted rows
//! `sqrt(w) [x | y]` seen so far, found by Householder reflections block by
//! block (tall-skinny QR; Golub & Van Loan, *Matrix Computations*, ch. 5, from
//! memory). The normal equations are never formed.

use super::checks::FitProblem;
use super::householder::{BLOCK, fold};

/// The triangular factor of all rows pushed so far.
#[derive(Debug, serde::Serialize, serde::Deserialize)]
#[serde(from = "Folded", into = "Folded")]
pub struct RFactor {
    /// Columns of the design, without the target.
    columns: usize,
    /// Row-major (columns + 1) x (columns + 1), zero below the diagonal. The last column is the target.
    pub(in crate::statistics) r: Vec<f64>,
    /// Column-major waiting rows: column j is `block[j * BLOCK ..][.. waiting]`. Empty
    /// before the first row.
    pub(in crate::statistics) block: Vec<f64>,
    pub(in crate::statistics) waiting: usize,
    rows: usize,
    log_weights: f64,
}

/// An R factor with no rows waiting, as it is kept.
#[derive(serde::Serialize, serde::Deserialize)]
struct Folded {
    columns: usize,
    r: Vec<f64>,
    rows: usize,
    log_weights: f64,
}

impl From<RFactor> for Folded {
    fn from(mut r_factor: RFactor) -> Self {
        r_factor.fold();
        Self {
            columns: r_factor.columns,
            r: r_factor.r,
            rows: r_factor.rows,
            log_weights: r_factor.log_weights,
        }
    }
}

impl Clone for RFactor {
    /// A block that holds nothing is not copied.
    fn clone(&self) -> Self {
        let block = (self.waiting > 0).then(|| self.block.clone());
        Self {
            r: self.r.clone(),
            block: block.unwrap_or_default(),
            ..*self
        }
    }
}

impl From<Folded> for RFactor {
    fn from(kept: Folded) -> Self {
        let mut r_factor = Self::new(kept.columns);
        // What does not fit is no factor; an empty one is refused by every fit.
        if kept.r.len() == r_factor.r.len() {
            r_factor.r = kept.r;
            r_factor.rows = kept.rows;
            r_factor.log_weights = kept.log_weights;
        }
        r_factor
    }
}

impl RFactor {
    /// An empty R factor for rows of `columns` numbers and a target.
    pub fn new(columns: usize) -> Self {
        let width = columns + 1;
        Self {
            columns,
            r: vec![0.0; width * width],
            block: Vec::new(),
            waiting: 0,
            rows: 0,
            log_weights: 0.0,
        }
    }

    /// As if new; the room for rows is kept.
    pub(in crate::statistics) fn clear(&mut self) {
        self.r.fill(0.0);
        (self.waiting, self.rows, self.log_weights) = (0, 0, 0.0);
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
    pub(in crate::statistics) fn take(
        &mut self,
        x: &[f64],
        y: f64,
        weight: f64,
    ) -> Result<bool, FitProblem> {
        self.check(self.columns, x, y, weight)?;
        Ok(self.put(x.iter().copied(), y, weight))
    }

    /// The same with a row of `width` numbers, of which this R factor has those at
    /// `places`; the others are 0.
    pub(in crate::statistics) fn take_of(
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
        if self.block.is_empty() {
            self.block.resize((self.columns + 1) * BLOCK, 0.0);
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
    pub(in crate::statistics) fn merge_of(&mut self, other: &RFactor, places: &[usize]) {
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
    pub fn merge(&mut self, other: &RFactor, factor: f64) -> Result<(), FitProblem> {
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
        let width = self.columns + 1;
        for row in other.factor().chunks_exact(width) {
            self.push(&row[..self.columns], row[self.columns], factor)?;
        }
        self.rows = rows + other.rows;
        self.log_weights = logs + other.log_weights + other.rows as f64 * factor.ln();
        Ok(())
    }

    /// The factor with no rows waiting: row-major, (columns + 1) squared.
    pub fn factor(&self) -> Vec<f64> {
        let mut whole = self.clone();
        whole.fold();
        whole.r
    }

    /// Folds the waiting rows in.
    pub(crate) fn fold(&mut self) {
        let (width, rows) = (self.columns + 1, self.waiting);
        if rows > 0 {
            fold(width, rows, &mut self.r, &mut self.block);
        }
        self.waiting = 0;
    }
}
