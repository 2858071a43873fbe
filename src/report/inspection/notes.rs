//! The notes of an inspection: what was written beside the ticks.

use crate::pricing::inspection::Assessment;
use crate::report::text::table::{Column, Table};
use crate::trade::inspection::{CheckResult, Item, Sheet, items};
use std::fmt::Write as _;

/// Columns for items of the sheet: name, result, what else there is to say.
pub(in crate::report) const ITEMS: [Column; 3] = [
    Column::left(0).fitted().after("  "),
    Column::left(10).after("  "),
    Column::broken(20).after("  "),
];

/// Most characters of a note that stands on a line of its own; JSON has it whole.
const LONGEST_NOTE: usize = 80;

/// Every note of a sheet in the order of the walk, with the result that was ticked;
/// a fact has none.
pub(crate) fn noted(sheet: &Sheet) -> Vec<(&'static Item, Option<CheckResult>, &str)> {
    let with_note = items().filter_map(|item| {
        let finding = sheet.finding(item.name)?;
        let note = finding.note.as_deref()?;
        Some((item, item.as_check().map(|_| finding.result), note))
    });
    with_note.collect()
}

/// Notes that stand nowhere above, in the order of the walk.
pub(in crate::report) fn notes(out: &mut String, found: &Assessment, sheet: &Sheet) {
    let told_above = |name: &str| {
        let by_job = found.jobs.iter().any(|job| job.items.contains(&name));
        by_job || found.gates.iter().any(|gate| gate.item.name == name)
    };
    let noted = noted(sheet);
    let rest: Vec<_> = noted
        .iter()
        .filter(|(item, ..)| !told_above(item.name))
        .collect();
    if rest.is_empty() {
        return;
    }
    let _ = writeln!(out, "\nNotes");
    let mut table = Table::new(ITEMS);
    for (item, result, note) in rest {
        let result = result.map_or("", CheckResult::word);
        table.row([item.name, result, &shortened(note)]);
    }
    table.write(out);
}

/// The note as far as there is room for it on a line.
fn shortened(note: &str) -> String {
    match note.char_indices().nth(LONGEST_NOTE) {
        Some((end, _)) => format!("{}...", note[..end].trim_end()),
        None => note.into(),
    }
}
