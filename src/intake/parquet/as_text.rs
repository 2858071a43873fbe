//! A Parquet file as the text of a CSV file with the same table, so that it goes
//! through the same reader and every check holds. Unlike a CSV file it is held in
//! memory as a whole.
//!
//! Messages count rows as lines of that CSV file: the header is line 1.

use super::caught::caught;
use super::cells::{Cells, what_is_no_cell};
use super::check::{DAMAGED, TOO_LARGE, check};
use crate::intake::file::columns::is_ignored;
use crate::intake::problems::file::FileProblem;
use crate::intake::settings::Settings;
use polars::prelude::{Column, PolarsError};
use polars_io::mmap::MmapBytesReader;
use polars_io::prelude::{ParallelStrategy, ParquetReader, SerReader as _};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{Cursor, Read, Seek as _};
use std::path::Path;

/// First bytes of every Parquet file.
const MAGIC: [u8; 4] = *b"PAR1";

/// Most bytes of cells that are taken from one file (1 GiB): a small file can
/// say that one value stands in a great many rows.
const MOST_TEXT: usize = 1 << 30;

const TOO_LARGE_A_FILE: &str = "it is larger than 1 GiB";

/// What an exported file says of itself, as JSON in its key-value metadata.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct ExportMark {
    /// Word of the table.
    pub table: String,
    /// Currency of all its amounts (ISO 4217).
    pub currency: String,
    /// Decimals of that currency, which is the scale of its amounts.
    pub decimals: u8,
    /// Units of the columns that have one.
    pub units: BTreeMap<String, String>,
}

impl ExportMark {
    /// Its key in the metadata.
    pub const KEY: &'static str = "wheelworth";

    /// The mark of a file; `None` for what is no Parquet file or has none.
    pub fn of(file: &mut File) -> Option<Self> {
        let mut start = [0; MAGIC.len()];
        file.read_exact(&mut start).ok()?;
        file.rewind().ok()?;
        let ours = start == MAGIC;
        ours.then(|| caught(|| Self::read(&mut ParquetReader::new(file))))??
    }

    fn read<R: MmapBytesReader>(reader: &mut ParquetReader<R>) -> Option<Self> {
        let metadata = reader.get_metadata().ok()?;
        let mut pairs = metadata.key_value_metadata.iter().flatten();
        let pair = pairs.find(|pair| pair.key == Self::KEY)?;
        serde_json::from_str(pair.value.as_deref()?).ok()
    }
}

/// An input and its length in bytes.
type Input = (Box<dyn Read + Send>, u64);

/// The input itself, or the text of the same table where it is a Parquet file.
pub(in crate::intake) fn as_text(
    (mut input, total): Input,
    path: &Path,
    settings: &Settings,
) -> Result<Input, FileProblem> {
    let failed = |source| FileProblem::ReadFailed {
        path: path.into(),
        line: 1,
        source,
    };
    let mut bytes = Vec::new();
    let start = &mut input.by_ref().take(MAGIC.len() as u64);
    start.read_to_end(&mut bytes).map_err(failed)?;
    if bytes != MAGIC {
        return Ok((Box::new(Cursor::new(bytes).chain(input)), total));
    }
    if total > MOST_TEXT as u64 {
        return Err(Problem::Unreadable(TOO_LARGE_A_FILE.into()).of(path));
    }
    // The file may grow meanwhile.
    let rest = &mut input.take(MOST_TEXT as u64);
    rest.read_to_end(&mut bytes).map_err(failed)?;
    let text =
        caught(|| text_of(&bytes, settings)).unwrap_or(Err(Problem::Unreadable(DAMAGED.into())));
    let text = text.map_err(|problem| problem.of(path))?;
    let total = text.len() as u64;
    Ok((Box::new(Cursor::new(text)), total))
}

/// Why a file gives no text.
enum Problem {
    Unreadable(String),
    Column(String, &'static str),
    Currency(String, String),
}

impl From<PolarsError> for Problem {
    fn from(error: PolarsError) -> Self {
        Self::Unreadable(error.to_string())
    }
}

impl Problem {
    fn of(self, path: &Path) -> FileProblem {
        let path = path.into();
        match self {
            Self::Unreadable(problem) => FileProblem::Parquet { path, problem },
            Self::Column(column, holds) => FileProblem::ParquetColumn {
                path,
                column,
                holds,
            },
            Self::Currency(theirs, ours) => FileProblem::OtherCurrency { path, theirs, ours },
        }
    }
}

fn text_of(bytes: &[u8], settings: &Settings) -> Result<Vec<u8>, Problem> {
    // In this thread alone: panics of others could not be caught.
    let mut reader = ParquetReader::new(Cursor::new(bytes)).read_parallel(ParallelStrategy::None);
    let mark = ExportMark::read(&mut reader);
    let ours = settings.currency.code();
    if let Some(mark) = mark.as_ref().filter(|mark| mark.currency != ours) {
        return Err(Problem::Currency(mark.currency.clone(), ours.into()));
    }
    check(bytes, reader.get_metadata()?, MOST_TEXT).map_err(Problem::Unreadable)?;
    let schema = reader.schema()?;
    let mut wanted = Vec::new();
    for (place, (name, field)) in schema.iter().enumerate() {
        match what_is_no_cell(field.dtype()) {
            _ if is_ignored(name, settings) => {}
            None => wanted.push(place),
            Some(holds) => return Err(Problem::Column(name.to_string(), holds)),
        }
    }
    let names: Vec<String> = schema
        .iter_names()
        .map(polars::prelude::PlSmallStr::to_string)
        .collect();
    let reader = reader.with_projection(Some(wanted)).set_rechunk(true);
    let frame = reader.finish()?;
    let mut columns = Vec::new();
    for name in &names {
        let column = frame.column(name).ok().map(Column::as_materialized_series);
        let unit = mark.as_ref().and_then(|mark| mark.units.get(name));
        let cells = Cells::of(column, unit.map(String::as_str)).map_err(Problem::Unreadable)?;
        columns.push(cells);
    }
    written(&names, &mut columns, frame.height())
        .ok_or_else(|| Problem::Unreadable(TOO_LARGE.into()))
}

/// The CSV text of columns with so many rows; `None` if it grows too long.
fn written(names: &[String], columns: &mut [Cells<'_>], rows: usize) -> Option<Vec<u8>> {
    // Quoted, so that a separator in a name is told from those between names.
    let mut header = csv::WriterBuilder::new()
        .quote_style(csv::QuoteStyle::Always)
        .from_writer(Vec::new());
    header.write_record(names).ok()?;
    let mut text = csv::Writer::from_writer(header.into_inner().ok()?);
    let mut cell = String::new();
    for _ in 0..rows {
        for column in columns.iter_mut() {
            cell.clear();
            column.next_into(&mut cell);
            text.write_field(&cell).ok()?;
        }
        text.write_record(None::<&[u8]>).ok()?;
        if text.get_ref().len() > MOST_TEXT {
            return None;
        }
    }
    text.into_inner().ok()
}
