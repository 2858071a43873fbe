//! Numbers in, numbers out. Knows no bicycle, no currency and no terminal.

pub mod distribution;
pub mod evaluation;
pub mod linear;
pub mod optimise;
pub mod shapley;
pub mod survival;

pub use linear::checks::FitProblem;
pub use linear::design::Design;
pub(crate) use linear::householder::dot;
pub use linear::least_squares::{Bounds, Fit};
pub use linear::r_factor::Triangle;
pub use survival::problem::DurationProblem;
