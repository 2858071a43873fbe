//! `record`: one event without a file.

mod comp;
pub(super) mod flags;
pub(super) mod leave;
pub(super) mod problem;
pub(super) mod recordable;
pub(super) mod return_;
pub(super) mod sale;
mod typed;

use super::closed_quarters::ClosedQuarters;
use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::how_written::{self, Dates, Decimal};
use super::rows::findings::Found;
use super::rows::importable::Changes;
use super::rows::put::Rows;
use super::source::Source;
use crate::book::{Book, ImportSummary};
use crate::intake::{Kind, Reader, Row, RowNote};
use crate::trade::Day;
use flags::{Event, Record};
use problem::{Fault, cannot, unreadable};
use recordable::Recordable;
use typed::{Typed, flag_of};

/// Records one event.
pub(super) fn run(context: &mut Context<'_>, arguments: &Record) -> Result<u8, Failure> {
    match &arguments.event {
        Event::Sale(flags) => {
            what_is_missing(&flags.typed)?;
            let parts = sale::parts(&Book::open(&context.book)?, flags, context.as_of)?;
            match parts {
                None => record(context, std::slice::from_ref(&flags.typed), vec![]),
                Some((events, told)) => record(context, &events, told),
            }
        }
        Event::Leave(flags) => {
            let book = Book::open(&context.book)?;
            let (typed, told) = leave::typed(&book, flags, context.as_of)?;
            drop(book);
            record(context, &[typed], vec![told])
        }
        Event::Return(flags) => {
            let book = Book::open(&context.book)?;
            let sale = leave::known(&book, &flags.bike)?;
            let typed = return_::typed(&book, &sale, flags, context.as_of)?;
            drop(book);
            record(context, &[typed], vec![])
        }
        Event::Comp(typed) => record(context, std::slice::from_ref(typed), vec![]),
        Event::Ask(typed) => record(context, std::slice::from_ref(typed), vec![]),
        Event::Cost(typed) => record(context, std::slice::from_ref(typed), vec![]),
        Event::Gift(typed) => record(context, std::slice::from_ref(typed), vec![]),
    }
}

/// What was typed as a row, with its reader.
type Read<K> = (Reader<K>, Row<<K as Kind>::Record>);

/// The rows of what was typed for one event, put as rows of a file are. `told`: what
/// is told of the event beside them.
fn record<K: Recordable>(
    context: &mut Context<'_>,
    events: &[Typed<K>],
    mut told: Vec<String>,
) -> Result<u8, Failure> {
    let Some(first) = events.first() else {
        return Ok(DONE);
    };
    let mut book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let source = Source::Flags;
    let mut read: Vec<Read<K>> = Vec::new();
    for typed in events {
        what_is_missing(typed)?;
        told.extend(K::taken_over(&book, typed, context.as_of)?);
        read.push(read_row(&book, typed, context.as_of)?);
    }
    let changes = Changes {
        given: K::FIELDS.iter().map(|field| field.name).collect(),
        correct: first.correct,
        prefix: String::new(),
    };
    let mut rows = Rows::<K>::of(source, &book, context.as_of, changes)?;
    // What changed stands in the history by itself, what was added does not.
    let name = match (K::ONE, read.first()) {
        ("sale", _) | (_, None) => source.name(),
        (_, Some((_, row))) => format!("{}: {}", source.name(), K::words(&row.record, &currency)),
    };
    let closed = ClosedQuarters::of(&book, context.as_of)?;
    let mut import = book.begin_import(K::NAME, &name, context.as_of)?;
    for ((reader, row), typed) in read.iter().zip(events) {
        let before = import.so_far().added;
        if let Some((ours, problem)) = rows.put(&mut import, row.clone())? {
            let bad = reader.refuse(ours, problem);
            return Err(cannot(&bad, typed, Fault::OfBook));
        }
        if import.so_far().added > before {
            told.push(K::words(&row.record, &currency));
        }
    }
    let summary = if first.dry_run {
        let so_far = import.so_far();
        drop(import);
        so_far
    } else {
        import.commit()?
    };
    if !first.dry_run {
        how_written::keep(&book, first.dates, first.decimal)?;
    }
    let mut found = rows.finish(&book, &summary, &[])?;
    found.cautions.extend(closed.changed(&book)?);
    tell::<K>(context, &told, &found, &summary, first.dry_run)
}

/// Reads what was typed.
fn read_row<K: Recordable>(book: &Book, typed: &Typed<K>, as_of: Day) -> Result<Read<K>, Failure> {
    let cells = typed.over(K::start(book, typed, as_of)?);
    let mut settings = how_written::settings(book, as_of)?;
    settings.decimal = typed.decimal.map(Decimal::sign);
    settings.dates = typed.dates.map(Dates::order).or(settings.dates);
    let mut reader =
        Reader::<K>::of_one_row(&cells, &Source::Flags.name(), &settings).map_err(unreadable)?;
    let mut row = match reader.next_row().map_err(unreadable)? {
        Some(Ok(row)) => row,
        Some(Err(bad)) => return Err(cannot(&bad, typed, Fault::OfFlags)),
        None => return Err(Failure::usage("record: nothing was given", "Give a flag.")),
    };
    let early = |note: &RowNote| matches!(note, RowNote::EarlyModelYear { .. });
    row.notes
        .retain(|note| !early(note) || typed.get("made").is_some());
    Ok((reader, row))
}

/// Says what was recorded.
fn tell<K: Recordable>(
    context: &mut Context<'_>,
    told: &[String],
    found: &Found,
    summary: &ImportSummary,
    dry_run: bool,
) -> Result<u8, Failure> {
    for (number, caution) in (1..).zip(&found.cautions) {
        writeln!(context.err, "caution {number}: {caution}")?;
    }
    if context.format == Format::Json {
        let text = serde_json::json!({
            "import": summary.number, "kind": K::ONE, "dry_run": dry_run,
            "added": summary.added, "updated": summary.updated, "unchanged": summary.unchanged,
            "told": told, "changes": found.changes, "cautions": found.cautions,
        });
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    for line in told.iter().chain(&found.changes) {
        writeln!(context.out, "{line}")?;
    }
    writeln!(context.out, "{}", ending(summary, dry_run))?;
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
