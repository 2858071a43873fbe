//! CSV text to checked records, or a problem that says where and why.
//!
//! A file is read row by row in constant memory:
//!
//! ```
//! use wheelworth::intake::{Comps, Reader, Settings};
//! use wheelworth::trade::{Currency, Day};
//!
//! let text = "listing;style;ask\nx1;road;\"1.250,00\"\nx2;rode;90\n";
//! let settings = Settings::new(Currency::from_code("EUR").unwrap(), Day::constant(2025, 5, 1));
//! let mut reader =
//!     Reader::<Comps>::from_text(text.as_bytes(), "comps.csv", &settings).unwrap();
//! let good = reader.next_row().unwrap().unwrap().unwrap();
//! assert_eq!((good.line, good.record.ask.minor()), (2, 125_000));
//! let bad = reader.next_row().unwrap().unwrap().unwrap_err();
//! assert_eq!((bad.line, bad.problems[0].mend.as_str()), (3, "Did you mean road?"));
//! assert!(reader.next_row().unwrap().is_none());
//! ```
//!
//! To add a kind of file: a file beside `sales.rs` with a type that implements
//! [`Kind`], its fields in the order of its place constants, and what cannot be
//! true refused in `read`.

mod asks;
mod bikes;
mod caught;
mod column_problem;
mod columns;
mod comps;
mod costs;
mod currency_signs;
mod date_codes;
mod dates;
mod decimal_sign;
mod did_you_mean;
mod features;
mod file_problem;
mod gifts;
mod guard;
mod inspection_measures;
mod inspection_sheet;
mod inspections;
mod invisible;
mod jobs;
mod like_items;
mod money;
mod number;
mod one_row;
mod opening;
mod parquet;
mod parquet_cells;
mod parquet_check;
mod parts;
mod pointing;
mod problem;
mod quoting;
mod reader;
mod records;
mod row;
mod sales;
mod settings;
mod window;

#[cfg(test)]
mod asks_tests;
#[cfg(test)]
mod columns_tests;
#[cfg(test)]
mod costs_tests;
#[cfg(test)]
mod dates_tests;
#[cfg(test)]
mod features_tests;
#[cfg(test)]
mod gifts_tests;
#[cfg(test)]
mod hostile_tests;
#[cfg(test)]
mod inspection_sheet_tests;
#[cfg(test)]
mod jobs_tests;
#[cfg(test)]
mod limits_tests;
#[cfg(test)]
mod money_tests;
#[cfg(test)]
mod one_row_tests;
#[cfg(test)]
mod properties_tests;
#[cfg(test)]
mod rows_tests;

pub use asks::Asks;
pub use bikes::{BikeToPrice, Bikes};
pub use column_problem::ColumnProblem;
pub use columns::{Field, REJECTS_COLUMNS, column_pair};
pub use comps::Comps;
pub use costs::Costs;
pub use date_codes::{DateCodes, DateRule, Meaning, Reading};
pub use dates::{check_day, parse_day};
pub use decimal_sign::DecimalSign;
pub use features::{
    EARLY_MODEL_YEAR, parse_condition, parse_hours, parse_made, parse_outcome, parse_seat_tube,
    parse_style, parse_tier,
};
pub use file_problem::FileProblem;
pub use gifts::Gifts;
pub use guard::with_guard;
pub use inspection_measures::parse_tyre_size;
pub use inspection_sheet::{InspectionSheet, SheetRow};
pub use inspections::{InspectionRow, Inspections};
pub use invisible::made_visible;
pub use jobs::Jobs;
pub use money::parse_money;
pub use parquet::ExportMark;
pub use parts::Parts;
pub use problem::{BadRow, CellProblem, Row, RowNote, RowProblem};
pub use reader::{Kind, Reader, RowResult};
pub use row::RowCells;
pub use sales::Sales;
pub use settings::{DateOrder, Settings};
