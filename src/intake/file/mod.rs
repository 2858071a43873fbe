//! A file from its first byte to its last row.
//!
//! * `opening`: what kind of file it is, its separator; `window`: its bytes, in bounded
//!   memory; `quoting`: quotes and line ends
//! * `records`: the cells of each row; `columns`: which column holds which field
//! * `header`: its columns, or what to say of them; `titles`: lines above the header;
//!   `totals`: rows that add up those above; `divider`: rows that part others; `lots`: comps
//!   of several bikes; `sheet_choice`: which sheet is proposed
//! * `synonyms`: names of columns; `proposing`: what names and values suggest to say
//! * `reader`: rows to records; `refusals`: what is said of cells that no field can hold;
//!   `one_row`: a row that was typed

pub(super) mod column_names;
pub(super) mod column_values;
pub(super) mod columns;
#[cfg(test)]
pub(super) mod columns_tests;
pub(super) mod divider;
pub(super) mod header;
#[cfg(test)]
pub(super) mod hostile_tests;
#[cfg(test)]
pub(super) mod limits_tests;
pub(super) mod lots;
pub(super) mod one_row;
#[cfg(test)]
pub(super) mod one_row_tests;
pub(super) mod opening;
#[cfg(test)]
pub(super) mod properties_tests;
pub(super) mod proposing;
pub(super) mod quoting;
pub(super) mod reader;
pub(super) mod records;
pub(super) mod refusals;
pub(super) mod sheet_choice;
pub(super) mod synonyms;
pub(super) mod titles;
pub(super) mod totals;
pub(super) mod unsaid_columns;
pub(super) mod window;
