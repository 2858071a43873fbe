//! Numbers in, numbers out. Knows no bicycle, no currency and no terminal.

pub mod adaptive;
mod ascent;
pub mod beside;
pub mod binomial;
pub mod checks;
pub mod conjugate;
pub mod design;
pub mod drift;
pub mod duration_problem;
mod episodes;
pub mod incidence;
pub mod influence;
pub mod interval;
pub mod least_squares;
pub mod lifetime;
pub mod missing;
pub mod normal;
pub mod ranks;
pub mod ratio_study;
mod reflections;
pub mod risk_sets;
pub mod robust;
pub mod scores;
pub mod shapley;
pub mod squared;
pub mod survival_curve;
pub mod triangle;
pub mod weibull;
mod weibull_fit;

pub use checks::FitProblem;
pub use design::Design;
pub use duration_problem::DurationProblem;
pub use least_squares::{Bounds, Fit};
pub(crate) use reflections::dot;
pub use triangle::Triangle;
