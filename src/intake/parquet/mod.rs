//! Parquet files, read as the text of a CSV file with the same table.

pub(super) mod as_text;
pub(super) mod caught;
pub(super) mod cells;
pub(super) mod check;
