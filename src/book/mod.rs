//! The record book: one `SQLite` file that keeps checked records and judges
//! nothing. The only room that knows `SQLite`.
//!
//! The file is safe to copy whenever no command runs: there are no side files
//! then. Every import is one transaction.
//!
//! * `connection`: an open book; `problem`: what can go wrong; `settings`: what it is
//!   started with
//! * `file`: making, opening, checking and migrating the file, transactions
//! * `tables`: records in and out, and how they are coded
//! * `import`: records put all or none, told apart by ids, or by what they say
//! * `history`: what each import did, how to undo it, records as of a day
//! * `model_cache`: what was learnt from the records, while they are the same

mod connection;
mod file;
mod history;
mod import;
mod model_cache;
mod problem;
mod settings;
mod tables;
#[cfg(test)]
mod tests;

pub use connection::Book;
pub use file::writing::Together;
pub use history::changes::{RecordChange, RowKey};
pub use history::entries::HistoryEntry;
pub use history::recorded::Recorded;
pub use history::renames::Renamed;
pub use history::undo::Undone;
pub use import::alike::Repeat;
pub use import::column_maps::RememberedColumns;
pub use import::imports::{Import, ImportSummary};
pub use import::likeness::LikeListings;
pub use import::put::{FieldChange, Put};
pub use model_cache::{Kept, State};
pub use problem::BookProblem;
pub use settings::Settings;
pub use tables::closings::Closing;
pub use tables::counts::Counts;
pub use tables::rules::KeptRule;
