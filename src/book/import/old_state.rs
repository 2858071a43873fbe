//! How a record was before an import changed it, as a JSON object.

use crate::book::tables::stored::{Cell, Table, nonsense};
use rusqlite::Row;
use std::fmt::Write;

/// The row of `Writer::find` as a JSON object, without its key and what is
/// unknown. Written by hand: a map of `serde_json` takes twice the time.
pub(in crate::book) fn old_state(table: &Table, there: &Row<'_>) -> rusqlite::Result<String> {
    let mut old = String::with_capacity(256);
    for (place, (name, _)) in (2..).zip(table.columns).skip(table.keys) {
        let value = match Cell::from_row(there, place)? {
            Cell::Null => continue,
            cell => cell.to_json(),
        };
        let comma = if old.is_empty() { "{" } else { "," };
        // Writing to a `String` cannot fail.
        let _ = write!(old, "{comma}\"{name}\":{value}");
    }
    old.push_str(if old.is_empty() { "{}" } else { "}" });
    Ok(old)
}

/// A kept old state.
pub(in crate::book) fn parsed(
    old: &str,
) -> rusqlite::Result<serde_json::Map<String, serde_json::Value>> {
    serde_json::from_str(old).map_err(|_| nonsense(2))
}
