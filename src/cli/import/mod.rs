//! `import`: CSV files into the book, and taking imports back.

mod blank;
pub(super) mod file;
pub(super) mod flags;
pub(super) mod history;
pub(super) mod inspections;
mod next;

use super::closed_quarters::ClosedQuarters;
use super::column_pairs::column_pairs;
use super::context::{Context, DONE, Format, SET_ASIDE};
use super::failure::Failure;
use super::how_written;
use super::source::named;
use crate::book::Book;
use crate::intake::{Asks, Comps, Costs, Gifts, Offers, Returns, Sales, made_visible};
use crate::report::text::counts::many;
use file::{ImportWishes, Imported};
use flags::{Import, KindOfFile};
use std::path::{Path, PathBuf};

/// Imports every file, or none.
pub(super) fn run(context: &mut Context<'_>, arguments: &Import) -> Result<u8, Failure> {
    if let (Some(file), Some(kind)) = (&arguments.blank, arguments.kind) {
        return blank::run(context, kind, file);
    }
    let mut book = Book::open(&context.book)?;
    if arguments.history {
        return history::run(context, &book, arguments.kind);
    }
    if let Some(number) = arguments.undo {
        return undo(context, &mut book, number);
    }
    let kind = arguments.kind.ok_or_else(|| {
        Failure::usage(
            "import: what do the files hold?",
            "Say wheelworth import KIND FILE; the kinds are sales, comps, asks, costs, gifts, returns, offers and inspections.",
        )
    })?;
    let columns = column_pairs(&arguments.column)?;
    if arguments.skip_bad.is_some() && arguments.files.len() > 1 {
        return Err(Failure::usage(
            "--skip-bad goes with one file",
            "Import the files one by one, each with a rejects file of its own.",
        ));
    }
    let wishes = ImportWishes {
        columns,
        sheet: arguments.sheet.clone(),
        ignore: arguments.ignore.clone(),
        words: words(&arguments.word)?,
        blank_bad: arguments.blank_bad,
        dates: arguments.dates,
        decimal: arguments.decimal,
        correct: arguments.correct,
        prefix: prefix(arguments.prefix.as_deref())?,
        dry_run: arguments.dry_run,
        skip_bad: arguments.skip_bad.clone(),
    };
    let done = all(context, &mut book, kind, &arguments.files, &wishes)?;
    let kept = if arguments.dry_run {
        Vec::new()
    } else {
        how_written::keep(&book, arguments.dates, arguments.decimal)?
    };
    let done: Vec<(&PathBuf, Imported)> = arguments.files.iter().zip(done).collect();
    tell(context, kind, &done, &wishes, &kept)
}

/// Takes an import back.
fn undo(context: &mut Context<'_>, book: &mut Book, number: i64) -> Result<u8, Failure> {
    let closed = ClosedQuarters::of(book, context.as_of)?;
    let undone = book.undo(number, context.as_of)?;
    for (number, caution) in (1..).zip(closed.changed(book)?) {
        writeln!(context.err, "caution {number}: {caution}")?;
    }
    if context.format == Format::Json {
        let text = serde_json::json!({
            "undone": number, "on": context.as_of.to_string(),
            "removed": undone.removed, "restored": undone.restored,
        });
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    writeln!(
        context.out,
        "Import {number} is taken back: {} removed, {} put back to their earlier values.",
        many(undone.removed as usize, "row"),
        undone.restored
    )?;
    Ok(DONE)
}

/// Says what was done with each file.
fn tell(
    context: &mut Context<'_>,
    kind: KindOfFile,
    done: &[(&PathBuf, Imported)],
    wishes: &ImportWishes,
    kept: &[String],
) -> Result<u8, Failure> {
    let mut code = DONE;
    let mut answers = Vec::new();
    for (file, imported) in done {
        for (number, caution) in (1..).zip(&imported.cautions) {
            writeln!(context.err, "caution {number}: {caution}")?;
        }
        let name = named(file).display().to_string();
        match context.format {
            Format::Json => answers.push(json(kind, &name, imported, wishes)),
            Format::Text => say(context, kind, &name, imported, wishes)?,
        }
        if imported.set_aside > 0 {
            code = SET_ASIDE;
        }
    }
    if !kept.is_empty() && context.format == Format::Text {
        let kept = kept.join(" and ");
        writeln!(context.out, "The book keeps {kept} for files and flags.")?;
    }
    if context.format == Format::Json {
        let text = match answers.pop() {
            Some(only) if answers.is_empty() => only,
            last => answers.into_iter().chain(last).collect(),
        };
        writeln!(context.out, "{text:#}")?;
    }
    Ok(code)
}

/// The words of `--word COLUMN:YOURS=OURS`: column, the user's, ours.
fn words(texts: &[String]) -> Result<Vec<(String, String, String)>, Failure> {
    let word = |text: &String| {
        let (word, ours) = text.split_once('=')?;
        let (column, theirs) = word.split_once(':')?;
        let parts = [column, theirs, ours].map(|part| part.trim().to_string());
        let [column, theirs, ours] = parts;
        // Nothing behind the equals sign: the cell counts as empty. Nothing before it: empty
        // cells count as the word.
        let nothing = theirs.is_empty() && ours.is_empty();
        (!column.is_empty() && !nothing).then_some((column, theirs, ours))
    };
    let each = |text: &String| {
        word(text).ok_or_else(|| {
            Failure::usage(
                format!(
                    "--word '{}': expected COLUMN:YOURS=OURS",
                    made_visible(text)
                ),
                "Give our name of the column, your word and ours: --word condition:good=tidy.",
            )
        })
    };
    texts.iter().map(each).collect()
}

/// What `--prefix` puts before each id: nothing where it is not given.
fn prefix(text: Option<&str>) -> Result<String, Failure> {
    let Some(text) = text else {
        return Ok(String::new());
    };
    if text.trim().is_empty() || text.trim_start() != text || text.chars().any(char::is_control) {
        return Err(Failure::usage(
            format!(
                "--prefix '{}': expected a few letters or digits",
                made_visible(text)
            ),
            "Give what is to stand before each id, such as 2025-.",
        ));
    }
    Ok(text.to_string())
}

/// Imports all files, or none; a dry run tries them together and keeps none.
fn all(
    context: &mut Context<'_>,
    book: &mut Book,
    kind: KindOfFile,
    files: &[PathBuf],
    wishes: &ImportWishes,
) -> Result<Vec<Imported>, Failure> {
    let closed = ClosedQuarters::of(book, context.as_of)?;
    let mut each = |book: &mut Book| {
        let mut done = Vec::new();
        for file in files {
            done.push(one(context, book, kind, file, wishes)?);
        }
        if let Some(last) = done.last_mut() {
            last.cautions.extend(closed.changed(book)?);
        }
        Ok(done)
    };
    if files.len() == 1 && !wishes.dry_run {
        return each(book);
    }
    let none = |failure: Failure| match files.len() {
        1 => failure,
        count => failure.with_hint(format!("Nothing was imported of any of the {count} files.")),
    };
    let mut together = book.together()?;
    let done = each(together.book()).map_err(none)?;
    if !wishes.dry_run {
        together.keep().map_err(|problem| none(problem.into()))?;
    }
    Ok(done)
}

fn one(
    context: &mut Context<'_>,
    book: &mut Book,
    kind: KindOfFile,
    file: &Path,
    wishes: &ImportWishes,
) -> Result<Imported, Failure> {
    match kind {
        KindOfFile::Sales => file::import::<Sales>(context, book, file, wishes),
        KindOfFile::Comps => file::import::<Comps>(context, book, file, wishes),
        KindOfFile::Asks => file::import::<Asks>(context, book, file, wishes),
        KindOfFile::Costs => file::import::<Costs>(context, book, file, wishes),
        KindOfFile::Gifts => file::import::<Gifts>(context, book, file, wishes),
        KindOfFile::Returns => file::import::<Returns>(context, book, file, wishes),
        KindOfFile::Offers => file::import::<Offers>(context, book, file, wishes),
        KindOfFile::Inspections => inspections::import(context, book, file, wishes),
    }
}

/// Rows, or inspections, which have many rows each.
fn counted(kind: KindOfFile, count: u64) -> String {
    match (kind, count) {
        (KindOfFile::Inspections, 1) => "1 inspection".into(),
        (KindOfFile::Inspections, _) => format!("{count} inspections"),
        _ => many(count as usize, "row"),
    }
}

fn json(kind: KindOfFile, file: &str, done: &Imported, wishes: &ImportWishes) -> serde_json::Value {
    let s = done.summary;
    serde_json::json!({
        "file": file, "kind": kind.word(), "dry_run": wishes.dry_run, "import": s.number,
        "added": s.added, "updated": s.updated, "unchanged": s.unchanged,
        "set_aside": done.set_aside, "changes": done.changes, "cautions": done.cautions,
    })
}

fn say(
    context: &mut Context<'_>,
    kind: KindOfFile,
    file: &str,
    done: &Imported,
    wishes: &ImportWishes,
) -> Result<(), Failure> {
    let s = done.summary;
    let remembered = &done.remembered;
    if !(remembered.columns.is_empty() && remembered.left_out.is_empty()) {
        let map = remembered.columns.iter();
        let map: Vec<String> = map
            .map(|(ours, theirs)| format!("{ours}={theirs}"))
            .collect();
        let left_out = match remembered.left_out.as_slice() {
            [] => String::new(),
            names if map.is_empty() => format!("left out: {}", made_visible(&names.join(", "))),
            names => format!("; left out: {}", made_visible(&names.join(", "))),
        };
        let map = map.join(", ");
        writeln!(context.out, "Columns as the last time: {map}{left_out}.")?;
    }
    if !done.remembered.words.is_empty() {
        let words = done.remembered.words.iter();
        let words = words.map(|(column, theirs, ours)| format!("{column}:{theirs}={ours}"));
        let words = made_visible(&words.collect::<Vec<_>>().join(", "));
        writeln!(context.out, "Words as the last time: {words}.")?;
    }
    for change in &done.changes {
        writeln!(context.out, "  {change}")?;
    }
    let would = if wishes.dry_run { " would be" } else { "" };
    writeln!(
        context.out,
        "{file}: {}{would} added, {}{would} updated, {} unchanged{}.",
        counted(kind, s.added),
        s.updated,
        s.unchanged,
        if done.set_aside > 0 {
            format!(", {} set aside", done.set_aside)
        } else {
            String::new()
        }
    )?;
    if let Some(path) = wishes.skip_bad.as_ref().filter(|_| done.set_aside > 0) {
        let are = if wishes.dry_run { "would be" } else { "are" };
        let path = path.display();
        writeln!(
            context.out,
            "The rows set aside, with the reasons, {are} in {path}."
        )?;
    }
    match (s.number, wishes.dry_run) {
        (_, true) => writeln!(context.out, "Dry run: the book is as it was.")?,
        (Some(n), _) => writeln!(
            context.out,
            "Import {n}; 'wheelworth import --undo {n}' takes it back."
        )?,
        (None, _) => writeln!(context.out, "Nothing changed.")?,
    }
    Ok(())
}
