//! A file from its first byte to its last row.
//!
//! * `opening`: what kind of file it is, its separator; `window`: its bytes, in bounded
//!   memory; `quoting`: quotes and line ends
//! * `records`: the cells of each row; `columns`: which column holds which field
//! * `reader`: rows to records; `one_row`: a row that was typed

pub(super) mod columns;
#[cfg(test)]
pub(super) mod columns_tests;
#[cfg(test)]
pub(super) mod hostile_tests;
#[cfg(test)]
pub(super) mod limits_tests;
pub(super) mod one_row;
#[cfg(test)]
pub(super) mod one_row_tests;
pub(super) mod opening;
#[cfg(test)]
pub(super) mod properties_tests;
pub(super) mod quoting;
pub(super) mod reader;
pub(super) mod records;
pub(super) mod window;
