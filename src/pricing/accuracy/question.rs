//! What is asked of the prices.

use crate::pricing::records::observation::{Records, RecordsError};
use crate::trade::{Currency, Day};

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct AccuracyQuestion {
    /// The day of the answer; nothing later is used.
    pub as_of: Day,
    /// The book's currency.
    pub currency: Currency,
    /// Probability of the ranges, above 0 and below 1.
    pub level: f64,
}

/// The records, opened anew for every day: [`Records`] as they are known to the
/// book on the day of the question; double listings as known on the day given.
pub type Open<'a> = dyn Fn(Day) -> Result<Box<dyn Records + 'a>, RecordsError> + Sync + 'a;
