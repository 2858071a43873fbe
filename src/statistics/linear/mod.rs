//! Weighted least squares.
//!
//! * rows in memory: [`design`]; any number of them: [`r_factor`], folded by `householder`,
//!   of several kinds and beside the caller by [`parallel`]
//! * the solution, with bounds: [`least_squares`]; what is refused: [`checks`]
//! * its evidence under priors: [`normal_inverse_gamma`]
//! * robust weights and medians: [`robust`]; unknown entries: [`missing`]

pub mod checks;
pub mod design;
pub(super) mod householder;
pub mod least_squares;
pub mod missing;
pub mod normal_inverse_gamma;
pub mod parallel;
pub mod r_factor;
pub mod robust;
