//! Reading a file row by row.

use super::columns::{Columns, Field};
use super::file_problem::FileProblem;
use super::opening::{Opened, judge, open};
use super::pointing::{shortened, show};
use super::problem::{BadRow, CellProblem, Row, RowProblem};
use super::quoting::{Quotes, line_ends, walk};
use super::row::RowCells;
use super::settings::Settings;
use super::window::Window;
use csv::{ErrorKind, ReaderBuilder, StringRecord};
use std::io::{self, Read};
use std::marker::PhantomData;
use std::path::{Path, PathBuf};

/// A kind of file: its columns, and how a row of it becomes a record.
pub trait Kind {
    /// What a row says.
    type Record;

    /// The kind's word: `sales`.
    const NAME: &'static str;

    /// The columns that it may have, in the contract's order.
    const FIELDS: &'static [Field];

    /// Reads a row. `None` only when a problem was kept in `row`; a record is
    /// used only when none was.
    fn read(row: &mut RowCells<'_>) -> Option<Self::Record>;
}

/// Reads the rows of one file, in memory that does not grow with the file.
pub struct Reader<K> {
    csv: csv::Reader<Window>,
    record: StringRecord,
    columns: Columns,
    settings: Settings,
    path: PathBuf,
    separator: u8,
    /// Bytes of the byte order mark.
    mark: u64,
    total: Option<u64>,
    /// Number of the line that the reading has reached, from 1.
    reached_line: u64,
    after_cr: bool,
    /// Line and bytes of the current record.
    record_line: u64,
    record_from: u64,
    record_to: u64,
    rows: u64,
    done: bool,
    kind: PhantomData<K>,
}

impl<K: Kind> Reader<K> {
    /// Opens a file and reads its header.
    pub fn open(path: &Path, settings: &Settings) -> Result<Self, FileProblem> {
        let (input, total) = open(path)?;
        let mut reader = Self::from_reader(input, path, settings)?;
        reader.total = Some(total);
        Ok(reader)
    }

    /// Reads from anything; `name` stands for the path in messages.
    pub fn from_reader(
        input: Box<dyn Read + Send>,
        name: impl AsRef<Path>,
        settings: &Settings,
    ) -> Result<Self, FileProblem> {
        let path = name.as_ref().to_path_buf();
        let Opened {
            window,
            separator,
            mark,
        } = judge(input, &path, K::FIELDS, settings)?;
        let csv = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(separator)
            .buffer_capacity(1 << 16)
            .from_reader(window);
        let mut reader = Self {
            csv,
            record: StringRecord::new(),
            columns: Columns {
                header: Vec::new(),
                at: Vec::new(),
                used: Vec::new(),
            },
            settings: settings.clone(),
            path,
            separator,
            mark,
            total: None,
            reached_line: 1,
            after_cr: false,
            record_line: 1,
            record_from: 0,
            record_to: 0,
            rows: 0,
            done: false,
            kind: PhantomData,
        };
        reader.read_header()?;
        Ok(reader)
    }

    fn read_header(&mut self) -> Result<(), FileProblem> {
        let path = self.path.clone();
        loop {
            if !self.advance()? {
                return Err(FileProblem::Empty { path });
            }
            if self.record.as_slice().trim() != "" || self.record.len() > 1 {
                break;
            }
        }
        self.quotes_closed()?;
        let header: Vec<String> = self
            .record
            .iter()
            .map(|name| name.trim().to_string())
            .collect();
        if header
            .iter()
            .rposition(|name| !name.is_empty())
            .unwrap_or(0)
            == 0
        {
            let header = shortened(header.first().map_or("", String::as_str));
            return Err(FileProblem::OneColumn {
                path,
                line: self.record_line,
                header,
            });
        }
        self.columns = Columns::find(header, K::FIELDS, &self.settings).map_err(|problems| {
            FileProblem::Columns {
                path,
                line: self.record_line,
                problems,
            }
        })?;
        Ok(())
    }

    /// The header as in the file, blanks around names taken away.
    pub fn header(&self) -> &[String] {
        &self.columns.header
    }

    /// The separator that was recognised: comma, semicolon or tab.
    pub fn separator(&self) -> char {
        char::from(self.separator)
    }

    /// Pairs (our column, the file's column) where the names differ.
    pub fn columns_used(&self) -> &[(String, String)] {
        &self.columns.used
    }

    /// Bytes of the file read so far.
    pub fn bytes_read(&self) -> u64 {
        self.csv.position().byte() + self.mark
    }

    /// Bytes of the whole file; unknown for readers that are not files.
    pub fn bytes_total(&self) -> Option<u64> {
        self.total
    }

    /// Line on which the current row starts, from 1.
    pub fn line(&self) -> u64 {
        self.record_line
    }

    /// The cells of the current row as they stand in the file.
    pub fn cells(&self) -> impl Iterator<Item = &str> {
        self.record.iter()
    }

    /// The next row: a record, or everything that is wrong with the row. Blank
    /// rows are skipped. `None` at the end of the file. Errors end the reading:
    /// bytes that are not UTF-8, a line longer than 1 MiB, a quote never
    /// closed, no rows at all, the system's own.
    #[allow(clippy::type_complexity)]
    pub fn next_row(&mut self) -> Result<Option<Result<Row<K::Record>, BadRow>>, FileProblem> {
        while !self.done {
            if !self.advance()? {
                if self.rows == 0 {
                    return Err(FileProblem::NoRows {
                        path: self.path.clone(),
                    });
                }
                break;
            }
            let spoiled = self.quotes_closed()?;
            if self.record.as_slice().trim().is_empty() {
                continue;
            }
            self.rows += 1;
            if let Some(column) = spoiled {
                let expected = "nothing after the quote that closes the cell";
                let mend = "Write a quote inside a quoted cell twice.";
                let faults = vec![(column, CellProblem::new(expected, mend))];
                return Ok(Some(Err(self.bad_row(faults))));
            }
            return Ok(Some(self.check()));
        }
        Ok(None)
    }

    /// Another problem of the current row, found by somebody who knows more
    /// than one row (an id that stands twice). `ours` is our name of a column.
    pub fn refuse(&self, ours: &str, problem: CellProblem) -> BadRow {
        let field = K::FIELDS.iter().position(|field| field.name == ours);
        let column = field.and_then(|field| self.columns.at.get(field).copied().flatten());
        match column {
            Some(column) => self.bad_row(vec![(column, problem)]),
            None => self.bad_whole_row(problem),
        }
    }

    /// Judges the row that was read.
    fn check(&self) -> Result<Row<K::Record>, BadRow> {
        let width = self.columns.header.len();
        let surplus = self
            .record
            .iter()
            .skip(width)
            .any(|cell| !cell.trim().is_empty());
        if self.record.len() < width || surplus {
            let expected = format!("{width} cells, as in the header, not {}", self.record.len());
            let mend =
                "Put cells that hold the separator in quotes, and leave unknown cells empty.";
            return Err(self.bad_whole_row(CellProblem::new(expected, mend)));
        }
        let mut row = RowCells::new(&self.record, &self.columns.at, K::FIELDS, &self.settings);
        match (K::read(&mut row), row.into_faults_and_notes()) {
            (Some(record), (faults, notes)) if faults.is_empty() => Ok(Row {
                line: self.record_line,
                record,
                notes,
            }),
            (_, (faults, _)) => Err(self.bad_row(faults)),
        }
    }

    /// Reads the next record and keeps count of lines. `false` at the end.
    fn advance(&mut self) -> Result<bool, FileProblem> {
        let from = self.csv.position().byte();
        self.csv.get_mut().begin(from);
        match self.csv.read_record(&mut self.record) {
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
        self.record_to = self.csv.position().byte();
        let raw = self.csv.get_ref().text(from, self.record_to);
        let (blank, record) = raw.split_at(leading_line_ends(raw));
        self.record_from = from + blank.len() as u64;
        self.record_line = self.reached_line + line_ends(blank, &mut self.after_cr);
        self.reached_line = self.record_line + line_ends(record, &mut self.after_cr);
        Ok(true)
    }

    fn raw(&self) -> &[u8] {
        self.csv.get_ref().text(self.record_from, self.record_to)
    }

    /// Judges the quotes of the current record: the column of a cell with text
    /// after its closing quote, or an error when a quote is never closed.
    fn quotes_closed(&mut self) -> Result<Option<usize>, FileProblem> {
        let raw = self.raw();
        if !raw.contains(&b'"') {
            return Ok(None);
        }
        match walk(raw, self.separator).quotes {
            Quotes::Sound => Ok(None),
            Quotes::TextAfter(column) => Ok(Some(column)),
            Quotes::Open(at) => {
                let lines = line_ends(raw.get(..at).unwrap_or(&[]), &mut false);
                self.done = true;
                Err(FileProblem::OpenQuote {
                    path: self.path.clone(),
                    line: self.record_line + lines,
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
        if self.csv.get_ref().too_long() {
            return match walk(record, self.separator).quotes {
                Quotes::Open(at) => {
                    let lines = line_ends(record.get(..at).unwrap_or(&[]), &mut after_cr);
                    FileProblem::OpenQuote {
                        path,
                        line: line + lines,
                    }
                }
                _ => FileProblem::LineTooLong { path, line },
            };
        }
        match error.into_kind() {
            ErrorKind::Utf8 { .. } => {
                let bad = std::str::from_utf8(record)
                    .err()
                    .map_or(0, |error| error.valid_up_to());
                let line = line + line_ends(record.get(..bad).unwrap_or(&[]), &mut after_cr);
                let offset = self.mark + from + blank.len() as u64 + bad as u64;
                let byte = record.get(bad).copied().unwrap_or(0);
                FileProblem::NotUtf8 {
                    path,
                    line,
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

    fn bad_row(&self, mut faults: Vec<(usize, CellProblem)>) -> BadRow {
        faults.sort_by_key(|(column, _)| *column);
        let raw = String::from_utf8_lossy(self.raw());
        let places = walk(raw.as_bytes(), self.separator).cells;
        let problems = faults.into_iter().map(|(column, problem)| {
            let shown = show(&raw, places.get(column).cloned().unwrap_or(0..0));
            RowProblem {
                line: self.record_line + shown.lines_before,
                column: self.columns.header.get(column).cloned().unwrap_or_default(),
                column_number: column + 1,
                value: shortened(self.record.get(column).unwrap_or("")),
                expected: problem.expected,
                mend: problem.mend,
                line_text: shown.line_text,
                at: shown.at,
            }
        });
        self.with_cells(problems.collect())
    }

    fn bad_whole_row(&self, problem: CellProblem) -> BadRow {
        let raw = String::from_utf8_lossy(self.raw());
        let shown = show(&raw, 0..raw.len());
        self.with_cells(vec![RowProblem {
            line: self.record_line,
            column: String::new(),
            column_number: 0,
            value: shortened(raw.trim_end()),
            expected: problem.expected,
            mend: problem.mend,
            line_text: shown.line_text,
            at: shown.at,
        }])
    }

    fn with_cells(&self, problems: Vec<RowProblem>) -> BadRow {
        let cells = self.record.iter().map(str::to_string).collect();
        BadRow {
            line: self.record_line,
            problems,
            cells,
        }
    }
}

/// Bytes of the line ends that `raw` starts with.
fn leading_line_ends(raw: &[u8]) -> usize {
    raw.iter()
        .take_while(|b| matches!(b, b'\n' | b'\r'))
        .count()
}
