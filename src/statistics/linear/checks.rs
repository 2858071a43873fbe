//! What must hold before a fit is reachable. linfa-linear answers `Ok` for
//! collinear columns, more columns than rows, NaN and no rows; these checks do not.

/// Why a least-squares fit was refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FitProblem {
    /// There were no rows at all.
    #[error("there are no rows to fit")]
    NoRows,
    /// A number was NaN or infinite, or a weight negative.
    #[error("row {row} holds {value} in column '{column}': every number must be finite")]
    NotFinite {
        /// Row, counted from 0.
        row: usize,
        /// Name of the column.
        column: String,
        /// The number found there.
        value: f64,
    },
    /// A row had the wrong number of columns.
    #[error("a row has {found} columns where the design has {expected}")]
    Width {
        /// Columns of the design.
        expected: usize,
        /// Columns of the row.
        found: usize,
    },
    /// The columns are linearly dependent, or there are fewer rows than columns.
    #[error("column '{column}' cannot be separated from the others (ratio {ratio:.1e})")]
    Singular {
        /// First column that depends on those before it.
        column: String,
        /// Its part not explained by the columns before it, relative to its length.
        ratio: f64,
    },
    /// The linear algebra library said no.
    #[error("the solver failed: {0}")]
    Solver(String),
}

/// Smallest part of a column, relative to its length, that must remain after
/// the columns before it are taken out. NIST's Filip set (a polynomial of
/// degree 10) has 2.7e-10 and is still solved to 7 digits; rounding leaves
/// about 1e-15 in a dependent column.
pub const SMALLEST_INDEPENDENT_PART: f64 = 1e-13;
