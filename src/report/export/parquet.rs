//! A table of the book as a Parquet file, which can be imported again.
//!
//! Its columns are those of the CSV file. Texts and words are strings; the model
//! year and the grades 32-bit integers (a string column of years as the CSV file
//! has them where a row knows a range of years, and of seat tubes where a row knows a size
//! class alone); days are dates; money is a decimal with
//! the currency's decimals, hours one with two; a seat tube is a decimal number
//! of millimetres with one, so that its tenths are kept, and a program that
//! writes the bare number gives what the import reads as millimetres too;
//! `from_box` is a boolean. Unknown is null. The key-value metadata says under
//! [`ExportMark::KEY`] which table it is, the currency and the units.

use super::columns::{Holds, Table};
use crate::intake::ExportMark;
use crate::trade::calendar::days_between;
use crate::trade::{Currency, Day};
use polars::prelude::{
    BooleanChunked, Column, DataFrame, Int32Chunked, Int128Chunked, IntoColumn as _,
    NewChunkedArray as _, PlSmallStr, PolarsError, StringChunkedBuilder,
};
use polars_io::prelude::{KeyValueMetadata, ParquetMetadataContext, ParquetWriter};

/// Decimal digits of every decimal column: 64 bits hold them.
const PRECISION: usize = 18;

/// Decimals of millimetres and of hours.
const TUBE_DECIMALS: usize = 1;
const HOURS_DECIMALS: usize = 2;

/// Decimals of a number of days.
const DAYS_DECIMALS: usize = 1;

/// A Parquet file under way.
pub struct ParquetTable {
    table: Table,
    currency: Currency,
    columns: Vec<Values>,
}

/// The values of a column so far.
enum Values {
    Text(StringChunkedBuilder),
    /// Whole numbers of the smallest unit that is kept; days since 1970.
    Number(Vec<Option<i64>>),
    /// First and last year.
    Years(Vec<Option<(i32, i32)>>),
    /// Lengths with their unit, and size classes.
    Tubes(Vec<Option<String>>),
    Yes(Vec<bool>),
}

impl ParquetTable {
    /// A file without rows.
    pub fn new(table: Table, currency: Currency) -> Self {
        let columns = table.columns().iter().map(|(name, holds)| match holds {
            Holds::Text | Holds::Word => {
                Values::Text(StringChunkedBuilder::new(PlSmallStr::from_static(name), 0))
            }
            Holds::YesNo => Values::Yes(Vec::new()),
            Holds::Years => Values::Years(Vec::new()),
            Holds::Tube => Values::Tubes(Vec::new()),
            _ => Values::Number(Vec::new()),
        });
        Self {
            table,
            currency,
            columns: columns.collect(),
        }
    }

    /// Adds a row: the cells of a record as [`super::record_cells`] writes them.
    pub fn push(&mut self, cells: &[String]) {
        let holds = self.table.columns().iter().map(|(_, holds)| *holds);
        for ((values, holds), cell) in self.columns.iter_mut().zip(holds).zip(cells) {
            let known = Some(cell.as_str()).filter(|cell| !cell.is_empty());
            match values {
                Values::Text(texts) => texts.append_option(known),
                Values::Yes(yes) => yes.push(known.is_some()),
                Values::Years(years) => years.push(known.and_then(first_and_last)),
                Values::Tubes(tubes) => tubes.push(known.map(String::from)),
                Values::Number(numbers) => {
                    numbers.push(known.and_then(|cell| number(cell, holds, &self.currency)));
                }
            }
        }
    }

    /// The bytes of the file.
    ///
    /// # Errors
    /// What the writer says.
    pub fn finish(self) -> Result<Vec<u8>, String> {
        let mark = serde_json::to_string(&self.mark()).map_err(|error| error.to_string())?;
        let pairs = vec![(ExportMark::KEY.to_string(), mark)];
        let columns = self.table.columns().iter().zip(self.columns);
        let columns = columns.map(|((name, holds), values)| {
            column(
                PlSmallStr::from_static(name),
                *holds,
                values,
                &self.currency,
            )
        });
        let written = DataFrame::new_infer_height(columns.collect());
        let written = written.and_then(|frame| file_of(&frame, pairs));
        written.map_err(|error| error.to_string())
    }

    fn mark(&self) -> ExportMark {
        let units = self.table.columns().iter().filter_map(|(name, holds)| {
            let unit = match holds {
                Holds::Tube => "mm",
                Holds::Hours => "h",
                _ => return None,
            };
            Some(((*name).to_string(), unit.to_string()))
        });
        ExportMark {
            table: self.table.word().into(),
            currency: self.currency.code().into(),
            decimals: self.currency.decimals(),
            units: units.collect(),
        }
    }
}

/// The file of a frame, with nothing in its metadata but these pairs. (The writer
/// would add a schema of its own, by which some readers take texts for a kind of
/// string that not all know.)
fn file_of(frame: &DataFrame, pairs: Vec<(String, String)>) -> Result<Vec<u8>, PolarsError> {
    let no_schema = ParquetMetadataContext { arrow_schema: "" };
    let pairs = KeyValueMetadata::from_static(pairs).collect(no_schema)?;
    let mut bytes = Vec::new();
    let mut writer = ParquetWriter::new(&mut bytes).batched(frame.schema())?;
    writer.write_batch(frame)?;
    {
        let footer = writer.get_writer().lock();
        let failed = |_| PolarsError::ComputeError("the writer failed".into());
        footer.map_err(failed)?.end(Some(pairs))?;
    }
    drop(writer);
    Ok(bytes)
}

fn column(name: PlSmallStr, holds: Holds, values: Values, currency: &Currency) -> Column {
    let numbers = match values {
        Values::Text(texts) => return texts.finish().into_column(),
        Values::Yes(yes) => return BooleanChunked::from_slice(name, &yes).into_column(),
        Values::Years(years) => return years_column(name, &years),
        Values::Tubes(tubes) => match lengths(&tubes, currency) {
            Some(lengths) => lengths,
            None => return texts_column(name, tubes.iter().map(Option::as_deref)),
        },
        Values::Number(numbers) => numbers,
    };
    let decimals = match holds {
        Holds::Money => usize::from(currency.decimals()),
        Holds::Hours => HOURS_DECIMALS,
        Holds::Days => DAYS_DECIMALS,
        Holds::Tube => TUBE_DECIMALS,
        _ => {
            // Years, grades and days since 1970 are small.
            let numbers = numbers.into_iter().map(|n| n.map(|n| n as i32));
            let whole = Int32Chunked::from_iter_options(name, numbers);
            return match holds {
                Holds::Day => whole.into_date().into_column(),
                _ => whole.into_column(),
            };
        }
    };
    let numbers = numbers.into_iter().map(|n| n.map(i128::from));
    let whole = Int128Chunked::from_iter_options(name, numbers);
    whole
        .into_decimal_unchecked(PRECISION, decimals)
        .into_column()
}

/// Whole numbers, or texts where one of them is a range.
fn years_column(name: PlSmallStr, years: &[Option<(i32, i32)>]) -> Column {
    if years.iter().flatten().all(|(first, last)| first == last) {
        let numbers = years.iter().map(|years| years.map(|(year, _)| year));
        return Int32Chunked::from_iter_options(name, numbers).into_column();
    }
    let mut texts = StringChunkedBuilder::new(name, years.len());
    for years in years {
        texts.append_option(years.map(|(first, last)| {
            if first == last {
                first.to_string()
            } else {
                format!("{first}..{last}")
            }
        }));
    }
    texts.finish().into_column()
}

/// The years in a cell: `2013`, `2010..2013`.
fn first_and_last(cell: &str) -> Option<(i32, i32)> {
    let (first, last) = cell.split_once("..").unwrap_or((cell, cell));
    Some((first.parse().ok()?, last.parse().ok()?))
}

/// The lengths of seat tubes; `None` where one of them is a class.
fn lengths(tubes: &[Option<String>], currency: &Currency) -> Option<Vec<Option<i64>>> {
    let length = |tube: &Option<String>| match tube {
        Some(tube) => number(tube, Holds::Tube, currency).map(Some),
        None => Some(None),
    };
    tubes.iter().map(length).collect()
}

fn texts_column<'t>(
    name: PlSmallStr,
    texts: impl ExactSizeIterator<Item = Option<&'t str>>,
) -> Column {
    let mut column = StringChunkedBuilder::new(name, texts.len());
    texts.for_each(|text| column.append_option(text));
    column.finish().into_column()
}

/// The number in a cell, in the smallest unit that its column keeps.
fn number(cell: &str, holds: Holds, currency: &Currency) -> Option<i64> {
    match holds {
        Holds::Day => {
            let day: Day = cell.parse().ok()?;
            Some(days_between(Day::constant(1970, 1, 1), day))
        }
        Holds::Money => whole(cell, usize::from(currency.decimals())),
        Holds::Hours => whole(cell, HOURS_DECIMALS),
        Holds::Days => whole(cell, DAYS_DECIMALS),
        // Hundredths of a centimetre are tenths of a millimetre.
        Holds::Tube => whole(cell.strip_suffix("cm")?, TUBE_DECIMALS + 1),
        _ => whole(cell, 0),
    }
}

/// A decimal number times `10^decimals`, as long as that is whole.
fn whole(text: &str, decimals: usize) -> Option<i64> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let part = part.trim_end_matches('0');
    let zeros = decimals.checked_sub(part.len())?;
    format!("{whole}{part}{}", "0".repeat(zeros)).parse().ok()
}
