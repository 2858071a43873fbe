//! What an import found: bad rows, changes, doubts.

use super::importable::Importable;
use super::rejects::Rejects;
use crate::book::{Book, FieldChange};
use crate::cli::failure::Failure;
use crate::cli::source::Source;
use crate::intake::{BadRow, Comps, RowNote, RowProblem, made_visible};
use crate::pricing::records::unusual::AsksByStyle;
use crate::report::text::counts::{listed, many};
use crate::report::text::{amounts, problems};
use crate::trade::{Currency, Day};
use std::collections::HashSet;
use std::path::Path;

/// Bad rows shown; all are counted.
const SHOWN: usize = 1000;

/// Changes and cautions told one by one; all are counted.
const TOLD: usize = 50;

/// Characters told of a value that changed.
const LONGEST: usize = 200;

/// Words that are proposed a meaning.
const MOST_WORDS: usize = 40;

/// Emptied fields that are named.
const NAMED: usize = 5;

#[derive(Default)]
pub(crate) struct Found {
    pub bad_rows: u64,
    problems: Vec<RowProblem>,
    pub changes: Vec<String>,
    changed_rows: usize,
    pub cautions: Vec<String>,
    doubts: usize,
    /// Fields that were known and are not any more.
    emptied: usize,
    first_emptied: Vec<String>,
    /// Cells that were left unknown: column, as written, line.
    blanked: Vec<(&'static str, String, u64)>,
}

impl Found {
    pub(crate) fn bad(
        &mut self,
        bad: BadRow,
        rejects: Option<&mut Rejects>,
    ) -> Result<(), Failure> {
        self.bad_rows += 1;
        if let Some(rejects) = rejects {
            rejects.write(&bad)?;
        }
        if self.bad_rows as usize <= SHOWN {
            self.problems.extend(bad.problems);
        }
        Ok(())
    }

    pub(crate) fn changed(&mut self, name: &str, fields: &[FieldChange]) {
        self.changed_rows += 1;
        for field in fields.iter().filter(|field| field.after.is_empty()) {
            self.emptied += 1;
            if self.first_emptied.len() < NAMED {
                self.first_emptied
                    .push(format!("{} of {name}", field.field));
            }
        }
        if self.changes.len() < TOLD {
            let shown = |text: &str| match text.char_indices().nth(LONGEST) {
                None if text.is_empty() => "unknown".to_string(),
                None => made_visible(text),
                Some((end, _)) => format!("{}…", made_visible(&text[..end])),
            };
            let fields: Vec<String> = fields
                .iter()
                .map(|f| format!("{} {} -> {}", f.field, shown(&f.before), shown(&f.after)))
                .collect();
            self.changes.push(format!("{name}: {}", fields.join(", ")));
        }
    }

    /// Tells something that was done, among the changes.
    pub(crate) fn tell(&mut self, words: String) {
        self.changed_rows += 1;
        if self.changes.len() < TOLD {
            self.changes.push(words);
        }
    }

    pub(crate) fn caution(&mut self, words: impl FnOnce() -> String) {
        self.doubts += 1;
        if self.cautions.len() < TOLD {
            self.cautions.push(words());
        }
    }

    /// That cells which are empty now held something before; `None` where none did.
    pub(crate) fn emptied(&self) -> Option<String> {
        let more = match self.emptied - self.first_emptied.len() {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        (self.emptied > 0).then(|| {
            format!(
                "what is given is empty where the book knew something, and is empty in the book now: \
                 {}{more}. Leave a column out of the file to leave its fields as they are",
                self.first_emptied.join(", ")
            )
        })
    }

    /// Tells what a good row has that is odd; cells that were left unknown are told together.
    pub(crate) fn note(&mut self, note: RowNote, line: u64, source: Source<'_>) {
        match note {
            RowNote::LeftUnknown { column, written } => self.blanked.push((column, written, line)),
            note => self.caution(|| format!("{}{note}", source.place(line))),
        }
    }

    /// Tells of the cells that were left unknown, column by column.
    pub(crate) fn left_unknown(&mut self, source: Source<'_>) {
        let blanked = std::mem::take(&mut self.blanked);
        let mut columns: Vec<&'static str> = blanked.iter().map(|(column, ..)| *column).collect();
        columns.sort_unstable();
        columns.dedup();
        for column in columns {
            let cells = blanked.iter().filter(|(of, ..)| *of == column);
            let cells: Vec<(&str, u64)> = cells.map(|(_, cell, line)| (&**cell, *line)).collect();
            let words = match cells[..] {
                [(written, line)] => {
                    let written = written.to_string();
                    let note = RowNote::LeftUnknown { column, written };
                    format!("{}{note}", source.place(line))
                }
                _ => left_unknown(column, &cells, source),
            };
            self.caution(|| words);
        }
    }

    /// Says how many more there are.
    pub(crate) fn close(&mut self) {
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

    /// What cells of rows that were refused probably mean: our column, theirs, ours.
    pub(crate) fn words(&self) -> Vec<(String, String, String)> {
        let mut words = Vec::new();
        for word in self
            .problems
            .iter()
            .filter_map(|problem| problem.word.as_ref())
        {
            if !words.contains(word) && words.len() < MOST_WORDS {
                words.push(word.clone());
            }
        }
        words
    }

    /// Whether a row was refused as that of another bike than the one of its id.
    pub(crate) fn another_bike(&self) -> bool {
        self.problems
            .iter()
            .any(|problem| problem.mend.contains("--prefix"))
    }

    pub(crate) fn refusal(&self, file: &Path) -> Failure {
        let mut message = problems::render(file, &self.problems);
        let shown = self.bad_rows.min(SHOWN as u64);
        let more = if self.bad_rows > shown {
            format!(" (the first {shown} are shown)")
        } else {
            String::new()
        };
        let rows = many(self.bad_rows as usize, "row");
        message = format!(
            "{rows} of {} cannot be used{more}; nothing was imported\n\n{message}",
            file.display()
        );
        Failure::refused(
            message,
            "Fix these rows and import again, or import the others with --skip-bad REJECTS.csv.",
        )
    }
}

/// Cells of one column that were left unknown: each as written, with its lines.
fn left_unknown(column: &str, cells: &[(&str, u64)], source: Source<'_>) -> String {
    let mut words: Vec<(&str, Vec<String>)> = Vec::new();
    for (written, line) in cells {
        match words.iter_mut().find(|(word, _)| word == written) {
            Some((_, lines)) => lines.push(line.to_string()),
            None => words.push((written, vec![line.to_string()])),
        }
    }
    let more = words.len().saturating_sub(TOLD);
    let shown = words.iter().take(TOLD).map(|(word, lines)| {
        let line = if lines.len() == 1 { "line" } else { "lines" };
        format!("'{}' ({line} {})", made_visible(word), listed(lines))
    });
    let shown = shown.collect::<Vec<_>>().join(", ");
    let more = if more > 0 {
        format!(" and {more} more")
    } else {
        String::new()
    };
    format!(
        "{}{} of {column} cannot be read and were left unknown: {shown}{more}",
        source.place(0),
        many(cells.len(), "cell")
    )
}

/// Asks far from their like.
pub(crate) fn unusual(
    found: &mut Found,
    asks: AsksByStyle,
    source: Source<'_>,
    currency: &Currency,
) -> Result<(), Failure> {
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
                "{}{} {currency} is {times} the middle price of the others of style {} ({} {currency}); check the decimal point, and \
                 that it is one whole bike",
                source.place(one.line.into()),
                amounts::exact(ask, currency),
                one.style,
                amounts::exact(median, currency)
            )
        });
    }
    Ok(())
}

/// Groups of like listings that were not there before.
pub(crate) fn doubles(
    found: &mut Found,
    book: &Book,
    as_of: Day,
    before: &HashSet<Vec<i64>>,
) -> Result<(), Failure> {
    for group in book
        .double_listings(as_of)?
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
