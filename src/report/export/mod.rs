//! Tables of the book and models as files that can be read again.

pub mod columns;
pub mod csv;
pub mod model_file;
pub mod parquet;
pub mod record_cells;
pub mod time_model;
pub mod value_model;
