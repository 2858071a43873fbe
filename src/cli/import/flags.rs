//! What can be typed after `import`. The doc comments are the help.

use crate::cli::how_written::{Dates, Decimal};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// Read CSV files and spreadsheets into the book, all or nothing
///
/// Every bad row is reported in one go and nothing is imported, unless
/// --skip-bad says where bad rows are to be put. The same file again changes
/// nothing; a changed row with the same id changes what the book has. What you say of
/// columns is remembered for the next file with the same header. Asks, costs and
/// returns come after the sales of their bikes. A spreadsheet (.xlsx, .ods) is read
/// like the CSV file of one of its sheets, and problems are named by their cells; a
/// Parquet file like the CSV file of its table, with rows counted from line 2. Lines
/// above the header and a last row that adds up the others are left out, and the
/// answer says so. For one event without a file there is 'wheelworth record'.
///
/// Example: wheelworth import sales ledger.csv --dates dmy --column bike=No --column style=What
#[derive(Debug, Args)]
pub(crate) struct Import {
    /// What the files hold
    #[arg(value_enum, required_unless_present_any = ["history", "undo"])]
    pub kind: Option<KindOfFile>,
    /// The files; - is standard input
    #[arg(value_name = "FILE", required_unless_present_any = ["history", "undo", "blank"])]
    pub files: Vec<PathBuf>,
    /// The sheet of a spreadsheet, where several are not empty
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// A column of the file under another name; several that make up the id of an advert
    /// together: listing='what + size'
    #[arg(long, value_name = "OURS=THEIRS")]
    pub column: Vec<String>,
    /// What a word of yours means in a column: condition:good=tidy; nothing after the
    /// equals sign empties the cell: bike:shop=; nothing before it is what an empty cell
    /// and a missing column mean: kind:=other
    #[arg(long, value_name = "COLUMN:YOURS=OURS")]
    pub word: Vec<String>,
    /// Leave a column of the file out
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
    /// Order of day and month in dates such as 03/02/2024; the book keeps it
    #[arg(long, value_enum)]
    pub dates: Option<Dates>,
    /// Sign before the decimals of amounts such as 1.234; the book keeps it
    #[arg(long, value_enum)]
    pub decimal: Option<Decimal>,
    /// Let rows change bikes that look like others under the same id
    #[arg(long)]
    pub correct: bool,
    /// Put this before each id of a bike or listing in the files
    #[arg(long, value_name = "TEXT")]
    pub prefix: Option<String>,
    /// Check the files and say what would change; leave the book as it is
    #[arg(long)]
    pub dry_run: bool,
    /// Import the good rows and write the bad ones here, with the reasons
    #[arg(long, value_name = "REJECTS.csv")]
    pub skip_bad: Option<PathBuf>,
    /// Write an empty file with the columns of the kind, to fill in
    #[arg(long, value_name = "FILE.csv", conflicts_with_all = ["files", "history", "undo", "dry_run", "skip_bad"])]
    pub blank: Option<PathBuf>,
    /// Leave made, condition, tier, seat_tube or new_price unknown where a cell cannot be read
    #[arg(long)]
    pub blank_bad: bool,
    /// List the imports so far
    #[arg(long, conflicts_with_all = ["undo", "files", "dry_run", "skip_bad"])]
    pub history: bool,
    /// Take an import back
    #[arg(long, value_name = "N", conflicts_with_all = ["kind", "files", "dry_run", "skip_bad"])]
    pub undo: Option<i64>,
}

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum KindOfFile {
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
    /// Offers that were made, as export writes them
    Offers,
    /// Inspections of your own bikes, a row for each finding
    Inspections,
}

impl KindOfFile {
    /// The word that is typed.
    pub(crate) fn word(self) -> &'static str {
        match self {
            KindOfFile::Sales => "sales",
            KindOfFile::Comps => "comps",
            KindOfFile::Asks => "asks",
            KindOfFile::Costs => "costs",
            KindOfFile::Gifts => "gifts",
            KindOfFile::Returns => "returns",
            KindOfFile::Offers => "offers",
            KindOfFile::Inspections => "inspections",
        }
    }
}
