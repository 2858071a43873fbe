//! The recipe of the value model: what it is asked and believes, and why it may fail.

use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::RecordsError;
use crate::statistics::FitProblem;
use crate::trade::{Currency, Day};

/// What the model is asked.
#[derive(Clone, Debug)]
pub struct ValueSettings {
    /// The day of the answer; nothing later is used.
    pub as_of: Day,
    /// The book's currency.
    pub currency: Currency,
    /// An own bike to leave out (the one that is priced).
    pub without: Option<String>,
}

/// The recipe.
#[derive(Clone, Debug)]
pub struct ValueModel<'a> {
    /// The beliefs it starts from.
    pub priors: &'a Priors,
    /// What it is asked.
    pub settings: ValueSettings,
}

/// Why there is no fitted model.
#[derive(Debug, thiserror::Error)]
pub enum NoFit {
    /// The records hold no price at all.
    #[error("there are no prices in the records")]
    NoRecords,
    /// The records could not be read.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// The least squares were refused.
    #[error(transparent)]
    Fit(#[from] FitProblem),
}
