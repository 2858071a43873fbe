//! Reading a file row by row.

use super::columns::Columns;
use super::divider::divider;
use super::header::read_header;
use super::lots::not_one_bike;
use super::opening::{judge, open, opened_sheet};
use super::proposing::{self, Values};
use super::quoting::{Quotes, walk};
use super::records::Records;
use super::refusals::{no_value, two_orders};
use super::sheet_choice::{in_sheet, sheet_or_other};
use super::totals::{Judge, Totals};
use crate::intake::cells::decimal_sign::DecimalSign;
use crate::intake::cells::decimals::{Decimals, Evidence};
use crate::intake::cells::money::reads_two_ways;
use crate::intake::cells::row::{MAY_BE_BLANK, RowCells};
use crate::intake::kind::Kind;
use crate::intake::parquet::as_text::as_text;
use crate::intake::problems::file::FileProblem;
use crate::intake::problems::notes::FileNote;
use crate::intake::problems::pointing::{shortened, show};
use crate::intake::problems::problem::{BadRow, CellProblem, Row, RowNote, RowProblem};
use crate::intake::problems::proposal::Proposal;
use crate::intake::settings::{DateOrder, Settings};
use crate::intake::sheets::table::SheetText;
use crate::intake::sheets::workbook::Found;
use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read};
use std::marker::PhantomData;
use std::path::Path;
use std::sync::Arc;

/// Reads the rows of one file, in memory that does not grow with the file.
pub struct Reader<K> {
    records: Records,
    columns: Columns,
    settings: Settings,
    total: Option<u64>,
    rows: u64,
    /// How amounts that read two ways are to be read, once one was met.
    decimals: Option<Decimals>,
    /// For each column the order of day and month that its first such cell told, with
    /// the cell and its line.
    day_orders: BTreeMap<usize, (DateOrder, String, u64)>,
    source: Source,
    /// What the last rows are, once they were looked at.
    totals: Option<Totals>,
    notes: Vec<FileNote>,
    /// Words of the settings that stood in the file, by their places.
    words_used: BTreeSet<usize>,
    kind: PhantomData<K>,
}

/// Where a file's text can be had from once more, to learn from later rows how an
/// earlier one is to be read.
#[derive(Clone, Debug)]
enum Source {
    /// From its path, which [`Records`] knows.
    Path,
    /// From memory.
    Text(Arc<[u8]>),
    /// From the text of a sheet.
    Sheet(SheetText),
    /// From nowhere: it can be read once.
    Once,
}

/// A row that can be used, or everything that is wrong with it.
pub type RowResult<K> = Result<Row<<K as Kind>::Record>, BadRow>;

impl<K: Kind> Reader<K> {
    /// Opens a file, CSV, spreadsheet or Parquet, and reads its header.
    ///
    /// # Errors
    /// It cannot be opened or read, is no such file, is empty, or has a header that
    /// does not fit the kind and `settings`.
    pub fn open(path: &Path, settings: &Settings) -> Result<Self, FileProblem> {
        let found = sheet_or_other::<K>(open(path)?, path, settings);
        match found.map_err(|problem| in_sheet(problem, settings, |said| Self::open(path, said)))? {
            Found::Sheet(sheet) => Self::from_sheet(sheet, path, settings),
            Found::Other(input) => {
                let (input, total) = as_text(input, path, settings)?;
                let mut reader = Self::from_reader(input, path, settings)?;
                (reader.total, reader.source) = (Some(total), Source::Path);
                Ok(reader)
            }
        }
    }

    /// Reads the text of a sheet.
    fn from_sheet(sheet: SheetText, path: &Path, settings: &Settings) -> Result<Self, FileProblem> {
        let opened = opened_sheet(&sheet.text, K::FIELDS, settings);
        let places = sheet.places.clone();
        let records = Records::of_sheet(opened, path.to_path_buf(), places);
        let mut reader = Self::of_records(records, settings)?;
        let times = sheet.places.times();
        reader
            .notes
            .extend(times.map(|(count, first)| FileNote::TimesOfDay { count, first }));
        reader.total = Some(sheet.text.len() as u64);
        reader.source = Source::Sheet(sheet);
        Ok(reader)
    }

    /// Reads a text or a spreadsheet that is in memory; `name` stands for the path in
    /// messages.
    ///
    /// # Errors
    /// It is no such file, is empty, or has a header that does not fit.
    pub fn from_text(
        text: impl Into<Arc<[u8]>>,
        name: impl AsRef<Path>,
        settings: &Settings,
    ) -> Result<Self, FileProblem> {
        let text: Arc<[u8]> = text.into();
        let input: Box<dyn Read + Send> = Box::new(Cursor::new(text.clone()));
        let name = name.as_ref();
        let again = |said: &Settings| Self::from_text(text.clone(), name, said);
        let found = sheet_or_other::<K>((input, text.len() as u64), name, settings);
        match found.map_err(|problem| in_sheet(problem, settings, again))? {
            Found::Sheet(sheet) => Self::from_sheet(sheet, name, settings),
            Found::Other((input, _)) => {
                let mut reader = Self::from_reader(input, name, settings)?;
                reader.source = Source::Text(text);
                Ok(reader)
            }
        }
    }

    /// Reads from anything, once: what later rows say of the sign before decimals is
    /// not known to earlier ones. `name` stands for the path in messages.
    ///
    /// # Errors
    /// It cannot be read, is no CSV text, is empty, or has a header that does not fit.
    pub fn from_reader(
        input: Box<dyn Read + Send>,
        name: impl AsRef<Path>,
        settings: &Settings,
    ) -> Result<Self, FileProblem> {
        let path = name.as_ref().to_path_buf();
        let opened = judge(input, &path, K::FIELDS, settings)?;
        Self::of_records(Records::new(opened, path), settings)
    }

    fn of_records(mut records: Records, settings: &Settings) -> Result<Self, FileProblem> {
        let mut notes = Vec::new();
        let columns = read_header::<K>(&mut records, settings, &mut notes)?;
        let settings = settings.clone();
        let decimals = settings.decimal.map(Decimals::Known);
        Ok(Self {
            records,
            columns,
            settings,
            total: None,
            rows: 0,
            decimals,
            day_orders: BTreeMap::new(),
            source: Source::Once,
            totals: None,
            notes,
            words_used: BTreeSet::new(),
            kind: PhantomData,
        })
    }

    /// The header as in the file, blanks around names taken away.
    pub fn header(&self) -> &[String] {
        &self.columns.header
    }

    /// The separator that was recognised: comma, semicolon or tab.
    pub fn separator(&self) -> char {
        char::from(self.records.separator)
    }

    /// Pairs (our column, the file's column) where the names differ.
    pub fn columns_used(&self) -> &[(String, String)] {
        &self.columns.used
    }

    /// Our names of the columns that the file has.
    pub fn fields_given(&self) -> impl Iterator<Item = &'static str> {
        let fields = K::FIELDS.iter().zip(&self.columns.at);
        fields.filter_map(|(field, column)| column.map(|_| field.name))
    }

    /// Whether the file is a spreadsheet.
    pub fn is_sheet(&self) -> bool {
        self.records.sheet.is_some()
    }

    /// What was left out of the file so far, and what is odd about it as a whole.
    pub fn notes(&self) -> &[FileNote] {
        &self.notes
    }

    /// Words of the settings that stood in the rows so far, by their places.
    pub fn words_used(&self) -> impl Iterator<Item = usize> {
        self.words_used.iter().copied()
    }

    /// Bytes of the file read so far.
    pub fn bytes_read(&self) -> u64 {
        self.records.bytes_read()
    }

    /// Bytes of the whole file; unknown for readers that are not files.
    pub fn bytes_total(&self) -> Option<u64> {
        self.total
    }

    /// Line on which the current row starts, from 1.
    pub fn line(&self) -> u64 {
        self.records.line
    }

    /// The cells of the current row as they stand in the file.
    pub fn cells(&self) -> impl Iterator<Item = &str> {
        self.records.cells.iter()
    }

    /// The next row: a record, or everything that is wrong with the row. Blank
    /// rows are skipped. `None` at the end of the file.
    ///
    /// # Errors
    /// They end the reading: bytes that are not UTF-8, a line longer than 1 MiB, a
    /// quote never closed, no rows at all, the system's own.
    pub fn next_row(&mut self) -> Result<Option<RowResult<K>>, FileProblem> {
        self.look_at_the_end()?;
        while !self.records.done {
            if !self.records.advance()? {
                if self.rows == 0 {
                    return Err(FileProblem::NoRows {
                        path: self.records.path.clone(),
                    });
                }
                break;
            }
            let spoiled = self.records.check_quotes()?;
            if self.records.cells.as_slice().trim().is_empty()
                || self.is_a_total()
                || self.is_a_divider()
            {
                continue;
            }
            self.rows += 1;
            if let Some(column) = spoiled {
                let expected = "nothing after the quote that closes the cell";
                let mend = "Write a quote inside a quoted cell twice.";
                let faults = vec![(column, CellProblem::new(expected, mend))];
                let mut bad = self.bad_row(faults);
                self.with_quotes_as_they_stand(&mut bad.cells);
                return Ok(Some(Err(bad)));
            }
            self.learn_decimals()?;
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

    /// Learns how amounts are written where the row cannot be read without.
    fn learn_decimals(&mut self) -> Result<(), FileProblem> {
        let currency = &self.settings.currency;
        let needed = self.decimals.is_none()
            && amounts::<K>(&self.columns, &self.records).any(|(column, cell)| {
                !self.records.is_number(column) && reads_two_ways(cell, currency)
            });
        if needed {
            let evidence = self.evidence()?;
            self.decimals = Some(evidence.reading(self.settings.book_decimal));
        }
        Ok(())
    }

    /// The file from its beginning once more, where it can be had.
    fn again(&self) -> Result<Option<Self>, FileProblem> {
        let (path, settings) = (&self.records.path, &self.settings);
        Ok(Some(match &self.source {
            Source::Once => return Ok(None),
            Source::Path => Self::open(path, settings)?,
            Source::Text(text) => Self::from_text(text.clone(), path, settings)?,
            Source::Sheet(sheet) => Self::from_sheet(sheet.clone(), path, settings)?,
        }))
    }

    /// Looks at the last rows before the first is read: whether they are totals.
    fn look_at_the_end(&mut self) -> Result<(), FileProblem> {
        if self.totals.is_some() || !self.settings.untidy {
            return Ok(());
        }
        let mut totals = self.totals_by(None)?;
        if totals.two_ways && self.decimals.is_none() {
            let decimals = self.evidence()?.reading(self.settings.book_decimal);
            totals = self.totals_by(decimals.known())?;
        }
        self.notes.extend(totals.like_one.clone());
        self.totals = Some(totals);
        Ok(())
    }

    fn totals_by(&self, decimal: Option<DecimalSign>) -> Result<Totals, FileProblem> {
        let Some(mut again) = self.again()? else {
            return Ok(Totals::default());
        };
        let judge = Judge {
            fields: K::FIELDS,
            columns: &self.columns,
            settings: &self.settings,
            decimal: self.settings.decimal.or(decimal),
        };
        Ok(judge.totals(&mut again.records))
    }

    /// Whether the current row is a total that is left out, which is noted.
    fn is_a_total(&mut self) -> bool {
        let totals = self.totals.as_ref();
        let note = totals
            .and_then(|totals| totals.left_out.get(&self.records.line))
            .cloned();
        self.notes.extend(note.clone());
        note.is_some()
    }

    /// Whether the current row only parts others, as `--- 2025 ---` does, which is noted.
    fn is_a_divider(&mut self) -> bool {
        let line = self.records.line;
        let text = divider(&self.records.cells).filter(|_| self.settings.untidy);
        let note = text.map(|text| FileNote::Divider { line, text });
        self.notes.extend(note.clone());
        note.is_some()
    }

    /// What to say of the file so that more of its rows can be read, as its values
    /// suggest; nothing where it cannot be read once more.
    ///
    /// # Errors
    /// It cannot be read once more.
    pub fn proposal(&self) -> Result<Proposal, FileProblem> {
        let mut proposal = Proposal::default();
        if let Some(mut again) = self.again()? {
            let mut values = Values::of(K::FIELDS, self.columns.at.clone(), &self.settings);
            for _ in 0..proposing::MOST_ROWS {
                if !again.records.advance().unwrap_or(false) {
                    break;
                }
                let records = &again.records;
                if divider(&records.cells).is_none() {
                    values.take(&records.cells, &|column| records.is_number(column));
                }
            }
            values.proposed(&mut proposal);
        }
        Ok(proposal)
    }

    /// What all amounts of the file say of the sign before decimals.
    fn evidence(&self) -> Result<Evidence, FileProblem> {
        let mut evidence = Evidence::default();
        let Some(mut again) = self.again()? else {
            return Ok(evidence);
        };
        // What ends this reading ends the one under way too, at the same place.
        while !evidence.is_whole() && again.records.advance().unwrap_or(false) {
            for (column, cell) in amounts::<K>(&again.columns, &again.records) {
                if again.records.is_number(column) {
                    continue;
                }
                evidence.take(cell, again.records.line, &self.settings.currency);
            }
        }
        Ok(evidence)
    }

    /// Judges the row that was read.
    fn check(&mut self) -> RowResult<K> {
        // With those of a rejects file: without them a short row would be filled up
        // by its own line and reasons.
        let width = self.columns.header.len() + self.columns.added;
        let mut beyond = self.records.cells.iter().skip(width);
        let surplus = beyond.any(|cell| !cell.trim().is_empty());
        if self.records.cells.len() < width || surplus {
            let expected = format!(
                "{width} cells, as in the header, not {}",
                self.records.cells.len()
            );
            let mend =
                "Put cells that hold the separator in quotes, and leave unknown cells empty.";
            return Err(self.bad_whole_row(CellProblem::new(expected, mend)));
        }
        let mut row = RowCells::new(
            &self.records.cells,
            &self.columns.at,
            K::FIELDS,
            &self.settings,
            self.decimals.as_ref().unwrap_or(&Decimals::Unknown),
        )
        .with_id_of(&self.columns.joined);
        if let Some(sheet) = &self.records.sheet {
            row = row.of_sheet(sheet, self.records.line);
            for (field, column) in K::FIELDS.iter().zip(&self.columns.at) {
                let odd = column.and_then(|at| Some((at, sheet.odd(self.records.line, at)?)));
                if let Some((column, holds)) = odd
                    && !(self.settings.blank_bad && MAY_BE_BLANK.contains(&field.name))
                {
                    row.refuse_value(column, no_value(holds));
                }
            }
        }
        let record = K::read(&mut row);
        self.words_used.extend(row.take_words());
        for (column, order) in row.take_orders() {
            let cell = self.records.cells.get(column).unwrap_or("");
            let first = self.day_orders.entry(column);
            let (told, first, line) =
                first.or_insert_with(|| (order, shortened(cell), self.records.line));
            if *told != order {
                row.refuse_column(column, two_orders(order, first, *line));
            }
        }
        match (record, row.into_faults_and_notes()) {
            (Some(record), (faults, mut notes)) if faults.is_empty() => {
                notes.extend(self.not_one_bike());
                Ok(Row {
                    line: self.records.line,
                    record,
                    notes,
                })
            }
            (_, (faults, _)) => Err(self.bad_row(faults)),
        }
    }

    /// Whether what is written beside a comp says that it is a lot or parts.
    fn not_one_bike(&self) -> Option<RowNote> {
        if !K::OTHERS_BIKES {
            return None;
        }
        let place = |name: &str| {
            let field = K::FIELDS.iter().position(|field| field.name == name);
            field.and_then(|field| self.columns.at.get(field).copied().flatten())
        };
        let texts = [
            place(K::FIELDS.first().map_or("", |field| field.name)),
            place("source"),
        ];
        let mut cells = self.records.cells.iter().enumerate();
        cells.find_map(|(column, cell)| {
            let is_field = self.columns.at.contains(&Some(column));
            let is_text = !is_field || texts.contains(&Some(column));
            is_text.then(|| not_one_bike(cell)).flatten()
        })
    }

    /// Of a spreadsheet, the sheet and the cell or the row.
    fn cell_name(&self, column: Option<usize>) -> Option<String> {
        let sheet = self.records.sheet.as_ref()?;
        let (name, line) = (shortened(&sheet.sheet), self.records.line);
        Some(match column {
            Some(column) => format!("sheet '{name}', cell {}", sheet.cell(line, column)),
            None => format!("sheet '{name}', row {line}"),
        })
    }

    /// What a cell probably means, with our name of its column.
    fn word(&self, column: usize, means: Option<String>) -> Option<(String, String, String)> {
        let field = self.columns.at.iter().position(|at| *at == Some(column))?;
        let theirs = self.records.cells.get(column)?.trim();
        let ours = K::FIELDS.get(field)?.name.to_string();
        Some((ours, theirs.to_lowercase(), means?))
    }

    fn bad_row(&self, mut faults: Vec<(usize, CellProblem)>) -> BadRow {
        faults.sort_by_key(|(column, _)| *column);
        let raw = String::from_utf8_lossy(self.records.raw());
        let places = walk(raw.as_bytes(), self.records.separator).cells;
        let problems = faults.into_iter().map(|(column, problem)| {
            let shown = show(&raw, places.get(column).cloned().unwrap_or(0..0));
            RowProblem {
                line: match self.records.sheet {
                    Some(_) => self.records.line,
                    None => self.records.line + shown.lines_before,
                },
                cell: self.cell_name(Some(column)),
                column: shortened(self.columns.header.get(column).map_or("", String::as_str)),
                column_number: column + 1,
                value: shortened(self.records.cells.get(column).unwrap_or("")),
                word: self.word(column, problem.means),
                expected: problem.expected,
                mend: problem.mend,
                line_text: shown.line_text,
                at: shown.at,
            }
        });
        self.with_cells(problems.collect())
    }

    /// Puts cells with text after their closing quote as they stand in the file:
    /// without their quotes they would read as if nothing were wrong (`"12"5` as 125).
    fn with_quotes_as_they_stand(&self, cells: &mut [String]) {
        let (raw, separator) = (self.records.raw(), self.records.separator);
        for (cell, place) in cells.iter_mut().zip(walk(raw, separator).cells) {
            let raw = raw.get(place).unwrap_or(&[]);
            if walk(raw, separator).quotes != Quotes::Sound {
                *cell = String::from_utf8_lossy(raw).into_owned();
            }
        }
    }

    fn bad_whole_row(&self, problem: CellProblem) -> BadRow {
        let raw = String::from_utf8_lossy(self.records.raw());
        let shown = show(&raw, 0..raw.len());
        self.with_cells(vec![RowProblem {
            line: self.records.line,
            cell: self.cell_name(None),
            column: String::new(),
            column_number: 0,
            value: shortened(raw.trim_end()),
            word: None,
            expected: problem.expected,
            mend: problem.mend,
            line_text: shown.line_text,
            at: shown.at,
        }])
    }

    fn with_cells(&self, problems: Vec<RowProblem>) -> BadRow {
        let mut cells: Vec<String> = self.records.cells.iter().map(str::to_string).collect();
        // A rejects file gets its own two columns again, so the old ones go.
        let (width, added) = (self.columns.header.len(), self.columns.added);
        if added > 0 && (cells.len() == width + added || ends_as_rejects_do(&cells)) {
            cells.truncate(cells.len() - added);
        } else if added > 0 && cells.len() == width {
            // Refused for its length: with a line and reasons behind it, it would
            // have the right one. An empty cell more keeps it from fitting.
            cells.push(String::new());
        }
        BadRow {
            line: self.records.line,
            problems,
            cells,
        }
    }
}

/// The cells of the current row that are amounts of money, with their columns.
fn amounts<'r, K: Kind>(
    columns: &'r Columns,
    records: &'r Records,
) -> impl Iterator<Item = (usize, &'r str)> {
    let fields = K::FIELDS.iter().zip(&columns.at);
    let money = fields.filter(|(field, _)| field.is_money);
    money.filter_map(|(_, column)| Some(((*column)?, records.cells.get((*column)?)?)))
}

/// Whether a row that is too short or too long for its header ends with a line
/// and the reasons, as one of a rejects file does.
fn ends_as_rejects_do(cells: &[String]) -> bool {
    let [.., line, reasons] = cells else {
        return false;
    };
    line.parse::<u64>().is_ok() && reasons.starts_with("line ")
}
