//! Weighted least squares: designs, the R factor, robust weights, unknown entries.

pub mod checks;
pub mod design;
pub(super) mod householder;
pub mod least_squares;
pub mod missing;
pub mod normal_inverse_gamma;
pub mod parallel;
pub mod r_factor;
pub mod robust;
