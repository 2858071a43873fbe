//! Why durations were refused.

/// Why a curve or a fit of durations was refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DurationProblem {
    /// No row was seen for any length of time.
    #[error("no row was seen for any length of time, so there is nothing to go on")]
    Nothing,
    /// A number is NaN, infinite, negative or otherwise outside its range.
    #[error("row {row} holds {value} as its {what}: {rule}")]
    Number {
        /// Row, counted from 0.
        row: usize,
        /// Which number of the row.
        what: &'static str,
        /// The number found there.
        value: f64,
        /// What it must be.
        rule: &'static str,
    },
    /// An event at or before the age at which its row was first seen.
    #[error("row {row} has an event at {exit}, and was first seen at {entry}")]
    EventBeforeEntry {
        /// Row, counted from 0.
        row: usize,
        /// Age at first sight.
        entry: f64,
        /// Age at the event.
        exit: f64,
    },
    /// A level of confidence outside (0, 1).
    #[error("a level must lie between 0 and 1, and {0} does not")]
    Level(f64),
    /// A row or a description of the model had the wrong number of columns.
    #[error("{what} has {found} columns where the model has {expected}")]
    Width {
        /// Which list.
        what: &'static str,
        /// Columns of the model.
        expected: usize,
        /// Columns found.
        found: usize,
    },
    /// A prior, bound or column of the model that means nothing.
    #[error("'{name}' has a prior or bound that means nothing: {value}")]
    Model {
        /// Name of the coefficient.
        name: String,
        /// The number found there.
        value: f64,
    },
    /// The rows and the priors together do not settle a coefficient.
    #[error("neither the rows nor a prior settle '{name}'")]
    Unsettled {
        /// Name of the coefficient.
        name: String,
    },
    /// The search did not come to rest.
    #[error("the fit did not come to rest in {rounds} rounds")]
    Rounds {
        /// Rounds made.
        rounds: usize,
    },
}
