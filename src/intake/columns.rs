//! Which column of a file holds which field, and what to say when none does.

use super::settings::Settings;

/// A column that a kind of file may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field {
    /// Our name of the column.
    pub name: &'static str,
    /// Whether every file must have it.
    pub required: bool,
    /// What it holds, for help.
    pub what: &'static str,
}

impl Field {
    pub(super) const fn required(name: &'static str, what: &'static str) -> Self {
        Self {
            name,
            required: true,
            what,
        }
    }

    pub(super) const fn optional(name: &'static str, what: &'static str) -> Self {
        Self {
            name,
            required: false,
            what,
        }
    }
}

/// Why a header does not fit; all of a file's are reported together.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ColumnProblem {
    /// A column that is neither ours nor mapped nor ignored.
    #[error("column {number}, '{column}', is not known{}", did_you_mean(.near))]
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
    #[error("--column {ours}={theirs}: the file has no column '{theirs}'{}", did_you_mean(.near))]
    NotInFile {
        /// The field asked for.
        ours: String,
        /// The column asked for.
        theirs: String,
        /// A column of the file that looks like it.
        near: Option<String>,
        /// The file's columns.
        header: Vec<String>,
    },
    /// `--column` names a field that this kind of file lacks.
    #[error("--column {ours}={theirs}: there is no field '{ours}'{}", did_you_mean(.near))]
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

fn did_you_mean<S: AsRef<str>>(near: &Option<S>) -> String {
    near.as_ref().map_or_else(String::new, |near| {
        format!("; did you mean '{}'?", near.as_ref())
    })
}

impl ColumnProblem {
    /// What the user can do about it, as a sentence.
    pub fn mend(&self) -> String {
        match self {
            Self::Unknown {
                column, near, free, ..
            } => {
                let shown = shell_word(column);
                let map = match near {
                    Some(near) => format!("--column {near}={shown}"),
                    None => format!("--column OURS={shown} (still free: {})", free.join(", ")),
                };
                format!("Say what it holds with {map}, or leave it out with --ignore {shown}.")
            }
            Self::Unnamed { .. } => {
                "Name the column in the header, or leave it out with --ignore ''.".to_string()
            }
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
            Self::NotInFile { header, .. } => {
                format!("The file's columns are: {}.", header.join(", "))
            }
            Self::NoSuchField { fields, .. } => format!("The fields are: {}.", fields.join(", ")),
        }
    }
}

/// A word as it is typed on a command line.
fn shell_word(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "_-.".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        return word.to_string();
    }
    format!("'{}'", word.replace('\'', "'\\''"))
}

/// The columns of one file.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    /// The header as in the file, blanks around names taken away.
    pub(super) header: Vec<String>,
    /// For each field the number of its column, from 0.
    pub(super) at: Vec<Option<usize>>,
    /// Pairs (ours, theirs) where the names differ.
    pub(super) used: Vec<(String, String)>,
}

/// Whether two column names are the same: case and blanks around do not count.
fn same(a: &str, b: &str) -> bool {
    a.trim() == b.trim() || a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// Whether a name in a header means something to us.
pub(super) fn is_known(name: &str, fields: &[Field], settings: &Settings) -> bool {
    fields.iter().any(|field| same(field.name, name))
        || settings
            .columns
            .iter()
            .any(|(_, theirs)| same(theirs, name))
        || settings.ignore.iter().any(|ignored| same(ignored, name))
}

impl Columns {
    /// Matches a header against the fields, with `--column` and `--ignore`.
    pub(super) fn find(
        mut header: Vec<String>,
        fields: &'static [Field],
        settings: &Settings,
    ) -> Result<Self, Vec<ColumnProblem>> {
        while header.last().is_some_and(|name| name.is_empty()) {
            header.pop();
        }
        let mut problems = Vec::new();
        let mut at = vec![None; fields.len()];
        let mapped = mapped_columns(&header, fields, settings, &mut problems);
        let mut unknown = Vec::new();
        for (number, name) in header.iter().enumerate() {
            let by_map = mapped
                .iter()
                .find(|(_, column)| *column == number)
                .map(|(field, _)| *field);
            let ignored = settings.ignore.iter().any(|ignored| same(ignored, name));
            let by_name = || fields.iter().position(|field| same(field.name, name));
            match by_map.or_else(|| if ignored { None } else { by_name() }) {
                Some(field) => take(field, number, fields, &mut at, &mut problems),
                None if ignored => {}
                None if name.is_empty() => {
                    problems.push(ColumnProblem::Unnamed { number: number + 1 })
                }
                None => unknown.push(number),
            }
        }
        let free = |fields: &'static [Field], at: &[Option<usize>]| -> Vec<&'static str> {
            let open = fields.iter().zip(at).filter(|(_, column)| column.is_none());
            open.map(|(field, _)| field.name).collect()
        };
        let open = free(fields, &at);
        let names = |numbers: &[usize]| -> Vec<String> {
            numbers
                .iter()
                .filter_map(|number| header.get(*number).cloned())
                .collect()
        };
        let strangers = names(&unknown);
        for (column, number) in strangers.iter().zip(&unknown) {
            problems.push(ColumnProblem::Unknown {
                column: column.clone(),
                number: number + 1,
                near: nearest(column, open.iter().copied()),
                free: open.clone(),
            });
        }
        for field in fields
            .iter()
            .filter(|field| field.required && open.contains(&field.name))
        {
            let near =
                nearest(field.name, strangers.iter().map(String::as_str)).map(str::to_string);
            problems.push(ColumnProblem::Missing {
                field: field.name,
                what: field.what,
                near,
            });
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let used = fields.iter().zip(&at).filter_map(|(field, column)| {
            let theirs = header.get((*column)?)?;
            (theirs != field.name).then(|| (field.name.to_string(), theirs.clone()))
        });
        Ok(Self {
            used: used.collect(),
            at,
            header,
        })
    }
}

/// Puts a field at a column, or says that it is there twice.
fn take(
    field: usize,
    number: usize,
    fields: &'static [Field],
    at: &mut [Option<usize>],
    problems: &mut Vec<ColumnProblem>,
) {
    let (Some(place), Some(field)) = (at.get_mut(field), fields.get(field)) else {
        return;
    };
    match *place {
        None => *place = Some(number),
        Some(first) => problems.push(ColumnProblem::Twice {
            field: field.name,
            first: first + 1,
            second: number + 1,
        }),
    }
}

/// Pairs (field, column) that `--column` asks for.
fn mapped_columns(
    header: &[String],
    fields: &'static [Field],
    settings: &Settings,
    problems: &mut Vec<ColumnProblem>,
) -> Vec<(usize, usize)> {
    let mut mapped: Vec<(usize, usize)> = Vec::new();
    for (ours, theirs) in &settings.columns {
        let field = fields.iter().position(|field| same(field.name, ours));
        let exact = header.iter().position(|name| name == theirs.trim());
        let column = exact.or_else(|| header.iter().position(|name| same(name, theirs)));
        match (field, column) {
            (Some(field), Some(column)) => {
                let taken = mapped
                    .iter()
                    .find(|(other, at)| *at == column && *other != field);
                match taken
                    .and_then(|(other, _)| fields.get(*other))
                    .zip(fields.get(field))
                {
                    Some((first, second)) => problems.push(ColumnProblem::Shared {
                        theirs: theirs.clone(),
                        first: first.name,
                        second: second.name,
                    }),
                    None => mapped.push((field, column)),
                }
            }
            (None, _) => problems.push(ColumnProblem::NoSuchField {
                ours: ours.clone(),
                theirs: theirs.clone(),
                near: nearest(ours, fields.iter().map(|field| field.name)),
                fields: fields.iter().map(|field| field.name).collect(),
            }),
            (_, None) => problems.push(ColumnProblem::NotInFile {
                ours: ours.clone(),
                theirs: theirs.clone(),
                near: nearest(theirs, header.iter().map(String::as_str)).map(str::to_string),
                header: header.to_vec(),
            }),
        }
    }
    mapped
}

/// The candidate that a word is most like: one slip of the pen away, or by Jaro
/// and Winkler's similarity of at least 0.84 (chosen by trial; no source).
pub(super) fn nearest<'a>(
    word: &str,
    candidates: impl Iterator<Item = &'a str>,
) -> Option<&'a str> {
    let key = |text: &str| text.trim().to_lowercase().replace([' ', '-'], "_");
    let word = key(word);
    let likeness = |candidate: &str| {
        let candidate = key(candidate);
        let one_slip = word.len() >= 3 && strsim::damerau_levenshtein(&word, &candidate) <= 1;
        let alike = strsim::jaro_winkler(&word, &candidate);
        if one_slip { alike.max(0.9) } else { alike }
    };
    let scored = candidates.map(|candidate| (likeness(candidate), candidate));
    let best = scored.max_by(|(a, _), (b, _)| a.total_cmp(b));
    best.filter(|(score, _)| *score >= 0.84)
        .map(|(_, candidate)| candidate)
}
