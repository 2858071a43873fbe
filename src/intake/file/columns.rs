//! Which column of a file holds which field, and what to say when none does.

use super::synonyms::field_of;
use crate::intake::cells::did_you_mean::nearest;
use crate::intake::field::Field;
use crate::intake::problems::columns::ColumnProblem;
use crate::intake::problems::pointing::shortened;
use crate::intake::settings::Settings;

/// The pair (ours, theirs) that `--column OURS=THEIRS` gives, without blanks around
/// either; `None` where a side is empty or there is no `=`.
///
/// ```
/// use wheelworth::intake::column_pair;
/// assert_eq!(column_pair("bike = No."), Some(("bike".into(), "No.".into())));
/// assert_eq!(column_pair("bike="), None);
/// ```
pub fn column_pair(text: &str) -> Option<(String, String)> {
    let (ours, theirs) = text.split_once('=')?;
    let (ours, theirs) = (ours.trim(), theirs.trim());
    (!ours.is_empty() && !theirs.is_empty()).then(|| (ours.to_string(), theirs.to_string()))
}

/// Columns told of one by one; a header with more of them is another file's.
const MOST_TOLD: usize = 50;

/// The columns of one file.
#[derive(Clone, Debug)]
pub(in crate::intake) struct Columns {
    /// The header as in the file, blanks around names taken away, without the
    /// two columns that a rejects file adds.
    pub(in crate::intake) header: Vec<String>,
    /// Columns that a rejects file added at the end: 2 or 0.
    pub(in crate::intake) added: usize,
    /// For each field the number of its column, from 0.
    pub(in crate::intake) at: Vec<Option<usize>>,
    /// Pairs (ours, theirs) where the names differ.
    pub(in crate::intake) used: Vec<(String, String)>,
    /// Columns that make up the id together: none, or several.
    pub(in crate::intake) joined: Vec<usize>,
}

/// Whether two column names are the same: case and blanks around do not count.
fn same(a: &str, b: &str) -> bool {
    let (a, b) = (a.trim(), b.trim());
    a.eq_ignore_ascii_case(b) || (!a.is_ascii() && a.to_lowercase() == b.to_lowercase())
}

/// Whether a name in a header means something to us.
pub(in crate::intake) fn is_known(name: &str, fields: &[Field], settings: &Settings) -> bool {
    fields.iter().any(|field| same(field.name, name))
        || settings
            .columns
            .iter()
            .any(|(_, theirs)| same(theirs, name))
        || is_ignored(name, settings)
}

/// Whether `--ignore` leaves a column out.
pub(in crate::intake) fn is_ignored(name: &str, settings: &Settings) -> bool {
    settings.ignore.iter().any(|ignored| same(ignored, name))
}

/// Names of the two columns that a rejects file has after the file's own.
pub const REJECTS_COLUMNS: [&str; 2] = ["line", "reasons"];

/// Takes away columns without a name at the end, then the two of a rejects file;
/// returns how many of the latter there were.
pub(in crate::intake) fn take_rejects_columns(
    header: &mut Vec<String>,
    settings: &Settings,
) -> usize {
    while header.last().is_some_and(std::string::String::is_empty) {
        header.pop();
    }
    let named = |name: &&str| settings.columns.iter().any(|(_, theirs)| theirs == name);
    if REJECTS_COLUMNS.iter().any(named) {
        return 0; // The user's own columns, and --column says what they hold.
    }
    if header.len() > REJECTS_COLUMNS.len() && header.ends_with(&REJECTS_COLUMNS.map(String::from))
    {
        header.truncate(header.len() - REJECTS_COLUMNS.len());
        return REJECTS_COLUMNS.len();
    }
    0
}

impl Columns {
    /// Matches a header against the fields, with `--column` and `--ignore`.
    /// `added` columns of a rejects file were taken off its end.
    pub(in crate::intake) fn find(
        header: Vec<String>,
        added: usize,
        fields: &'static [Field],
        settings: &Settings,
    ) -> Result<Self, Vec<ColumnProblem>> {
        let mut problems = Vec::new();
        let mut at = vec![None; fields.len()];
        let joined = joined(&header, fields, settings);
        let mapped = mapped_columns(&header, fields, settings, &mut problems);
        if let (Some(id), Some(first)) = (at.first_mut(), joined.first()) {
            *id = Some(*first);
        }
        let mut unknown = Vec::new();
        for (number, name) in header.iter().enumerate() {
            let mut by_map = mapped.iter().filter(|(_, column)| *column == number);
            let (by_map, second) = (by_map.next().map(|(f, _)| *f), by_map.next());
            if let Some((second, _)) = second {
                take(*second, number, fields, &mut at, &mut problems);
            }
            let ignored = settings.ignore.iter().any(|ignored| same(ignored, name));
            let by_name = || fields.iter().position(|field| same(field.name, name));
            match by_map.or_else(|| if ignored { None } else { by_name() }) {
                Some(field) => take(field, number, fields, &mut at, &mut problems),
                None if ignored || joined.contains(&number) => {}
                None => unknown.push((number, name.as_str())),
            }
        }
        let open = fields
            .iter()
            .zip(&at)
            .filter(|(_, column)| column.is_none());
        let free: Vec<&'static str> = open.map(|(field, _)| field.name).collect();
        tell_unknown(&unknown, &free, fields, &mut problems);
        let without = |name: &str| {
            let mut words = settings.words.iter();
            words.any(|(column, theirs, _)| column == name && theirs.is_empty())
        };
        for field in fields
            .iter()
            .filter(|f| f.required && free.contains(&f.name) && !without(f.name))
        {
            let strangers = unknown.iter().take(MOST_TOLD).map(|(_, name)| *name);
            problems.push(ColumnProblem::Missing {
                field: field.name,
                what: field.what,
                near: nearest(field.name, strangers).map(shortened),
            });
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let joined_name = settings.columns.iter().find(|(ours, theirs)| {
            fields.first().is_some_and(|field| same(field.name, ours))
                && parts_of(&header, theirs).is_some()
        });
        let used = fields.iter().zip(&at).enumerate();
        let used = used.filter_map(|(number, (field, column))| {
            let theirs = match joined_name.filter(|_| number == 0) {
                Some((_, theirs)) => theirs,
                None => header.get((*column)?)?,
            };
            (theirs != field.name).then(|| (field.name.to_string(), theirs.clone()))
        });
        Ok(Self {
            used: used.collect(),
            joined,
            added,
            at,
            header,
        })
    }
}

/// Tells of columns that are not known: each of the first, then how many more.
fn tell_unknown(
    unknown: &[(usize, &str)],
    free: &[&'static str],
    fields: &'static [Field],
    problems: &mut Vec<ColumnProblem>,
) {
    for (number, name) in unknown.iter().take(MOST_TOLD) {
        let number = number + 1;
        problems.push(match *name {
            "" => ColumnProblem::Unnamed { number },
            name => ColumnProblem::Unknown {
                column: shortened(name),
                number,
                // A name that people use for another field is no slip of the pen.
                near: nearest(name, free.iter().copied()).filter(|near| {
                    field_of(name, fields, |_| true).is_none_or(|likely| likely == *near)
                }),
                free: free.to_vec(),
            },
        });
    }
    match unknown.len().saturating_sub(MOST_TOLD) {
        0 => {}
        count => problems.push(ColumnProblem::AndMore { count }),
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
        Some(first) if problems.len() < MOST_TOLD => problems.push(ColumnProblem::Twice {
            field: field.name,
            first: first + 1,
            second: number + 1,
        }),
        Some(_) => {}
    }
}

/// The columns that `what + size` names, where no column is called so as a whole.
fn parts_of(header: &[String], theirs: &str) -> Option<Vec<usize>> {
    if !theirs.contains(" + ") || header.iter().any(|name| same(name, theirs)) {
        return None;
    }
    let parts = theirs.split(" + ");
    parts
        .map(|part| header.iter().position(|name| same(name, part)))
        .collect()
}

/// The columns that make up the id together, as `--column listing='what + size'` says.
fn joined(header: &[String], fields: &'static [Field], settings: &Settings) -> Vec<usize> {
    let id = fields.first().map_or("", |field| field.name);
    let mut said = settings.columns.iter().filter(|(ours, _)| same(id, ours));
    said.find_map(|(_, theirs)| parts_of(header, theirs))
        .unwrap_or_default()
}

/// Fields of which one column may hold two: the day on which a bike left, however it did.
const ONE_DAY: [&str; 2] = ["sold_on", "left_on"];

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
        if field == Some(0) && parts_of(header, theirs).is_some() {
            continue;
        }
        let exact = header.iter().position(|name| name == theirs.trim());
        let column = exact.or_else(|| header.iter().position(|name| same(name, theirs)));
        match (field, column) {
            (Some(field), Some(column)) => {
                let one_day = |field: usize| {
                    let field = fields.get(field);
                    field.is_some_and(|field| ONE_DAY.contains(&field.name))
                };
                let taken = mapped.iter().find(|(other, at)| {
                    *at == column && *other != field && !(one_day(*other) && one_day(field))
                });
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
                near: nearest(theirs, header.iter().map(String::as_str)).map(shortened),
                header: header
                    .iter()
                    .take(MOST_TOLD)
                    .map(|name| shortened(name))
                    .collect(),
                more: header.len().saturating_sub(MOST_TOLD),
            }),
        }
    }
    mapped
}
