//! Why a file cannot be read (on) at all.

use super::columns::{ColumnProblem, shell_word};
use super::pointing::shortened;
use std::io;
use std::path::PathBuf;

/// A problem of a whole file. The message names the file; [`Self::mend`] says
/// what the user can do.
#[derive(Debug, thiserror::Error)]
pub enum FileProblem {
    /// It is missing, or the system does not let us read it.
    #[error("{}: cannot be opened: {source}", .path.display())]
    CannotOpen {
        /// The file.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// It is a folder.
    #[error("{}: is a folder, not a CSV file", .path.display())]
    IsFolder {
        /// The folder.
        path: PathBuf,
    },
    /// It is a device, a pipe or a socket.
    #[error("{}: is a device or a pipe, not a CSV file", .path.display())]
    NotAFile {
        /// Its path.
        path: PathBuf,
    },
    /// Nothing in it, or only blank lines.
    #[error("{}: is empty", .path.display())]
    Empty {
        /// The file.
        path: PathBuf,
    },
    /// A header and no rows.
    #[error("{}: has a header and no rows: it is refused as empty", .path.display())]
    NoRows {
        /// The file.
        path: PathBuf,
    },
    /// One column only.
    #[error("{}, line {line}: has one column only, '{header}'", .path.display())]
    OneColumn {
        /// The file.
        path: PathBuf,
        /// Line of the header.
        line: u64,
        /// The header, shortened.
        header: String,
    },
    /// Its first bytes are those of some other kind of file, or NUL.
    #[error("{}: is not a text file, but {looks_like}", .path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// What it looks like.
        looks_like: &'static str,
    },
    /// It begins as a Parquet file and cannot be read as one.
    #[error("{}: cannot be read as a Parquet file: {problem}", .path.display())]
    Parquet {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        problem: String,
    },
    /// It begins as a spreadsheet and cannot be read as one.
    #[error("{}: cannot be read as a spreadsheet: {problem}", .path.display())]
    Sheet {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        problem: String,
        /// What the user can do about it.
        mend: String,
    },
    /// Several sheets of a spreadsheet are not empty.
    #[error("{}: has several sheets that are not empty: {}", .path.display(), counted(.sheets))]
    SeveralSheets {
        /// The file.
        path: PathBuf,
        /// Name of each and how many of its rows are not empty.
        sheets: Vec<(String, usize)>,
        /// Which of them fits the kind of file best, from 0.
        fits: usize,
        /// The command that reads that one.
        command: Option<String>,
    },
    /// `--sheet` names a sheet that the spreadsheet lacks.
    #[error("{}: has no sheet '{}'", .path.display(), shortened(.sheet))]
    NoSuchSheet {
        /// The file.
        path: PathBuf,
        /// The sheet asked for.
        sheet: String,
        /// Those that it has.
        sheets: Vec<String>,
    },
    /// The sheet asked for has nothing in it.
    #[error("{}: its sheet '{}' is empty", .path.display(), shortened(.sheet))]
    EmptySheet {
        /// The file.
        path: PathBuf,
        /// The sheet.
        sheet: String,
    },
    /// `--sheet` was given for a file without sheets.
    #[error("{}: is no spreadsheet and has no sheet '{}'", .path.display(), shortened(.sheet))]
    NoSheets {
        /// The file.
        path: PathBuf,
        /// The sheet asked for.
        sheet: String,
    },
    /// A column of a Parquet file whose values are no cells.
    #[error("{}, column '{column}': holds {holds}; expected text, numbers, days or yes and no", .path.display())]
    ParquetColumn {
        /// The file.
        path: PathBuf,
        /// Name of the column.
        column: String,
        /// What it holds, in words.
        holds: &'static str,
    },
    /// A Parquet file that was exported from a book in another currency.
    #[error("{}: its amounts are in {theirs}, the book's in {ours}", .path.display())]
    OtherCurrency {
        /// The file.
        path: PathBuf,
        /// The file's currency.
        theirs: String,
        /// The book's.
        ours: String,
    },
    /// Bytes that are not UTF-8.
    #[error("{}, line {line}: is not UTF-8: byte 0x{byte:02X} at offset {offset} of the file", .path.display())]
    NotUtf8 {
        /// The file.
        path: PathBuf,
        /// Line of the byte.
        line: u64,
        /// Bytes of the file before it.
        offset: u64,
        /// The byte.
        byte: u8,
    },
    /// A line longer than is read.
    #[error("{}, line {line}: is longer than 1 MiB", .path.display())]
    LineTooLong {
        /// The file.
        path: PathBuf,
        /// The line.
        line: u64,
    },
    /// A quote that is never closed.
    #[error("{}, line {line}: a quote is opened here and never closed", .path.display())]
    OpenQuote {
        /// The file.
        path: PathBuf,
        /// Line of the quote.
        line: u64,
    },
    /// The header does not fit; all that is wrong with it.
    #[error("{}, line {line}: the header does not fit:{}", .path.display(), joined(.problems))]
    Columns {
        /// The file.
        path: PathBuf,
        /// Line of the header.
        line: u64,
        /// The header as in the file.
        header: Vec<String>,
        /// At least one.
        problems: Vec<ColumnProblem>,
        /// The command to run next, which says what every column holds as far as names
        /// and values tell, and what to look at in it, a line each behind it; `None`
        /// where that is not what is wrong.
        command: Option<String>,
        /// Whether the command lacks nothing that the user must put in.
        ready: bool,
    },
    /// The system failed while reading.
    #[error("{}, line {line}: reading failed: {source}", .path.display())]
    ReadFailed {
        /// The file.
        path: PathBuf,
        /// The line reached.
        line: u64,
        /// What the system says.
        source: io::Error,
    },
}

/// Most sheets that are named.
const MOST_NAMED: usize = 20;

/// Sheets with their rows: `'Sold' (12 rows), 'Costs' (1 row)`.
fn counted(sheets: &[(String, usize)]) -> String {
    let one = |(name, rows): &(String, usize)| match rows {
        1 => format!("'{}' (1 row)", shortened(name)),
        rows => format!("'{}' ({rows} rows)", shortened(name)),
    };
    let named: Vec<String> = sheets.iter().take(MOST_NAMED).map(one).collect();
    let more = match sheets.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("{}{more}", named.join(", "))
}

/// One problem after the words, several on a line each.
fn joined(problems: &[ColumnProblem]) -> String {
    match problems {
        [only] => format!(" {only}"),
        many => many
            .iter()
            .flat_map(|problem| ["\n  ".to_string(), problem.to_string()])
            .collect(),
    }
}

impl FileProblem {
    /// What is wrong, with the path (the same as its `Display`).
    pub fn message(&self) -> String {
        self.to_string()
    }

    /// The header, where it was read but does not fit.
    pub fn header(&self) -> Option<&[String]> {
        match self {
            Self::Columns { header, .. } => Some(header),
            _ => None,
        }
    }

    /// The command that is proposed for the header, where one is.
    pub fn proposed(&self) -> Option<&str> {
        match self {
            Self::Columns { command, .. } => command.as_deref(),
            _ => None,
        }
    }

    /// What the user can do about it; one sentence or more, a line each where
    /// several columns are meant.
    pub fn mend(&self) -> String {
        match self {
            Self::CannotOpen { source, .. } => match source.kind() {
                io::ErrorKind::NotFound => "Check the file's name and folder.".to_string(),
                io::ErrorKind::PermissionDenied => "Allow yourself to read it.".to_string(),
                _ => "Check that the file can be read.".to_string(),
            },
            Self::IsFolder { .. } => "Name the CSV files in it.".to_string(),
            Self::NotAFile { .. } => "Save what it gives to a file and name that.".to_string(),
            Self::Empty { .. } | Self::NoRows { .. } => {
                "Give a file with a header line and at least one row.".to_string()
            }
            Self::OneColumn { .. } => {
                "A list has several columns; in a text file comma, semicolon or tab stands between the cells.".to_string()
            }
            Self::NotText { looks_like, .. } => as_text(looks_like).to_string(),
            Self::Sheet { mend, .. } => mend.clone(),
            Self::SeveralSheets { command, .. } => match command {
                Some(command) => {
                    format!("Say which one is meant; change what is wrong:\n  {command}")
                }
                None => {
                    "Keep one sheet in the file, or save the one that is meant as CSV.".to_string()
                }
            },
            Self::NoSuchSheet { sheets, .. } => {
                let names: Vec<String> = sheets
                    .iter()
                    .take(MOST_NAMED)
                    .map(|name| shortened(name))
                    .collect();
                format!("Its sheets are: {}.", names.join(", "))
            }
            Self::EmptySheet { .. } => "Name another with --sheet.".to_string(),
            Self::NoSheets { .. } => "Leave --sheet out.".to_string(),
            Self::Parquet { .. } => "Write the file again, or save the table as CSV.".to_string(),
            Self::ParquetColumn { column, .. } => {
                let column = shell_word(column);
                format!("Leave it out with --ignore {column}, or write it as one of these.")
            }
            Self::OtherCurrency { theirs, .. } => {
                format!("Import it into a book in {theirs}: amounts are not converted.")
            }
            Self::NotUtf8 { .. } => {
                "Save it again as 'CSV UTF-8', or convert it, for example with: iconv -f \
                 WINDOWS-1252 -t UTF-8."
                    .to_string()
            }
            Self::LineTooLong { .. } => {
                "Check that the file is a CSV with a line end after each row.".to_string()
            }
            Self::OpenQuote { .. } => {
                "Close the quote; a quote inside a quoted cell is written twice.".to_string()
            }
            Self::Columns {
                problems,
                command,
                ready,
                ..
            } => mend_of_header(problems, command.as_deref(), *ready),
            Self::ReadFailed { .. } => {
                "Check the disk or the connection, and try again.".to_string()
            }
        }
    }
}

/// What to do about each problem of a header; `command` says it of all strangers at once.
fn mend_of_header(problems: &[ColumnProblem], command: Option<&str>, ready: bool) -> String {
    let mut lines: Vec<String> = problems
        .iter()
        .filter(|problem| command.is_none() || !problem.is_a_stranger())
        .map(ColumnProblem::mend)
        .collect();
    if let Some(command) = command {
        lines.push(match ready {
            true => "To run next, with what names and values suggest; change what is wrong:".into(),
            false => {
                "Not ready to run, as a column is missing; with what names and values suggest:"
                    .to_string()
            }
        });
        lines.push(format!("  {command}"));
    }
    lines.join("\n")
}

/// How the rows of a file that is no text can be had.
fn as_text(looks_like: &str) -> &'static str {
    match looks_like {
        "a picture" => "Type its rows into a spreadsheet, and import that.",
        page if page.contains("page") => {
            "Open it in a spreadsheet, and save it as .xlsx, .ods or CSV in UTF-8."
        }
        _ => "Save it as CSV in UTF-8 from the program that made it.",
    }
}
