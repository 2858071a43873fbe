//! What was left out of a file, or is odd about it as a whole.

use crate::intake::cells::invisible::made_visible;
use std::fmt;

/// Something about a file that the user should be told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileNote {
    /// Lines above the header were left out.
    AboveHeader {
        /// The first and the last of them.
        lines: (u64, u64),
        /// What stands in them, shortened.
        text: String,
    },
    /// A row calls itself a total, or adds up the rows above it, and was left out.
    Total {
        /// Its line.
        line: u64,
        /// Whether it calls itself one.
        by_name: bool,
        /// Column and amount.
        figures: Vec<(String, String)>,
        /// Columns, their amount and the sum of the rows above, where they differ.
        wrong: Vec<(String, String, String)>,
    },
    /// A row with all that a row needs whose amounts are the sums of the rows above.
    LikeATotal {
        /// Its line.
        line: u64,
        /// Column and amount.
        figures: Vec<(String, String)>,
    },
    /// A row that only parts others was left out.
    Divider {
        /// Its line.
        line: u64,
        /// What stands in it, shortened.
        text: String,
    },
    /// Days of a spreadsheet with a time of day.
    TimesOfDay {
        /// How many.
        count: usize,
        /// Name of the first such cell.
        first: String,
    },
}

impl FileNote {
    /// The line it is about; 0 for the file as a whole.
    pub fn line(&self) -> u64 {
        match self {
            Self::Total { line, .. }
            | Self::LikeATotal { line, .. }
            | Self::Divider { line, .. } => *line,
            Self::AboveHeader { .. } | Self::TimesOfDay { .. } => 0,
        }
    }
}

/// `ask 120.00, parts 15.00`.
fn listed(figures: &[(String, String)]) -> String {
    let one = |(column, amount): &(String, String)| format!("{column} {amount}");
    figures.iter().map(one).collect::<Vec<_>>().join(", ")
}

impl fmt::Display for FileNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AboveHeader {
                lines: (first, last),
                text,
            } if first == last => write!(
                f,
                "line {first} above the header was left out: '{}'",
                made_visible(text)
            ),
            Self::AboveHeader {
                lines: (first, last),
                text,
            } => write!(
                f,
                "lines {first} to {last} above the header were left out: '{}'",
                made_visible(text)
            ),
            Self::Total {
                by_name,
                figures,
                wrong,
                ..
            } => {
                let why = match by_name {
                    true => "calls itself a total",
                    false => "adds up the rows above it",
                };
                write!(f, "{why} and was left out")?;
                if !figures.is_empty() {
                    write!(f, ": {}", listed(figures))?;
                }
                for (column, amount, sum) in wrong {
                    write!(
                        f,
                        "; its {column} of {amount} is not the sum of the rows above, {sum}"
                    )?;
                }
                if !by_name {
                    write!(f, ". If it is a row like the others, put it further up")?;
                }
                Ok(())
            }
            Self::Divider { text, .. } => write!(
                f,
                "only parts the rows and was left out: '{}'",
                made_visible(text)
            ),
            Self::LikeATotal { figures, .. } => write!(
                f,
                "its amounts are the sums of the rows above ({}), but it has all that a row needs \
                 and was read as one; take it out of the file if it is a total",
                listed(figures)
            ),
            Self::TimesOfDay { count: 1, first } => {
                write!(
                    f,
                    "the time of day in {first} is left out where a day is meant"
                )
            }
            Self::TimesOfDay { count, first } => write!(
                f,
                "{count} days have a time of day, the first in {first}, which is left out where a \
                 day is meant"
            ),
        }
    }
}
