//! Numbers in, numbers out. Knows no bicycle, no currency and no terminal.

pub mod checks;
pub mod conjugate;
pub mod design;
pub mod influence;
pub mod interval;
pub mod least_squares;
pub mod missing;
pub mod normal;
pub mod robust;
pub mod scores;
pub mod triangle;

pub use checks::FitProblem;
pub use design::Design;
pub use least_squares::{Bounds, Fit};
pub use triangle::Triangle;
