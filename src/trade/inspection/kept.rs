//! An inspection as it is kept: what was found, of which bike, when.

use super::sheet::Sheet;
use crate::trade::Day;

/// An inspection of a bike of the user's own. What it means is judged anew each
/// time it is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inspection {
    /// The bike's id.
    pub bike: String,
    /// Day of the inspection.
    pub on: Day,
    /// What was found.
    pub sheet: Sheet,
}
