//! `inspect`: a blank inspection sheet out, or a filled-in one in.

pub(super) mod differs;
pub(super) mod flags;
pub(super) mod kept;

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::inspection_sheet;
use super::written_file;
use crate::pricing::inspection::assess;
use crate::report::inspection::{blank, json, text};
use flags::Inspect as Arguments;
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
    let sheet = inspection_sheet::read(context.as_of, &arguments.column, &arguments.ignore, file)?;
    let found = assess(&sheet);
    let text = match context.format {
        Format::Text => {
            let name = sheet
                .bike()
                .map_or_else(|| file.display().to_string(), |bike| format!("Bike {bike}"));
            text::text(&found, &sheet, &name)
        }
        Format::Json => json::json(&found, &sheet).map_err(Failure::unwritten)?,
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}
