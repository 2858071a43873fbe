//! `inspect`: a blank inspection sheet out, or a filled-in one in.

pub(super) mod differs;
pub(super) mod flags;
pub(super) mod kept;

use super::arguments::Format;
use super::failure::Failure;
use super::import::column_pairs;
use super::problems::Problems;
use super::{Context, DONE, written_file};
use crate::intake::{CellProblem, InspectionSheet, Reader, Settings, SheetRow};
use crate::pricing::inspection::assess;
use crate::report::inspection::{blank, json, text};
use crate::trade::Currency;
use crate::trade::inspection::Sheet;
use flags::Inspect as Arguments;
use std::collections::HashMap;
use std::io::Read as _;
use std::path::Path;

/// What is named in the help of a message.
const FILE: &str = "file for --blank";

/// Writes the blank sheet, or says what the filled-in one means.
pub(super) fn run(context: &mut Context<'_>, arguments: &Arguments) -> Result<u8, Failure> {
    match (&arguments.blank, &arguments.sheet, &arguments.bike) {
        (Some(file), ..) => blank(context, file),
        (None, Some(file), Some(id)) => kept::keep(context, arguments, file, id),
        (None, Some(file), None) => inspect(context, arguments, file),
        (None, None, Some(id)) => kept::show(context, id),
        (None, None, None) => Err(Failure::usage(
            "inspect: which sheet?",
            "Name a filled-in sheet, make one with --blank SHEET.csv, or name a bike with --bike ID.",
        )),
    }
}

fn blank(context: &mut Context<'_>, file: &Path) -> Result<u8, Failure> {
    let bytes = blank::blank().map_err(|e| written_file::cannot(file, FILE, &e))?;
    let is_blank = |there: &mut std::fs::File| {
        let mut found = Vec::new();
        let read = there.take(bytes.len() as u64 + 1).read_to_end(&mut found);
        read.is_ok() && found == bytes
    };
    written_file::replace_file(file, &bytes, is_blank, "no blank sheet", FILE)?;
    let (shown, items) = (file.display(), blank::count());
    if context.format == Format::Json {
        let text = serde_json::json!({ "file": shown.to_string(), "items": items });
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    writeln!(context.out, "Wrote {shown}: {items} items, front to back.")?;
    writeln!(
        context.err,
        "Next: fill it in at the bike, then wheelworth inspect {shown}."
    )?;
    Ok(DONE)
}

fn inspect(context: &mut Context<'_>, arguments: &Arguments, file: &Path) -> Result<u8, Failure> {
    let sheet = read(context, &arguments.column, &arguments.ignore, file)?;
    let found = assess(&sheet);
    let text = match context.format {
        Format::Text => {
            let name = sheet
                .bike()
                .map_or_else(|| file.display().to_string(), |bike| format!("Bike {bike}"));
            text::text(&found, &sheet, &name)
        }
        Format::Json => json::json(&found, &sheet)
            .map_err(|e| Failure::refused(format!("the answer cannot be written: {e}"), ""))?,
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}

/// Reads the whole sheet, or says everything that is wrong with it.
pub(super) fn read(
    context: &Context<'_>,
    column: &[String],
    ignore: &[String],
    file: &Path,
) -> Result<Sheet, Failure> {
    // A sheet has no amounts, so any currency does.
    let currency = Currency::from_code("EUR").ok_or_else(|| {
        Failure::refused("the euro is not known", "This is a fault of the program.")
    })?;
    let mut settings = Settings::new(currency, context.as_of);
    settings.columns = column_pairs(column)?;
    settings.ignore = ignore.to_vec();
    let mut reader = Reader::<InspectionSheet>::open(file, &settings)?;
    let mut sheet = Sheet::new();
    let mut lines: HashMap<&'static str, u64> = HashMap::new();
    let mut problems = Problems::default();
    while let Some(row) = reader.next_row()? {
        let row = match row {
            Ok(row) => row,
            Err(bad) => {
                problems.extend(bad.problems);
                continue;
            }
        };
        let SheetRow::Item { item, finding } = row.record else {
            continue;
        };
        if let Some(first) = lines.get(item.name) {
            let expected = format!(
                "each item once; {} stands on line {first} already",
                item.name
            );
            let mend = "Keep the row that is right and take the other out.";
            problems.extend(
                reader
                    .refuse("item", CellProblem::new(expected, mend))
                    .problems,
            );
            continue;
        }
        lines.insert(item.name, row.line);
        sheet.put(item, finding);
    }
    problems.refused(file, "the bike was not judged")?;
    Ok(sheet)
}
