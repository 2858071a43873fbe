//! Named columns and weighted rows, checked as they come in.

use super::checks::FitProblem;
use super::r_factor::RFactor;

/// Rows of a regression held in memory: named columns, a target and a weight
/// each. For small sets and tests; large ones go straight into a [`RFactor`].
#[derive(Clone, Debug)]
pub struct Design {
    names: Vec<String>,
    x: Vec<f64>,
    y: Vec<f64>,
    weights: Vec<f64>,
}

impl Design {
    /// An empty design with these columns. The intercept is an ordinary column.
    pub fn new<S: Into<String>>(names: impl IntoIterator<Item = S>) -> Self {
        let names = names.into_iter().map(Into::into).collect();
        Self {
            names,
            x: Vec::new(),
            y: Vec::new(),
            weights: Vec::new(),
        }
    }

    /// Adds a row; see [`RFactor::push`] for what is refused.
    ///
    /// # Errors
    /// A row of the wrong width, or a number that is not finite.
    pub fn push(&mut self, x: &[f64], y: f64, weight: f64) -> Result<(), FitProblem> {
        let row = self.y.len();
        if x.len() != self.names.len() {
            return Err(FitProblem::Width {
                expected: self.names.len(),
                found: x.len(),
            });
        }
        let named = self.names.iter().map(String::as_str).zip(x.iter().copied());
        for (column, value) in named.chain([("target", y), ("weight", weight)]) {
            if !value.is_finite() || (column == "weight" && value < 0.0) {
                return Err(FitProblem::NotFinite {
                    row,
                    column: column.into(),
                    value,
                });
            }
        }
        self.x.extend_from_slice(x);
        self.y.push(y);
        self.weights.push(weight);
        Ok(())
    }

    /// Names of the columns.
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// Number of rows.
    pub fn rows(&self) -> usize {
        self.y.len()
    }

    /// Row `i`: its numbers, its target and its weight.
    pub fn row(&self, i: usize) -> (&[f64], f64, f64) {
        let p = self.names.len();
        (&self.x[i * p..(i + 1) * p], self.y[i], self.weights[i])
    }

    /// All rows.
    pub fn iter(&self) -> impl Iterator<Item = (&[f64], f64, f64)> {
        (0..self.rows()).map(|i| self.row(i))
    }

    /// The R factor of the weighted rows.
    ///
    /// # Errors
    /// None in practice: the rows were checked when they came in.
    pub fn r_factor(&self) -> Result<RFactor, FitProblem> {
        let mut r_factor = RFactor::new(self.names.len());
        for (x, y, weight) in self.iter() {
            r_factor.push(x, y, weight)?;
        }
        Ok(r_factor)
    }
}
