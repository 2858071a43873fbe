//! `import --history`: the imports so far, and what they replaced.

use super::flags::KindOfFile;
use crate::book::{Book, FieldChange, HistoryEntry, RecordChange, RowKey};
use crate::cli::context::{Context, DONE, Format};
use crate::cli::failure::Failure;
use crate::report::text::table::{Column, Table};
use serde_json::Value;
use std::collections::HashMap;

/// Changes told one by one for an import; all are counted.
const TOLD: usize = 20;

/// The column of kinds is as wide as this, or as its longest word.
const KIND: usize = 6;

/// The changes of one import, as far as they are told.
struct Changes<T> {
    told: Vec<T>,
    all: usize,
}

/// Lists the imports, or those of one kind.
pub(crate) fn run(
    context: &mut Context<'_>,
    book: &Book,
    kind: Option<KindOfFile>,
) -> Result<u8, Failure> {
    let mut entries = book.history()?;
    if let Some(kind) = kind {
        // One sheet by itself is kept as an 'inspection'.
        let one = kind.word().trim_end_matches('s');
        entries.retain(|e| e.kind.trim_end_matches('s') == one);
    }
    match context.format {
        Format::Json => {
            let mut changes = changes(book, &entries, usize::MAX, json_change)?;
            let all: Vec<Value> = entries
                .iter()
                .map(|e| json_entry(e, changes.remove(&e.number)))
                .collect();
            writeln!(context.out, "{:#}", Value::from(all))?;
        }
        Format::Text => {
            let changes = changes(book, &entries, TOLD, line)?;
            if entries.is_empty() {
                writeln!(context.out, "Nothing was imported yet.")?;
            }
            let mut table = Table::new(columns());
            for entry in &entries {
                say(&mut table, entry, changes.get(&entry.number));
            }
            let mut text = String::new();
            table.write(&mut text);
            context.out.write_all(text.as_bytes())?;
        }
    }
    Ok(DONE)
}

/// The first `most` changes of each of these imports, by its number.
fn changes<T>(
    book: &Book,
    entries: &[HistoryEntry],
    most: usize,
    tell: fn(&RecordChange<'_>) -> T,
) -> Result<HashMap<i64, Changes<T>>, Failure> {
    let nothing = || Changes {
        told: vec![],
        all: 0,
    };
    let mut by_import: HashMap<i64, Changes<T>> =
        entries.iter().map(|e| (e.number, nothing())).collect();
    book.each_change(&mut |change| {
        if let Some(changes) = by_import.get_mut(&change.import) {
            changes.all += 1;
            if changes.told.len() < most {
                changes.told.push(tell(change));
            }
        }
    })?;
    Ok(by_import)
}

/// Number, day, kind, what became of the rows, the file.
fn columns() -> [Column; 7] {
    let counted = Column::right(0).fitted().after("  ");
    [
        Column::right(4).after(""),
        Column::left(10).after("  "),
        Column::left(KIND).fitted().after("  "),
        counted,
        counted,
        counted,
        // A path is broken by whoever breaks lines, not in its middle.
        Column::left(0).after("  "),
    ]
}

fn say(table: &mut Table, entry: &HistoryEntry, changes: Option<&Changes<String>>) {
    let undone = entry
        .undone_on
        .map_or(String::new(), |day| format!("  taken back on {day}"));
    table.row([
        entry.number.to_string(),
        entry.on.to_string(),
        entry.kind.clone(),
        format!("{} added", entry.added),
        format!("{} updated", entry.updated),
        format!("{} unchanged", entry.unchanged),
        format!("{}{undone}", entry.file),
    ]);
    let Some(changes) = changes else {
        return;
    };
    for line in &changes.told {
        table.across(format!("      {line}"));
    }
    let more = changes.all - changes.told.len();
    if more > 0 {
        table.across(format!("      and {more} more"));
    }
}

/// `B-7: sold_price 150.00 -> 160.00`
fn line(change: &RecordChange<'_>) -> String {
    let FieldChange {
        field,
        before,
        after,
    } = &change.field;
    let [before, after] = [before, after].map(|text| match text.as_str() {
        "" => "unknown",
        known => known,
    });
    format!("{}: {field} {before} -> {after}", name(change.record))
}

/// As an import names the record.
fn name(record: RowKey<'_>) -> String {
    match record {
        RowKey::Sale { id } => id.to_string(),
        RowKey::Ask { bike, on } | RowKey::Return { bike, on } => format!("{bike} on {on}"),
        RowKey::Comp {
            source: "",
            listing,
        } => listing.to_string(),
        RowKey::Comp { source, listing } => format!("{listing} ({source})"),
        RowKey::Gift { reference } => reference.to_string(),
    }
}

fn json_change(change: &RecordChange<'_>) -> Value {
    let value = |text: &str| match text {
        "" => Value::Null,
        number if change.is_number => serde_json::from_str(number).unwrap_or(number.into()),
        text => text.into(),
    };
    serde_json::json!({
        "record": name(change.record), "field": change.field.field,
        "before": value(&change.field.before), "after": value(&change.field.after),
    })
}

fn json_entry(entry: &HistoryEntry, changes: Option<Changes<Value>>) -> Value {
    serde_json::json!({
        "import": entry.number, "on": entry.on.to_string(), "kind": entry.kind,
        "file": entry.file, "added": entry.added, "updated": entry.updated,
        "unchanged": entry.unchanged, "undone_on": entry.undone_on.map(|day| day.to_string()),
        "changes": changes.map_or(vec![], |changes| changes.told),
    })
}
