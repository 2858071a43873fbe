//! A filled-in inspection sheet, read whole or not at all.

use super::column_pairs::column_pairs;
use super::failure::Failure;
use super::whole_file;
use crate::intake::{CellProblem, InspectionSheet, Settings, SheetRow};
use crate::trade::inspection::Sheet;
use crate::trade::{Currency, Day};
use std::collections::HashMap;
use std::path::Path;

/// Reads the whole sheet, or says everything that is wrong with it.
///
/// # Errors
/// What the file cannot be read for, or every problem of its rows.
pub(super) fn read(
    as_of: Day,
    column: &[String],
    ignore: &[String],
    file: &Path,
) -> Result<Sheet, Failure> {
    // A sheet has no amounts, so any currency does.
    let currency = Currency::from_code("EUR").ok_or_else(|| {
        Failure::refused("the euro is not known", "This is a fault of the program.")
    })?;
    let mut settings = Settings::new(currency, as_of);
    settings.columns = column_pairs(column)?;
    settings.ignore = ignore.to_vec();
    let mut lines: HashMap<&'static str, u64> = HashMap::new();
    let twice = |row: &SheetRow, line| {
        let SheetRow::Item { item, .. } = row else {
            return None;
        };
        let first = lines.insert(item.name, line)?;
        lines.insert(item.name, first);
        let expected = format!(
            "each item once; {} stands on line {first} already",
            item.name
        );
        let mend = "Keep the row that is right and take the other out.";
        Some(("item", CellProblem::new(expected, mend)))
    };
    let not_judged = "the bike was not judged";
    let rows = whole_file::judged_rows::<InspectionSheet>(file, &settings, not_judged, twice)?;
    let mut sheet = Sheet::new();
    for (_, row) in rows {
        if let SheetRow::Item { item, finding } = row {
            sheet.put(item, finding);
        }
    }
    Ok(sheet)
}
