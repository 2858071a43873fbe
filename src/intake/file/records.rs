//! The records of a file one by one, with the line and the raw text of each.

use super::opening::Opened;
use super::quoting::{Quotes, line_ends, walk};
use super::window::Window;
use crate::intake::problems::file::FileProblem;
use crate::intake::sheets::table::Places;
use csv::{ErrorKind, ReaderBuilder, StringRecord};
use std::io;
use std::path::PathBuf;
use std::sync::Arc;

/// Reads records and knows where the current one stands.
pub(in crate::intake) struct Records {
    csv: csv::Reader<Window>,
    /// The cells of the current record.
    pub(in crate::intake) cells: StringRecord,
    pub(in crate::intake) path: PathBuf,
    pub(in crate::intake) separator: u8,
    /// Bytes of the byte order mark, which the window leaves out.
    mark: u64,
    /// Line that the reading has reached, from 1, and whether it stopped
    /// between CR and what may be its LF.
    reached_line: u64,
    after_cr: bool,
    /// Line on which the current record starts, from 1.
    pub(in crate::intake) line: u64,
    /// Bytes of the current record.
    from: u64,
    to: u64,
    /// Of a spreadsheet, where its cells stand. Lines are counted by records then, which
    /// are the rows of the sheet.
    pub(in crate::intake) sheet: Option<Arc<Places>>,
    /// Records above the header still to be passed over.
    pub(in crate::intake) titles: usize,
    /// The end was reached, or a problem that ends the reading.
    pub(in crate::intake) done: bool,
}

impl Records {
    pub(in crate::intake) fn new(opened: Opened, path: PathBuf) -> Self {
        let csv = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(opened.separator)
            .buffer_capacity(1 << 16)
            .from_reader(opened.window);
        Self {
            csv,
            cells: StringRecord::new(),
            path,
            separator: opened.separator,
            mark: opened.mark,
            reached_line: 1,
            after_cr: false,
            line: 1,
            from: 0,
            to: 0,
            sheet: None,
            titles: opened.titles,
            done: false,
        }
    }

    /// The rows of a sheet.
    pub(in crate::intake) fn of_sheet(opened: Opened, path: PathBuf, sheet: Arc<Places>) -> Self {
        Self {
            sheet: Some(sheet),
            line: 0,
            ..Self::new(opened, path)
        }
    }

    /// Bytes of the file read so far.
    pub(in crate::intake) fn bytes_read(&self) -> u64 {
        self.csv.position().byte() + self.mark
    }

    /// The current record as it stands in the file.
    pub(in crate::intake) fn raw(&self) -> &[u8] {
        self.csv.get_ref().text(self.from, self.to)
    }

    /// Whether a cell of the current record was a number in a spreadsheet.
    pub(in crate::intake) fn is_number(&self, column: usize) -> bool {
        let sheet = self.sheet.as_ref();
        sheet.is_some_and(|sheet| sheet.is_number(self.line, column))
    }

    /// Reads the next record and keeps count of lines. `false` at the end.
    pub(in crate::intake) fn advance(&mut self) -> Result<bool, FileProblem> {
        let from = self.csv.position().byte();
        self.csv.get_mut().begin(from);
        match self.csv.read_record(&mut self.cells) {
            Ok(true) => {}
            Ok(false) => {
                self.done = true;
                return Ok(false);
            }
            Err(error) => {
                self.done = true;
                return Err(self.failure(from, error));
            }
        }
        self.to = self.csv.position().byte();
        let raw = self.csv.get_ref().text(from, self.to);
        let (blank, record) = raw.split_at(leading_line_ends(raw));
        self.from = from + blank.len() as u64;
        if self.sheet.is_some() {
            self.line += 1;
            return Ok(true);
        }
        self.line = self.reached_line + line_ends(blank, &mut self.after_cr);
        self.reached_line = self.line + line_ends(record, &mut self.after_cr);
        Ok(true)
    }

    /// Judges the quotes of the current record: the column (from 0) of a cell
    /// with text after its closing quote, or an error when a quote is never
    /// closed.
    pub(in crate::intake) fn check_quotes(&mut self) -> Result<Option<usize>, FileProblem> {
        let raw = self.raw();
        if !raw.contains(&b'"') {
            return Ok(None);
        }
        match walk(raw, self.separator).quotes {
            Quotes::Sound => Ok(None),
            Quotes::TextAfter(column) => Ok(Some(column)),
            Quotes::Open(at) => {
                let line = self.line + line_ends(raw.get(..at).unwrap_or(&[]), &mut false);
                self.done = true;
                Err(FileProblem::OpenQuote {
                    path: self.path.clone(),
                    line,
                })
            }
        }
    }

    /// What an error of the csv crate means for the record that began at `from`.
    fn failure(&self, from: u64, error: csv::Error) -> FileProblem {
        let path = self.path.clone();
        let text = self.csv.get_ref().text_from(from);
        let mut after_cr = self.after_cr;
        let (blank, record) = text.split_at(leading_line_ends(text));
        let line = self.reached_line + line_ends(blank, &mut after_cr);
        let mut line_of =
            |at: usize| line + line_ends(record.get(..at).unwrap_or(&[]), &mut after_cr);
        if self.csv.get_ref().too_long() {
            return match walk(record, self.separator).quotes {
                Quotes::Open(at) => FileProblem::OpenQuote {
                    path,
                    line: line_of(at),
                },
                _ => FileProblem::LineTooLong { path, line },
            };
        }
        match error.into_kind() {
            ErrorKind::Utf8 { .. } => {
                let bad = std::str::from_utf8(record)
                    .err()
                    .map_or(0, |error| error.valid_up_to());
                let offset = self.mark + from + (blank.len() + bad) as u64;
                let byte = record.get(bad).copied().unwrap_or(0);
                FileProblem::NotUtf8 {
                    path,
                    line: line_of(bad),
                    offset,
                    byte,
                }
            }
            ErrorKind::Io(source) => FileProblem::ReadFailed { path, line, source },
            other => {
                let source = io::Error::other(format!("{other:?}"));
                FileProblem::ReadFailed { path, line, source }
            }
        }
    }
}

/// Bytes of the line ends that `raw` starts with.
fn leading_line_ends(raw: &[u8]) -> usize {
    raw.iter()
        .take_while(|b| matches!(b, b'\n' | b'\r'))
        .count()
}
