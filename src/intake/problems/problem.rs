//! What is wrong with a cell or a row, as data: where, what, and the mend.

use crate::intake::cells::invisible::made_visible;
use std::fmt;
use std::ops::Range;

/// Why one value cannot be read. Also the error of the `parse_…` functions,
/// which the command line uses for its flags.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("expected {expected}. {mend}")]
pub struct CellProblem {
    /// What was expected, as a noun: 'a day such as 2024-02-24'.
    pub expected: String,
    /// What the user can do about it, as a sentence.
    pub mend: String,
    /// What the cell probably means, for `--word`; empty where it means nothing.
    pub means: Option<String>,
}

impl CellProblem {
    /// A problem from its two texts, which may quote the value: what a terminal would
    /// obey is replaced.
    pub fn new(expected: impl Into<String>, mend: impl Into<String>) -> Self {
        Self {
            expected: made_visible(&expected.into()),
            mend: made_visible(&mend.into()),
            means: None,
        }
    }

    /// The same problem of a cell that probably means something else.
    #[must_use]
    pub fn meaning(self, means: impl Into<String>) -> Self {
        Self {
            means: Some(means.into()),
            ..self
        }
    }

    /// The same problem, its mend after a sentence that says why it is one.
    pub(in crate::intake) fn with_reason(self, reason: &str) -> Self {
        Self::new(self.expected, format!("{reason} {}", self.mend))
    }

    /// The mend without its way out of leaving the cell empty, where it has one:
    /// for a cell that must hold something, and for flags.
    pub fn mend_by_a_value(&self) -> Option<&str> {
        self.mend.split_once(OR_EMPTY).map(|(mend, _)| mend)
    }
}

/// How a mend offers to leave a cell empty; what follows says when.
const OR_EMPTY: &str = ", or leave the cell empty";

/// A character as people look it up: `U+200B`.
pub(in crate::intake) fn code_point(character: char) -> String {
    format!("U+{:04X}", u32::from(character))
}

/// One problem of one row, with all that is needed to point into the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowProblem {
    /// Line of the file on which the cell starts, from 1.
    pub line: u64,
    /// Of a spreadsheet, the sheet and the cell: `sheet 'Sold', cell C2`; of a row as a
    /// whole `sheet 'Sold', row 2`.
    pub cell: Option<String>,
    /// Name of the column as the file's header has it; empty when the row as
    /// a whole is meant.
    pub column: String,
    /// Number of the column from 1; 0 when the row as a whole is meant.
    pub column_number: usize,
    /// The cell as it stands in the file, shortened when it is long.
    pub value: String,
    /// What was expected there.
    pub expected: String,
    /// What the user can do about it.
    pub mend: String,
    /// Our column, the cell and what it probably means, for `--word`.
    pub word: Option<(String, String, String)>,
    /// The line of the file around the cell, shortened when it is long;
    /// characters that a terminal would obey are replaced.
    pub line_text: String,
    /// Bytes of `line_text` that hold the cell.
    pub at: Range<usize>,
}

impl RowProblem {
    /// Where it is in the file: `line 3`, `sheet 'Sold', cell C2`.
    pub fn place(&self) -> String {
        match &self.cell {
            Some(cell) => cell.clone(),
            None => format!("line {}", self.line),
        }
    }
}

impl fmt::Display for RowProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.place())?;
        if !self.column.is_empty() {
            write!(f, ", column {}", self.column)?;
        }
        write!(
            f,
            ": '{}', expected {}. {}",
            self.value, self.expected, self.mend
        )
    }
}

/// A row that cannot be used, with every problem found in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadRow {
    /// Line of the file on which the row starts, from 1.
    pub line: u64,
    /// Its problems, in the order of the columns; at least one.
    pub problems: Vec<RowProblem>,
    /// Its cells as they stand in the file, for a file of rejects.
    pub cells: Vec<String>,
}

/// A row that can be used.
#[derive(Clone, Debug, PartialEq)]
pub struct Row<R> {
    /// Line of the file on which the row starts, from 1.
    pub line: u64,
    /// What it says.
    pub record: R,
    /// What the user should be told about it.
    pub notes: Vec<RowNote>,
}

/// Something in a good row that the user should be told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RowNote {
    /// Blanks around an id were taken away.
    IdTrimmed {
        /// Our name of the column.
        column: &'static str,
        /// The id that is left.
        id: String,
    },
    /// A character that nobody sees, in an id or a source.
    Invisible {
        /// Our name of the column.
        column: &'static str,
        /// The text with it.
        text: String,
        /// The first such character.
        character: char,
    },
    /// A model year before 1890: possible, but rarely meant.
    EarlyModelYear {
        /// The model year.
        made: i16,
    },
    /// A cell of an optional feature that cannot be read was left unknown, as was asked for.
    LeftUnknown {
        /// Our name of the column.
        column: &'static str,
        /// As written.
        written: String,
    },
    /// A comp that looks like several bikes, or like no whole one.
    NotOneBike {
        /// As written, shortened.
        written: String,
        /// Whether it looks like parts of one.
        parts: bool,
    },
    /// So many hours for one bike that they may be minutes.
    ManyHours {
        /// As written.
        written: String,
    },
    /// A sale that brought nothing: the bike may have been given away.
    SoldForNothing,
    /// Line breaks or tabs in a free text became blanks.
    BreaksTakenOut,
    /// Hours were given finer than a hundredth and rounded half up.
    HoursRounded {
        /// As written.
        written: String,
        /// As kept, in hundredths of an hour.
        hundredths: i64,
    },
}

impl fmt::Display for RowNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RowNote::IdTrimmed { column, id } => {
                write!(f, "blanks around {column} '{id}' were taken away")
            }
            RowNote::Invisible {
                column,
                text,
                character,
            } => {
                write!(
                    f,
                    "{column} '{}' holds an invisible character, {} (shown as \u{fffd}), and is \
                     not the same without it: take it out unless it is meant",
                    made_visible(text),
                    code_point(*character)
                )
            }
            RowNote::EarlyModelYear { made } => {
                write!(
                    f,
                    "model year {made} is before 1890: check that it is meant"
                )
            }
            RowNote::LeftUnknown { column, written } => write!(
                f,
                "{column} '{}' cannot be read and was left unknown",
                made_visible(written)
            ),
            RowNote::NotOneBike {
                written,
                parts: false,
            } => write!(
                f,
                "'{}' looks like a lot of several bikes: its ask is not for one; take it out, or \
                 give what one of them costs",
                made_visible(written)
            ),
            RowNote::NotOneBike {
                written,
                parts: true,
            } => write!(
                f,
                "'{}' looks like parts and not a whole bike: its ask is not for one; take it out",
                made_visible(written)
            ),
            RowNote::ManyHours { written } => write!(
                f,
                "{written} hours for one bike: check that they are not minutes"
            ),
            RowNote::SoldForNothing => write!(
                f,
                "sold for 0: if it was given away, say so with wheelworth record leave --bike ID \
                 --as given"
            ),
            RowNote::BreaksTakenOut => {
                write!(f, "line breaks and tabs in a free text were made blanks")
            }
            RowNote::HoursRounded {
                written,
                hundredths,
            } => {
                let (whole, part) = (hundredths / 100, hundredths % 100);
                write!(f, "hours {written} are kept as {whole}.{part:02}")
            }
        }
    }
}
