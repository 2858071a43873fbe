//! An import: records put, told apart, compared with what is there; column maps.

pub(super) mod alike;
pub(super) mod column_maps;
pub(super) mod imports;
pub(super) mod likeness;
pub(super) mod old_state;
pub(super) mod put;
pub(super) mod writer;
