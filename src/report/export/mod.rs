//! Tables of the book and models as files that can be read again.
//!
//! * the columns of a table: [`columns`]; a record as cells: [`record_cells`]
//! * the table as CSV: [`csv`]; as Parquet: [`parquet`]
//! * a model with all that it was fitted to, as JSON: [`model_file`], [`value_model`], [`time_model`]

pub mod columns;
pub mod csv_table;
pub mod model_file;
pub mod parquet;
pub mod record_cells;
pub mod time_model;
pub mod value_model;
