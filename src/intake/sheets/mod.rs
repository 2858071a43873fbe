//! Spreadsheets, read as the text of a CSV file with the table of one sheet.
//!
//! * `workbook`: the whole way, which file and which sheet; `archive`: what is refused
//!   before anything is read
//! * `xlsx`, `ods`: the cells of a sheet; `cell`: a value as it is written in a CSV
//! * `table`: the cells of a sheet as text, and where each stands in the sheet

pub(super) mod archive;
pub(super) mod cell;
pub(super) mod ods;
pub(super) mod table;
pub(super) mod workbook;
pub(super) mod xlsx;
