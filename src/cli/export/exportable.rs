//! What can be exported, as it is typed. The doc comments are the help.

use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// Write a table of the book, or a model with all that it rests on, as a file
///
/// A table is a copy of the records: all of them, whatever --as-of says. The CSV has
/// the columns that 'wheelworth import' reads, and both can be imported again. A
/// text that a spreadsheet would run as a formula gets an apostrophe in front in
/// the CSV, which import takes away.
///
/// A model is written as JSON, as it is on the day of --as-of: its columns, every row
/// with its weight or why it was left out, the beliefs beside them, and what was
/// found, with all digits. Any statistics program can fit the same rows again.
///
/// A file that is there is replaced only if it is an earlier export of the same, and
/// every record in it is in this book too.
///
/// Example: wheelworth export sales sales-copy.csv
#[derive(Debug, Args)]
pub(crate) struct Export {
    /// What is written
    #[arg(value_enum, value_name = "WHAT")]
    pub what: Exportable,
    /// The file: .csv or .parquet for a table, .json for a model
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}

/// What can be exported.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Exportable {
    /// Your own bikes, sold or on hand
    Sales,
    /// Comparable bikes seen elsewhere
    Comps,
    /// Price changes of your own listings
    Asks,
    /// Money spent on a bike or on the workshop
    Costs,
    /// Money handed to a beneficiary
    Gifts,
    /// Money handed back to buyers
    Returns,
    /// Offers that were kept
    Offers,
    /// Inspections of your own bikes, a row for each finding
    Inspections,
    /// What bikes are worth: prices, beliefs and the effects found
    ValueModel,
    /// How long listings stand: episodes, beliefs and the effects found
    TimeModel,
}
