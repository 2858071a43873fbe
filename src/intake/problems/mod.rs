//! What is wrong with a file, a header, a row or a cell, and what to do about it.

pub(super) mod columns;
pub(super) mod file;
pub(super) mod pointing;
pub(super) mod problem;
