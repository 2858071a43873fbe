//! One file into the book: the same for every kind of file.

use crate::book::{Book, Import, ImportSummary};
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::how_written;
use crate::cli::how_written::{Dates, Decimal};
use crate::cli::progress::Progress;
use crate::cli::rows::importable::{Changes, Importable};
use crate::cli::rows::put::Rows;
use crate::cli::rows::rejects::Rejects;
use crate::cli::source::Source;
use crate::intake::{Kind, Reader, Settings};
use std::path::{Path, PathBuf};

/// What the user wants of an import.
#[derive(Clone, Debug)]
pub(crate) struct Wishes {
    /// `--column`.
    pub columns: Vec<(String, String)>,
    /// `--ignore`.
    pub ignore: Vec<String>,
    /// `--dates`.
    pub dates: Option<Dates>,
    /// `--decimal`.
    pub decimal: Option<Decimal>,
    /// `--correct`.
    pub correct: bool,
    /// `--prefix`.
    pub prefix: String,
    /// `--dry-run`.
    pub dry_run: bool,
    /// `--skip-bad`.
    pub skip_bad: Option<PathBuf>,
}

/// What an import did.
#[derive(Debug)]
pub(crate) struct Imported {
    /// Counts and number.
    pub summary: ImportSummary,
    /// Rows set aside.
    pub set_aside: u64,
    /// Rows that changed, in words.
    pub changes: Vec<String>,
    /// Doubts, in words.
    pub cautions: Vec<String>,
    /// The column map remembered from the last file with this header.
    pub remembered: Vec<(String, String)>,
}

/// Imports one file: all of it, or nothing (but for rows set aside by wish). For a
/// dry run the book must be one held together, which is dropped afterwards.
pub(crate) fn import<K: Importable>(
    context: &mut Context<'_>,
    book: &mut Book,
    file: &Path,
    wishes: &Wishes,
) -> Result<Imported, Failure> {
    let Opened {
        mut reader,
        settings,
        dates,
        remembered,
    } = open::<K>(context, book, file, wishes)?;
    let source = Source::File(file);
    let changes = Changes {
        given: reader.fields_given().collect(),
        correct: wishes.correct,
        prefix: wishes.prefix.clone(),
    };
    let mut rows = Rows::<K>::of(source, book, context.as_of, changes)?;
    let mut rejects = wishes
        .skip_bad
        .as_deref()
        .filter(|_| !wishes.dry_run)
        .map(|p| Rejects::new(p, reader.header()))
        .transpose()?;
    let mut progress = Progress::new(
        context.progress,
        reader.bytes_total(),
        &file.display().to_string(),
    );
    let mut import = book.begin_import(K::NAME, &source.name(), context.as_of)?;
    while let Some(row) = reader.next_row()? {
        progress.row(reader.bytes_read());
        let bad = match row {
            Ok(row) => rows
                .put(&mut import, row)?
                .map(|(ours, problem)| reader.refuse(ours, problem)),
            Err(bad) => Some(bad),
        };
        if let Some(bad) = bad {
            rows.found.bad(bad, rejects.as_mut())?;
        }
    }
    drop(progress);
    let bad_rows = rows.found.bad_rows;
    if bad_rows > 0 && wishes.skip_bad.is_none() {
        drop(import);
        return Err(rows.found.refusal(file));
    }
    if let Some(rejects) = rejects.as_mut().filter(|_| bad_rows > 0) {
        rejects.put_in_place()?;
    }
    let left_behind = rows.left_behind(&import)?;
    if !wishes.dry_run {
        remember(&mut import, &reader, &settings, dates);
    }
    let mut summary = import.commit()?;
    if let Some(rejects) = rejects.filter(|_| bad_rows > 0) {
        rejects.keep();
    }
    let found = rows.finish(book, &summary, &left_behind)?;
    if wishes.dry_run {
        summary.number = None; // The whole is taken back.
    }
    Ok(Imported {
        summary,
        set_aside: found.bad_rows,
        changes: found.changes,
        cautions: found.cautions,
        remembered,
    })
}

/// Keeps the column map for the next file with this header.
pub(in crate::cli) fn remember<K: Kind>(
    import: &mut Import<'_>,
    reader: &Reader<K>,
    settings: &Settings,
    dates: Option<Dates>,
) {
    let dates = dates.map(Dates::word);
    let mut map = reader.columns_used().to_vec();
    map.extend(
        settings
            .ignore
            .iter()
            .map(|theirs| (String::new(), theirs.clone())),
    );
    if !map.is_empty() || dates.is_some() {
        import.remember_columns(reader.header(), &map, dates);
    }
}

/// A file ready to be read.
pub(in crate::cli) struct Opened<K> {
    pub reader: Reader<K>,
    pub settings: Settings,
    /// Order of day and month that was said of files with this header.
    pub dates: Option<Dates>,
    /// The map remembered from the last file with this header, if it was used.
    pub remembered: Vec<(String, String)>,
}

/// A reader with the user's column map, or else with the one that the book
/// remembers for this header.
pub(in crate::cli) fn open<K: Kind>(
    context: &Context<'_>,
    book: &Book,
    file: &Path,
    wishes: &Wishes,
) -> Result<Opened<K>, Failure> {
    let mut settings = how_written::settings(book, context.as_of)?;
    settings.columns.clone_from(&wishes.columns);
    settings.ignore.clone_from(&wishes.ignore);
    settings.decimal = wishes.decimal.map(Decimal::sign);
    settings.dates = wishes.dates.map(Dates::order).or(settings.dates);
    let first = Reader::<K>::open(file, &settings);
    let header = match &first {
        Ok(reader) => Some(reader.header()),
        Err(problem) => problem.header(),
    };
    let known = header
        .map(|h| book.remembered_columns(K::NAME, h))
        .transpose()?
        .flatten();
    let Some(known) = known.filter(|_| settings.columns.is_empty()) else {
        return Ok(Opened {
            reader: first?,
            settings,
            dates: wishes.dates,
            remembered: Vec::new(),
        });
    };
    // An ignored column is remembered as a pair without a name of ours.
    let (map, ignored): (Vec<_>, Vec<_>) = known
        .map
        .into_iter()
        .partition(|(ours, _)| !ours.is_empty());
    settings.columns.clone_from(&map);
    settings
        .ignore
        .extend(ignored.into_iter().map(|(_, theirs)| theirs));
    let dates = known.dates.as_deref().and_then(Dates::from_word);
    let dates = wishes.dates.or(dates);
    settings.dates = dates.map(Dates::order).or(settings.dates);
    Ok(Opened {
        reader: Reader::open(file, &settings)?,
        settings,
        dates,
        remembered: map,
    })
}
