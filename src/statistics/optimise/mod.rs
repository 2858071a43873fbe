//! The top of a smooth function, and the fixed point of an iteration.

pub(super) mod newton;
pub mod squarem;
