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
//! * `kind`, `field`: what a kind of file is, and a column of it; `kinds`: each of them
//! * `file`: a file's bytes to rows of cells, its columns found; `parquet` and `sheets`:
//!   the same from a Parquet file and from a spreadsheet
//! * `cells`: what stands in a cell: amounts, days, words, features of a bike
//! * `problems`: what is wrong, where, and what to do about it
//! * `settings`: what a file cannot say about itself
//!
//! To add a kind of file: a file beside `kinds/sales.rs` with a type that implements
//! [`Kind`], and what cannot be true refused in `read`.

mod cells;
mod field;
mod file;
mod kind;
mod kinds;
mod parquet;
mod problems;
mod settings;
mod sheets;

pub use cells::dates::{check_day, parse_day, parse_typed_day};
pub use cells::decimal_sign::DecimalSign;
pub use cells::features::{
    parse_condition, parse_hours, parse_made, parse_outcome, parse_seat_tube, parse_seat_tube_of,
    parse_style, parse_tier,
};
pub use cells::guard::with_guard;
pub use cells::id::parse_id;
pub use cells::invisible::made_visible;
pub use cells::meanings::is_no_bike;
pub use cells::money::parse_money;
pub use cells::own_words::reads_by_itself;
pub use cells::row::RowCells;
pub use field::Field;
pub use file::columns::{REJECTS_COLUMNS, column_pair};
pub use file::reader::{Reader, RowResult};
pub use kind::Kind;
pub use kinds::asks::Asks;
pub use kinds::bikes::{BikeToPrice, Bikes};
pub use kinds::comps::Comps;
pub use kinds::costs::Costs;
pub use kinds::date_codes::{DateCodes, DateRule, Meaning, Reading};
pub use kinds::gifts::Gifts;
pub use kinds::inspection_measures::parse_tyre_size;
pub use kinds::inspection_sheet::{InspectionSheet, SheetRow};
pub use kinds::inspections::{InspectionRow, Inspections};
pub use kinds::jobs::Jobs;
pub use kinds::offers::Offers;
pub use kinds::parts::Parts;
pub use kinds::returns::Returns;
pub use kinds::sales::Sales;
pub use parquet::as_text::ExportMark;
pub use problems::columns::{ColumnProblem, shell_word, word_flag};
pub use problems::file::FileProblem;
pub use problems::notes::FileNote;
pub use problems::problem::{BadRow, CellProblem, Row, RowNote, RowProblem};
pub use problems::proposal::Proposal;
pub use settings::{DateOrder, Settings};
