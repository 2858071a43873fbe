//! Numbers in, numbers out. Knows no bicycle, no currency and no terminal.
//!
//! * least squares, their R factor, robust weights, unknown entries: [`linear`]
//! * the top of a likelihood, fixed points: [`optimise`]; durations: [`survival`]
//! * quantiles and tails: [`distribution`]; forecasts held against outcomes: [`evaluation`]
//! * what each of several causes adds: [`shapley`]; a lasting hash: `hash`

pub mod distribution;
pub mod evaluation;
pub(crate) mod hash;
pub mod linear;
pub mod optimise;
pub mod shapley;
pub mod survival;

pub use linear::checks::FitProblem;
pub use linear::design::Design;
pub(crate) use linear::householder::dot;
pub use linear::least_squares::{Bounds, Fit};
pub use linear::r_factor::RFactor;
pub use survival::problem::DurationProblem;
