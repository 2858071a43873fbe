//! What does not fit in the header of a file, with the mend.

use super::pointing::shortened;
use crate::intake::cells::invisible::made_visible;

/// Why a header does not fit; all of a file's are reported together.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ColumnProblem {
    /// A column that is neither ours nor mapped nor ignored.
    #[error("column {number}, '{column}', is not known{}", did_you_mean(.near.as_ref()))]
    Unknown {
        /// As in the header.
        column: String,
        /// From 1.
        number: usize,
        /// The field that it looks like.
        near: Option<&'static str>,
        /// Fields that no column holds yet.
        free: Vec<&'static str>,
    },
    /// A column without a name among named ones.
    #[error("column {number} has no name")]
    Unnamed {
        /// From 1.
        number: usize,
    },
    /// More columns that are not known or have no name than are told.
    #[error("{count} more columns are not known")]
    AndMore {
        /// How many.
        count: usize,
    },
    /// A field that every file of the kind must have.
    #[error("the column '{field}' is missing: {what}")]
    Missing {
        /// Our name.
        field: &'static str,
        /// What it holds.
        what: &'static str,
        /// A column of the file that looks like it.
        near: Option<String>,
    },
    /// Two columns of the file hold one field.
    #[error("columns {first} and {second} are both '{field}'")]
    Twice {
        /// Our name.
        field: &'static str,
        /// Number of the first column, from 1.
        first: usize,
        /// Number of the second column, from 1.
        second: usize,
    },
    /// `--column` gives one column of the file to two fields.
    #[error("--column gives the column '{theirs}' to both '{first}' and '{second}'")]
    Shared {
        /// The column.
        theirs: String,
        /// The first field.
        first: &'static str,
        /// The second field.
        second: &'static str,
    },
    /// `--column` names a column that the file lacks.
    #[error("--column {ours}={theirs}: the file has no column '{theirs}'{}", did_you_mean(.near.as_ref()))]
    NotInFile {
        /// The field asked for.
        ours: String,
        /// The column asked for.
        theirs: String,
        /// A column of the file that looks like it.
        near: Option<String>,
        /// The file's columns, each shortened, the first of very many.
        header: Vec<String>,
        /// How many more there are.
        more: usize,
    },
    /// `--column` names a field that this kind of file lacks.
    #[error("--column {ours}={theirs}: there is no field '{ours}'{}", did_you_mean(.near.as_ref()))]
    NoSuchField {
        /// The field asked for.
        ours: String,
        /// The column asked for.
        theirs: String,
        /// The field that it looks like.
        near: Option<&'static str>,
        /// Every field of this kind of file.
        fields: Vec<&'static str>,
    },
}

fn did_you_mean<S: AsRef<str>>(near: Option<&S>) -> String {
    near.map_or_else(String::new, |near| {
        format!("; did you mean '{}'?", near.as_ref())
    })
}

impl ColumnProblem {
    /// Whether it is that a column's or a field's place is not known, which a
    /// ready command line answers.
    pub(in crate::intake) fn is_a_stranger(&self) -> bool {
        matches!(self, Self::Unknown { .. } | Self::Missing { .. })
    }

    /// What the user can do about it, as a sentence.
    pub fn mend(&self) -> String {
        match self {
            Self::Unknown {
                column,
                near: None,
                free,
                ..
            } if free.is_empty() => {
                let shown = shell_word(column);
                format!("Every field has its column: leave it out with --ignore {shown}.")
            }
            Self::Unknown { column, near, .. } => {
                let shown = shell_word(column);
                let map = match near {
                    Some(near) => format!("--column {near}={shown}"),
                    None => format!("--column OURS={shown}"),
                };
                format!("Say what it holds with {map}, or leave it out with --ignore {shown}.")
            }
            Self::Unnamed { .. } => {
                "Name the column in the header, or leave it out with --ignore ''.".to_string()
            }
            Self::AndMore { .. } => "Check that this is the right kind of file.".to_string(),
            Self::Missing { field, near, .. } => {
                let theirs = near
                    .as_deref()
                    .map_or_else(|| "THEIRS".to_string(), shell_word);
                format!("Say which column holds it with --column {field}={theirs}.")
            }
            Self::Twice { field, .. } => {
                format!("Keep one of them as '{field}', and leave the other out with --ignore.")
            }
            Self::Shared { .. } => "Leave one of the two out.".to_string(),
            Self::NotInFile { header, more, .. } => {
                let more = match more {
                    0 => String::new(),
                    more => format!(", and {more} more"),
                };
                format!("The file's columns are: {}{more}.", header.join(", "))
            }
            Self::NoSuchField { fields, .. } => format!("The fields are: {}.", fields.join(", ")),
        }
    }
}

/// Longer names, in bytes, are cut in what is shown.
pub(in crate::intake) const LONGEST: usize = 300;

/// A word as it is typed on a command line of a POSIX shell.
pub fn shell_word(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "_-./:".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        return word.to_string();
    }
    format!("'{}'", word.replace('\'', "'\\''"))
}

/// `--word COLUMN:THEIRS=OURS`, ready to be typed; `None` where their word holds an equals
/// sign, at which the flag would end it.
pub fn word_flag(column: &str, theirs: &str, ours: &str) -> Option<String> {
    if theirs.contains('=') {
        return None;
    }
    let theirs = match theirs.len() {
        ..=LONGEST => theirs.to_string(),
        _ => shortened(theirs),
    };
    let word = format!("{column}:{theirs}={ours}");
    // The equals sign alone needs no quotes.
    let word = match shell_word(&word.replace('=', "")) {
        quoted if quoted.starts_with('\'') => shell_word(&word),
        _ => word,
    };
    Some(made_visible(&format!("--word {word}")))
}
