//! One file into the book: the same for every kind of file.

use super::next;
use crate::book::{Book, BookProblem, Import, ImportSummary};
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::how_written;
use crate::cli::how_written::{Dates, Decimal};
use crate::cli::progress::Progress;
use crate::cli::rows::importable::{Changes, Importable};
use crate::cli::rows::put::Rows;
use crate::cli::rows::rejects::Rejects;
use crate::cli::source::{STANDARD_INPUT, Source, named};
use crate::intake::{
    FileProblem, Kind, Reader, Settings, made_visible, reads_by_itself, shell_word,
};
use std::collections::HashSet;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What the user wants of an import.
#[derive(Clone, Debug)]
pub(crate) struct ImportWishes {
    /// `--column`.
    pub columns: Vec<(String, String)>,
    /// `--sheet`.
    pub sheet: Option<String>,
    /// `--ignore`.
    pub ignore: Vec<String>,
    /// `--word`: our column, their word, what it means.
    pub words: Vec<(String, String, String)>,
    /// `--blank-bad`.
    pub blank_bad: bool,
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
    /// What was remembered from the last file with this header and used.
    pub remembered: Remembered,
}

/// What was said of the last file with the same header.
#[derive(Clone, Debug, Default)]
pub(in crate::cli) struct Remembered {
    /// Pairs of columns: ours, the file's.
    pub columns: Vec<(String, String)>,
    /// Columns of the file that were left out.
    pub left_out: Vec<String>,
    /// Words: our column, the user's word, what it means.
    pub words: Vec<Word>,
}

/// Our column, the user's word, what it means.
pub(in crate::cli) type Word = (String, String, String);

/// Imports one file: all of it, or nothing (but for rows set aside by wish). For a
/// dry run the book must be one held together, which is dropped afterwards.
pub(crate) fn import<K: Importable>(
    context: &mut Context<'_>,
    book: &mut Book,
    file: &Path,
    wishes: &ImportWishes,
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
        &named(file).display().to_string(),
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
        let mut refusal = rows.found.refusal(named(file));
        refusal = refusal.with_hint(next::command(&reader, file, &settings, &rows.found)?);
        return Err(next::with_notes(refusal, reader.notes(), source));
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
    let mut found = rows.finish(book, &summary, &left_behind)?;
    found
        .cautions
        .splice(0..0, next::told(reader.notes(), source));
    if wishes.dry_run {
        summary.number = None; // The whole is taken back.
    }
    Ok(Imported {
        summary,
        set_aside: found.bad_rows,
        changes: found.changes,
        cautions: found.cautions,
        remembered: remembered.used(&reader, &settings),
    })
}

/// What was said beside how the file is to be read, ready to be typed again.
fn said(context: &Context<'_>, wishes: &ImportWishes) -> Vec<String> {
    let mut said = Vec::new();
    if context.as_of_said {
        said.push(format!("--as-of {}", context.as_of));
    }
    if !wishes.prefix.is_empty() {
        said.push(format!("--prefix {}", shell_word(&wishes.prefix)));
    }
    if let Some(rejects) = &wishes.skip_bad {
        said.push(format!(
            "--skip-bad {}",
            shell_word(&rejects.display().to_string())
        ));
    }
    let flags = [("--correct", wishes.correct), ("--dry-run", wishes.dry_run)];
    let flags = flags.into_iter().filter(|(_, given)| *given);
    said.extend(flags.map(|(flag, _)| flag.to_string()));
    said
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
    let words = settings.words.iter();
    let words = words.filter(|(column, theirs, _)| is_kept::<K>(column, theirs, settings));
    map.extend(
        words.map(|(column, theirs, ours)| (format!("{column}{OF_WORD}{theirs}"), ours.clone())),
    );
    if !map.is_empty() || dates.is_some() {
        import.remember_columns(reader.header(), &map, dates);
    }
}

/// Whether a word is kept for later files: not one that is read without it, which would
/// turn the value of a later file into another in silence.
fn is_kept<K: Kind>(column: &str, theirs: &str, settings: &Settings) -> bool {
    !reads_by_itself(K::FIELDS, column, theirs, settings)
}

/// Between the column and the user's word, where the meaning of a word is kept among the
/// pairs of a column map. No column of ours has it in its name.
const OF_WORD: char = ':';

/// Most bytes that are read from standard input, which is held in memory (1 GiB).
const MOST_INPUT: u64 = 1 << 30;

/// Where the text of a file is.
enum Input {
    /// Under its path.
    Path,
    /// In memory: it was read from standard input, which `-` names.
    Text(Arc<[u8]>),
}

impl Input {
    fn of(file: &Path) -> Result<Self, Failure> {
        if file.as_os_str() != STANDARD_INPUT {
            return Ok(Self::Path);
        }
        let mut text = Vec::new();
        let read = std::io::stdin()
            .lock()
            .take(MOST_INPUT + 1)
            .read_to_end(&mut text);
        read.map_err(|error| {
            Failure::refused(
                format!("standard input: cannot be read: {error}"),
                "Give the file by its name.",
            )
        })?;
        if text.len() as u64 > MOST_INPUT {
            return Err(Failure::refused(
                "standard input: is larger than 1 GiB",
                "Give the file by its name.",
            ));
        }
        Ok(Self::Text(text.into()))
    }

    fn reader<K: Kind>(&self, file: &Path, settings: &Settings) -> Result<Reader<K>, FileProblem> {
        match self {
            Self::Path => Reader::open(file, settings),
            Self::Text(text) => Reader::from_text(text.clone(), "standard input", settings),
        }
    }
}

/// A file ready to be read.
pub(in crate::cli) struct Opened<K> {
    pub reader: Reader<K>,
    pub settings: Settings,
    /// Order of day and month that was said of files with this header.
    pub dates: Option<Dates>,
    /// What was remembered from the last file with this header.
    pub remembered: Remembered,
}

impl Remembered {
    /// Without the words that no row of the file had.
    pub(in crate::cli) fn used<K: Kind>(self, reader: &Reader<K>, settings: &Settings) -> Self {
        let used: Vec<&Word> = reader
            .words_used()
            .filter_map(|place| settings.words.get(place))
            .collect();
        let mut words = self.words;
        words.retain(|word| used.contains(&word));
        Self { words, ..self }
    }
}

/// The remembered words that hold for a file: none that was said of it now, none that is
/// read without it, and none that is the id of a bike by now.
fn words_that_hold<K: Kind>(
    book: &Book,
    remembered: impl Iterator<Item = Word>,
    wishes: &ImportWishes,
    settings: &Settings,
) -> Result<Vec<Word>, BookProblem> {
    let lower = |text: &str| text.to_lowercase();
    let mut words: Vec<Word> = remembered
        .filter(|(column, theirs, _)| {
            let mut said = wishes.words.iter();
            !said.any(|(other, word, _)| other == column && lower(word) == lower(theirs))
                && is_kept::<K>(column, theirs, settings)
        })
        .collect();
    if words.iter().any(|(column, ..)| column == "bike") {
        let sales = book.sales()?;
        let ids: HashSet<String> = sales.iter().map(|sale| lower(&sale.id)).collect();
        words.retain(|(column, theirs, _)| {
            column != "bike" || !ids.contains(&lower(&format!("{}{theirs}", wishes.prefix)))
        });
    }
    Ok(words)
}

/// Refuses words of a column that the kind of file does not have.
fn columns_of_words<K: Kind>(words: &[(String, String, String)]) -> Result<(), Failure> {
    let names: Vec<&str> = K::FIELDS.iter().map(|field| field.name).collect();
    let stranger = words
        .iter()
        .find(|(column, ..)| !names.contains(&column.as_str()));
    let Some((column, theirs, ours)) = stranger else {
        return Ok(());
    };
    let (word, column) = (format!("{column}:{theirs}={ours}"), made_visible(column));
    Err(Failure::usage(
        format!(
            "--word '{}': {} have no column '{column}'",
            made_visible(&word),
            K::NAME
        ),
        format!(
            "Before the colon stands our name of the column: {}.",
            names.join(", ")
        ),
    ))
}

/// A reader with the user's column map, or else with the one that the book
/// remembers for this header.
pub(in crate::cli) fn open<K: Kind>(
    context: &Context<'_>,
    book: &Book,
    file: &Path,
    wishes: &ImportWishes,
) -> Result<Opened<K>, Failure> {
    columns_of_words::<K>(&wishes.words)?;
    let mut settings = how_written::settings(book, context.as_of)?;
    settings.columns.clone_from(&wishes.columns);
    settings.ignore.clone_from(&wishes.ignore);
    settings.words.clone_from(&wishes.words);
    settings.blank_bad = wishes.blank_bad;
    settings.sheet.clone_from(&wishes.sheet);
    let rules = book.rules()?;
    settings.only_beneficiary = match rules.named_by(context.as_of)[..] {
        [only] => Some(only.to_string()),
        _ => None,
    };
    settings.also = said(context, wishes);
    settings.decimal = wishes.decimal.map(Decimal::sign);
    settings.dates = wishes.dates.map(Dates::order).or(settings.dates);
    let input = Input::of(file)?;
    let first = input.reader::<K>(file, &settings);
    let header = match &first {
        Ok(reader) => Some(reader.header()),
        Err(problem) => problem.header(),
    };
    let known = header
        .map(|h| book.remembered_columns(K::NAME, h))
        .transpose()?
        .flatten();
    let Some(known) = known else {
        return Ok(Opened {
            reader: first?,
            settings,
            dates: wishes.dates,
            remembered: Remembered::default(),
        });
    };
    let is_word = |pair: &(String, String)| pair.0.contains(OF_WORD);
    let (words, map): (Vec<_>, Vec<_>) = known.map.into_iter().partition(is_word);
    let words = words.into_iter().filter_map(|(word, ours)| {
        let (column, theirs) = word.split_once(OF_WORD)?;
        Some((column.to_string(), theirs.to_string(), ours))
    });
    let words = words_that_hold::<K>(book, words, wishes, &settings)?;
    // What is said now comes first.
    settings.words.extend(words.iter().cloned());
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    let is_said = |(ours, theirs): &(String, String)| {
        let mut columns = wishes.columns.iter();
        let ignored = wishes.ignore.iter().any(|name| same(name, theirs));
        ignored || columns.any(|said| same(&said.0, ours) || same(&said.1, theirs))
    };
    let map = map.into_iter().filter(|pair| !is_said(pair));
    // An ignored column is remembered as a pair without a name of ours.
    let (map, ignored): (Vec<_>, Vec<_>) = map.partition(|(ours, _)| !ours.is_empty());
    settings.columns.extend(map.iter().cloned());
    let left_out: Vec<String> = ignored.into_iter().map(|(_, theirs)| theirs).collect();
    settings.ignore.extend(left_out.iter().cloned());
    let dates = known.dates.as_deref().and_then(Dates::from_word);
    let dates = wishes.dates.or(dates);
    settings.dates = dates.map(Dates::order).or(settings.dates);
    Ok(Opened {
        reader: input.reader(file, &settings)?,
        settings,
        dates,
        remembered: Remembered {
            columns: map,
            left_out,
            words,
        },
    })
}
