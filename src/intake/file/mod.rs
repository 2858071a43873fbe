//! A file from its first byte to its last row: kind, separator, header, rows.

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
