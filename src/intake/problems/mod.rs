//! What is wrong, and what to do about it.
//!
//! * `file`: with a file; `columns`: with a header; `problem`: with a row or a cell
//! * `notes`: what was left out of a file; `proposal`: the command to run next
//! * `pointing`: the line of the file around a cell

pub(super) mod columns;
pub(super) mod file;
pub(super) mod notes;
pub(super) mod pointing;
pub(super) mod problem;
pub(super) mod proposal;
