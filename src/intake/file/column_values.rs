//! What the values of a column look like.

use super::synonyms::plain;
use crate::intake::cells::dates::is_a_day;
use csv::StringRecord;
use std::collections::BTreeSet;

/// Whether a name is one that people give to marks or running numbers of rows.
pub(super) fn is_name_of_marks(name: &str) -> bool {
    const NAMES: [&str; 14] = [
        "entry",
        "entry no",
        "ref",
        "no",
        "nr",
        "id",
        "number",
        "nummer",
        "receipt",
        "receipt no",
        "beleg",
        "belegnr",
        "lfd nr",
        "key",
    ];
    NAMES.contains(&plain(name).as_str())
}

/// The cells of a column that are not empty.
pub(super) fn filled(at: usize, sample: &[StringRecord]) -> Vec<&str> {
    let cells = sample.iter().filter_map(|row| row.get(at)).map(str::trim);
    cells.filter(|cell| !cell.is_empty()).collect()
}

/// Whether nearly all values of a column stand once: one in five may stand twice.
pub(super) fn are_marks(at: usize, sample: &[StringRecord]) -> bool {
    let cells = filled(at, sample);
    let distinct: BTreeSet<&&str> = cells.iter().collect();
    !cells.is_empty() && 10 * distinct.len() >= 8 * cells.len()
}

/// Whether most values of a column are days.
pub(super) fn are_days(at: usize, sample: &[StringRecord]) -> bool {
    let cells = filled(at, sample);
    let days = cells.iter().filter(|cell| is_a_day(cell)).count();
    days > 0 && 10 * days >= 6 * cells.len()
}
