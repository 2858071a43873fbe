//! What is wrong, and what to do about it.
//!
//! * `file`: with a file; `columns`: with a header; `problem`: with a row or a cell
//! * `pointing`: the line of the file around a cell

pub(super) mod columns;
pub(super) mod file;
pub(super) mod pointing;
pub(super) mod problem;
