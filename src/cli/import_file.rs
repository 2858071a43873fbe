//! One file into the book: the same for every kind of file.

use super::Context;
use super::failure::Failure;
use super::progress::Progress;
use crate::book::{Book, BookProblem, FieldChange, Import, ImportSummary, Put};
use crate::intake::{
    BadRow, CellProblem, Comps, DateOrder, Kind, Reader, RowProblem, Sales, Settings,
};
use crate::pricing::unusual::Asks;
use crate::report::{amounts, problem_text};
use crate::trade::{Comparable, Currency, Money, Sale, Style};
use std::collections::HashSet;
use std::path::{Path, PathBuf};

/// Bad rows shown; all are counted.
const SHOWN: usize = 1000;
/// Changes and cautions told one by one; all are counted.
const TOLD: usize = 50;

/// What the user wants of an import.
#[derive(Clone, Debug)]
pub struct Wishes {
    /// `--column`.
    pub columns: Vec<(String, String)>,
    /// `--ignore`.
    pub ignore: Vec<String>,
    /// `--dates`.
    pub dates: Option<DateOrder>,
    /// `--dry-run`.
    pub dry_run: bool,
    /// `--skip-bad`.
    pub skip_bad: Option<PathBuf>,
}

/// What an import did.
#[derive(Debug)]
pub struct Imported {
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

/// A kind of record that can be put into the book.
pub trait Importable: Kind {
    /// Our name of the id column.
    const ID: &'static str;
    /// Puts it.
    fn put(import: &mut Import<'_>, record: &Self::Record) -> Result<Put, BookProblem>;
    /// Its name for the user.
    fn name(record: &Self::Record) -> String;
    /// Style and ask (or sale price), to find unusual ones.
    fn priced(record: &Self::Record) -> Option<(Style, Money)>;
    /// The same for everything in the book.
    fn in_book(book: &Book, see: &mut dyn FnMut(Style, Money)) -> Result<(), BookProblem>;
}

impl Importable for Sales {
    const ID: &'static str = "bike";

    fn put(import: &mut Import<'_>, record: &Sale) -> Result<Put, BookProblem> {
        import.put_sale(record)
    }

    fn name(record: &Sale) -> String {
        record.id.clone()
    }

    fn priced(record: &Sale) -> Option<(Style, Money)> {
        Some((
            record.bike.style,
            record.sold.map(|s| s.price).or(record.ask)?,
        ))
    }

    fn in_book(book: &Book, see: &mut dyn FnMut(Style, Money)) -> Result<(), BookProblem> {
        book.sales()?
            .iter()
            .filter_map(Self::priced)
            .for_each(|(style, price)| see(style, price));
        Ok(())
    }
}

impl Importable for Comps {
    const ID: &'static str = "listing";

    fn put(import: &mut Import<'_>, record: &Comparable) -> Result<Put, BookProblem> {
        import.put_comp(record)
    }

    fn name(record: &Comparable) -> String {
        if record.source.is_empty() {
            record.listing.clone()
        } else {
            format!("{} ({})", record.listing, record.source)
        }
    }

    fn priced(record: &Comparable) -> Option<(Style, Money)> {
        Some((record.bike.style, record.ask))
    }

    fn in_book(book: &Book, see: &mut dyn FnMut(Style, Money)) -> Result<(), BookProblem> {
        book.each_comp(&mut |_, comp| see(comp.bike.style, comp.ask))
    }
}

/// Imports one file: all of it, or nothing (but for rows set aside by wish).
pub fn import<K: Importable>(
    context: &mut Context<'_>,
    book: &mut Book,
    file: &Path,
    wishes: &Wishes,
) -> Result<Imported, Failure> {
    let currency = book.settings().currency;
    let Opened {
        mut reader,
        settings,
        remembered,
    } = open::<K>(context, book, file, wishes)?;
    let mut asks = Asks::default();
    K::in_book(book, &mut |style, price| {
        asks.push(style, currency.units(price), 0)
    })?;
    let before: HashSet<Vec<i64>> = book.double_listings()?.into_iter().collect();
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
    let mut found = Found::default();
    let mut import = book.begin_import(K::NAME, &file.display().to_string(), context.as_of)?;
    while let Some(row) = reader.next_row()? {
        progress.row(reader.bytes_read());
        let row = match row {
            Ok(row) => row,
            Err(bad) => {
                found.bad(bad, rejects.as_mut())?;
                continue;
            }
        };
        match K::put(&mut import, &row.record)? {
            Put::TwiceInFile => {
                let mend = "Keep the row that is right, or give the other an id of its own.";
                let bad = reader.refuse(
                    K::ID,
                    CellProblem::new("an id that stands once in the file", mend),
                );
                found.bad(bad, rejects.as_mut())?;
                continue;
            }
            Put::Updated { changed } => found.changed(&K::name(&row.record), &changed),
            Put::Added | Put::Unchanged => {}
        }
        for note in &row.notes {
            found.caution(|| format!("{}, line {}: {note}", file.display(), row.line));
        }
        if let Some((style, price)) = K::priced(&row.record) {
            asks.push(
                style,
                currency.units(price),
                u32::try_from(row.line).unwrap_or(u32::MAX),
            );
        }
    }
    drop(progress);
    if found.bad_rows > 0 && wishes.skip_bad.is_none() {
        drop(import);
        return Err(found.refusal(file));
    }
    if let Some(rejects) = rejects {
        rejects.finish(found.bad_rows > 0)?;
    }
    let summary = if wishes.dry_run {
        let so_far = import.so_far();
        drop(import);
        so_far
    } else {
        let dates = settings.dates.map(|d| {
            if d == DateOrder::DayFirst {
                "dmy"
            } else {
                "mdy"
            }
        });
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
        import.commit()?
    };
    unusual(&mut found, asks, file, &currency)?;
    if !wishes.dry_run {
        doubles(&mut found, book, &before)?;
    }
    found.close();
    Ok(Imported {
        summary,
        set_aside: found.bad_rows,
        changes: found.changes,
        cautions: found.cautions,
        remembered,
    })
}

/// A file ready to be read.
struct Opened<K> {
    reader: Reader<K>,
    settings: Settings,
    /// The map remembered from the last file with this header, if it was used.
    remembered: Vec<(String, String)>,
}

/// A reader with the user's column map, or else with the one that the book
/// remembers for this header.
fn open<K: Kind>(
    context: &Context<'_>,
    book: &Book,
    file: &Path,
    wishes: &Wishes,
) -> Result<Opened<K>, Failure> {
    let mut settings = Settings::new(book.settings().currency, context.as_of);
    settings.columns.clone_from(&wishes.columns);
    settings.ignore.clone_from(&wishes.ignore);
    settings.dates = wishes.dates;
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
    settings.dates = settings.dates.or(match known.dates.as_deref() {
        Some("dmy") => Some(DateOrder::DayFirst),
        Some("mdy") => Some(DateOrder::MonthFirst),
        _ => None,
    });
    Ok(Opened {
        reader: Reader::open(file, &settings)?,
        settings,
        remembered: map,
    })
}

#[derive(Default)]
struct Found {
    bad_rows: u64,
    problems: Vec<RowProblem>,
    changes: Vec<String>,
    changed_rows: usize,
    cautions: Vec<String>,
    doubts: usize,
}

impl Found {
    fn bad(&mut self, bad: BadRow, rejects: Option<&mut Rejects>) -> Result<(), Failure> {
        self.bad_rows += 1;
        if let Some(rejects) = rejects {
            rejects.write(&bad)?;
        }
        if self.bad_rows as usize <= SHOWN {
            self.problems.extend(bad.problems);
        }
        Ok(())
    }

    fn changed(&mut self, name: &str, fields: &[FieldChange]) {
        self.changed_rows += 1;
        if self.changes.len() < TOLD {
            let shown = |text: &str| {
                if text.is_empty() {
                    "unknown".to_string()
                } else {
                    text.to_string()
                }
            };
            let fields: Vec<String> = fields
                .iter()
                .map(|f| format!("{} {} -> {}", f.field, shown(&f.before), shown(&f.after)))
                .collect();
            self.changes.push(format!("{name}: {}", fields.join(", ")));
        }
    }

    fn caution(&mut self, words: impl FnOnce() -> String) {
        self.doubts += 1;
        if self.cautions.len() < TOLD {
            self.cautions.push(words());
        }
    }

    /// Says how many more there are.
    fn close(&mut self) {
        if self.doubts > self.cautions.len() {
            self.cautions.push(format!(
                "and {} more of the kind",
                self.doubts - self.cautions.len()
            ));
        }
        if self.changed_rows > self.changes.len() {
            self.changes.push(format!(
                "and {} more",
                self.changed_rows - self.changes.len()
            ));
        }
    }

    fn refusal(&self, file: &Path) -> Failure {
        let mut message = problem_text::render(file, &self.problems);
        let shown = self.bad_rows.min(SHOWN as u64);
        let more = if self.bad_rows > shown {
            format!(" (the first {shown} are shown)")
        } else {
            String::new()
        };
        let rows = if self.bad_rows == 1 {
            "1 row".to_string()
        } else {
            format!("{} rows", self.bad_rows)
        };
        message = format!(
            "{rows} of {} cannot be used{more}; nothing was imported\n\n{message}",
            file.display()
        );
        Failure::refused(
            message,
            "Mend the rows and import again, or import the others with --skip-bad REJECTS.csv.",
        )
    }
}

fn unusual(found: &mut Found, asks: Asks, file: &Path, currency: &Currency) -> Result<(), Failure> {
    let unusual = asks.unusual().map_err(|e| {
        Failure::refused(
            format!("the asks could not be compared: {e}"),
            "This is a fault of the program.",
        )
    })?;
    for one in unusual {
        let (Some(ask), Some(median)) = (currency.round(one.ask), currency.round(one.median))
        else {
            continue;
        };
        let times = if one.ask > one.median {
            format!("{:.0} times", one.ask / one.median)
        } else {
            format!("1/{:.0} of", one.median / one.ask)
        };
        found.caution(|| {
            format!(
                "{}, line {}: {} is {times} the median of other {} bikes ({}); check the decimal point, and that \
                 it is one whole bike",
                file.display(),
                one.line,
                amounts::exact(ask, currency),
                one.style,
                amounts::exact(median, currency)
            )
        });
    }
    Ok(())
}

/// Groups of like listings that were not there before.
fn doubles(found: &mut Found, book: &Book, before: &HashSet<Vec<i64>>) -> Result<(), Failure> {
    for group in book
        .double_listings()?
        .into_iter()
        .filter(|g| !before.contains(g))
    {
        if found.cautions.len() >= TOLD {
            found.doubts += 1;
            continue;
        }
        let mut names = Vec::new();
        for row in group.iter().take(4) {
            names.extend(book.comp_by_row(*row)?.as_ref().map(Comps::name));
        }
        let part = group.len();
        found.caution(|| {
            format!(
                "{} look like one bike listed {part} times; each counts 1/{part}",
                names.join(" and ")
            )
        });
    }
    Ok(())
}

/// The file of rows set aside: their cells as they stood, line and reasons.
/// It is written under another name and put in place when the import is done.
struct Rejects {
    writer: csv::Writer<std::fs::File>,
    part: PathBuf,
    path: PathBuf,
}

impl Drop for Rejects {
    /// An import that failed leaves no half-written file behind.
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.part);
    }
}

impl Rejects {
    fn new(path: &Path, header: &[String]) -> Result<Self, Failure> {
        let cannot = |e: std::io::Error| {
            Failure::refused(
                format!("{}: cannot be written: {e}", path.display()),
                "Name another file for --skip-bad.",
            )
        };
        if path.exists() {
            return Err(Failure::refused(
                format!("{}: is there already", path.display()),
                "Name a new file for --skip-bad, so that nothing is lost.",
            ));
        }
        let mut part = path.as_os_str().to_owned();
        part.push(".part");
        let part = PathBuf::from(part);
        let file = std::fs::File::create(&part).map_err(cannot)?;
        let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(file);
        let titles = header.iter().map(String::as_str).chain(["line", "reasons"]);
        writer.write_record(titles).map_err(|e| cannot(e.into()))?;
        Ok(Self {
            writer,
            part,
            path: path.to_path_buf(),
        })
    }

    fn write(&mut self, bad: &BadRow) -> Result<(), Failure> {
        let reasons: Vec<String> = bad.problems.iter().map(RowProblem::to_string).collect();
        let line = bad.line.to_string();
        let cells = bad.cells.iter().map(String::as_str).chain([line.as_str()]);
        let joined = reasons.join("; ");
        self.writer
            .write_record(cells.chain([joined.as_str()]))
            .map_err(|e| {
                Failure::refused(
                    format!("{}: cannot be written: {e}", self.part.display()),
                    "Check the disk.",
                )
            })
    }

    fn finish(mut self, wanted: bool) -> Result<(), Failure> {
        let done = self.writer.flush().and_then(|()| {
            if wanted {
                std::fs::rename(&self.part, &self.path)
            } else {
                std::fs::remove_file(&self.part)
            }
        });
        done.map_err(|e| {
            Failure::refused(
                format!("{}: cannot be written: {e}", self.path.display()),
                "Check the disk.",
            )
        })
    }
}
