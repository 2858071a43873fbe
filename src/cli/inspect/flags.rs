//! What can be typed after `inspect`. The doc comments are the help.

use clap::Args;
use std::path::PathBuf;

/// Write a sheet to inspect a bike by, and say what a filled-in one means
///
/// The sheet goes round the bike: how to look, the limit, and the clause of the
/// standard where there is one. Filled in it gives condition, component tier and
/// size, the safety checks that have not passed, and the jobs to do. What is not
/// checked never counts as a pass, and a check list certifies nothing: when in doubt
/// ask a qualified mechanic. No book is needed, unless --bike says whose inspection
/// it is: then it is kept, and price, stock and quarter know of it. What was kept is
/// never written over, and only a new inspection clears a failed check.
///
/// Example: wheelworth inspect --blank sheet.csv; then: wheelworth inspect sheet.csv
#[derive(Debug, Args)]
pub(crate) struct Inspect {
    /// The filled-in sheet
    #[arg(value_name = "SHEET.csv", required_unless_present_any = ["blank", "bike"])]
    pub sheet: Option<PathBuf>,
    /// Write a blank sheet
    #[arg(long, value_name = "SHEET.csv", conflicts_with_all = ["sheet", "bike", "on", "column", "ignore"])]
    pub blank: Option<PathBuf>,
    /// Keep it as the inspection of this bike of the book; without a sheet, show its
    /// latest
    #[arg(long, value_name = "ID")]
    pub bike: Option<String>,
    /// The day of the inspection [default: the day of --as-of]
    #[arg(long, value_name = "DATE", requires_all = ["bike", "sheet"])]
    pub on: Option<String>,
    /// A column of the sheet under another name
    #[arg(long, value_name = "OURS=THEIRS")]
    pub column: Vec<String>,
    /// Leave a column of the sheet out
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
}
