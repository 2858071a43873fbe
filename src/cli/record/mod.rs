//! `record`: one event without a file.

mod comp;
pub(super) mod flags;
pub(super) mod problem;
pub(super) mod recordable;
mod typed;

use super::closed_quarters::ClosedQuarters;
use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::how_written::{self, Dates, Decimal};
use super::rows::importable::Changes;
use super::rows::put::Rows;
use super::source::Source;
use crate::book::{Book, ImportSummary};
use crate::intake::{Reader, RowNote};
use flags::{Event, Record};
use problem::{Fault, cannot, unreadable};
use recordable::Recordable;
use typed::{Typed, flag_of};

/// Records one event.
pub(super) fn run(context: &mut Context<'_>, arguments: &Record) -> Result<u8, Failure> {
    match &arguments.event {
        Event::Sale(typed) => record(context, typed),
        Event::Comp(typed) => record(context, typed),
        Event::Ask(typed) => record(context, typed),
        Event::Cost(typed) => record(context, typed),
        Event::Gift(typed) => record(context, typed),
    }
}

/// The row of what was typed, put as a file's row is.
fn record<K: Recordable>(context: &mut Context<'_>, typed: &Typed<K>) -> Result<u8, Failure> {
    let mut book = Book::open(&context.book)?;
    what_is_missing(typed)?;
    let currency = book.settings().currency;
    let cells = typed.over(K::start(&book, typed, context.as_of)?);
    let source = Source::Flags;
    let mut settings = how_written::settings(&book, context.as_of)?;
    settings.decimal = typed.decimal.map(Decimal::sign);
    settings.dates = typed.dates.map(Dates::order).or(settings.dates);
    let mut reader =
        Reader::<K>::of_one_row(&cells, &source.name(), &settings).map_err(unreadable)?;
    let mut row = match reader.next_row().map_err(unreadable)? {
        Some(Ok(row)) => row,
        Some(Err(bad)) => return Err(cannot(&bad, typed, Fault::OfFlags)),
        None => return Err(Failure::usage("record: nothing was given", "Give a flag.")),
    };
    let early = |note: &RowNote| matches!(note, RowNote::EarlyModelYear { .. });
    row.notes
        .retain(|note| !early(note) || typed.get("made").is_some());
    let changes = Changes {
        given: K::FIELDS.iter().map(|field| field.name).collect(),
        correct: typed.correct,
        prefix: String::new(),
    };
    let mut rows = Rows::<K>::of(source, &book, context.as_of, changes)?;
    // What changed stands in the history by itself, what was added does not.
    let name = match K::ONE {
        "sale" => source.name(),
        _ => format!("{}: {}", source.name(), K::words(&row.record, &currency)),
    };
    let closed = ClosedQuarters::of(&book, context.as_of)?;
    let mut import = book.begin_import(K::NAME, &name, context.as_of)?;
    if let Some((ours, problem)) = rows.put(&mut import, row.clone())? {
        let bad = reader.refuse(ours, problem);
        return Err(cannot(&bad, typed, Fault::OfBook));
    }
    let summary = if typed.dry_run {
        let so_far = import.so_far();
        drop(import);
        so_far
    } else {
        import.commit()?
    };
    if !typed.dry_run {
        how_written::keep(&book, typed.dates, typed.decimal)?;
    }
    let mut found = rows.finish(&book, &summary, &[])?;
    found.cautions.extend(closed.changed(&book)?);
    for (number, caution) in (1..).zip(&found.cautions) {
        writeln!(context.err, "caution {number}: {caution}")?;
    }
    if context.format == Format::Json {
        let text = serde_json::json!({
            "import": summary.number, "kind": K::ONE, "dry_run": typed.dry_run,
            "added": summary.added, "updated": summary.updated, "unchanged": summary.unchanged,
            "changes": found.changes, "cautions": found.cautions,
        });
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    if summary.added > 0 {
        writeln!(context.out, "{}", K::words(&row.record, &currency))?;
    }
    for change in &found.changes {
        writeln!(context.out, "{change}")?;
    }
    writeln!(context.out, "{}", ending(&summary, typed.dry_run))?;
    Ok(DONE)
}

/// Refuses what cannot be recorded because a flag is missing, with a whole example.
fn what_is_missing<K: Recordable>(typed: &Typed<K>) -> Result<(), Failure> {
    let missing = K::REQUIRED
        .iter()
        .filter(|column| typed.get(column).is_none());
    let missing: Vec<String> = missing.map(|column| flag_of(column)).collect();
    match missing.as_slice() {
        [] => Ok(()),
        missing => Err(Failure::usage(
            format!("record {}: {} not given", K::ONE, are(missing)),
            format!("For example: wheelworth record {}", K::EXAMPLE),
        )),
    }
}

/// `--kind is`, `--kind and --amount are`.
fn are(flags: &[String]) -> String {
    match flags {
        [one] => format!("{one} is"),
        more => format!("{} are", more.join(" and ")),
    }
}

fn ending(summary: &ImportSummary, dry_run: bool) -> String {
    match summary.number {
        _ if summary.added + summary.updated == 0 => "Nothing changed.".into(),
        _ if dry_run => "Dry run: the book is as it was.".into(),
        Some(n) => {
            format!("Recorded as import {n}; 'wheelworth import --undo {n}' takes it back.")
        }
        None => "Recorded.".into(),
    }
}
