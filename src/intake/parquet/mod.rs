//! Parquet files, read as the text of a CSV file with the same table.
//!
//! * `as_text`: the whole way; `cells`: values as they would be written
//! * `check`: what is refused before it is read; `caught`: panics of the library

pub(super) mod as_text;
pub(super) mod caught;
pub(super) mod cells;
pub(super) mod check;
