//! The values of a Parquet column as the cells of a CSV file.

use crate::intake::cells::guard::with_guard;
use crate::trade::Day;
use jiff::fmt::temporal::DateTimeParser;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan as _};
use polars::prelude::{AnyValue, ArrowDataType, DataType, Series, TimeUnit};
use polars::series::SeriesIter;
use std::fmt::Write as _;

/// What a column holds where that cannot be a cell, in words.
pub(in crate::intake) fn what_is_no_cell(column: &ArrowDataType) -> Option<&'static str> {
    use ArrowDataType as A;
    match column {
        A::Null
        | A::Boolean
        | A::Int8
        | A::Int16
        | A::Int32
        | A::Int64
        | A::UInt8
        | A::UInt16
        | A::UInt32
        | A::UInt64
        | A::Float32
        | A::Float64
        | A::Decimal(..)
        | A::Decimal32(..)
        | A::Decimal64(..)
        | A::Decimal256(..)
        | A::Date32
        | A::Date64
        | A::Timestamp(..)
        | A::Utf8
        | A::LargeUtf8
        | A::Utf8View => None,
        A::Dictionary(_, values, _) => match **values {
            A::Utf8 | A::LargeUtf8 | A::Utf8View => None,
            _ => Some("a dictionary of values that are no text"),
        },
        A::Time32(_) | A::Time64(_) | A::Duration(_) | A::Interval(_) => {
            Some("times of day or spans of time")
        }
        A::Binary | A::FixedSizeBinary(_) | A::LargeBinary | A::BinaryView => {
            Some("bytes that are not marked as text")
        }
        A::List(_) | A::FixedSizeList(..) | A::LargeList(_) => Some("lists"),
        A::Struct(_) | A::Map(..) | A::Union(_) => Some("values of several parts"),
        _ => Some("values of an unusual kind"),
    }
}

/// A column whose cells are written one after the other.
pub(in crate::intake) struct Cells<'s> {
    /// `None` for a column without any value.
    values: Option<SeriesIter<'s>>,
    /// Written after numbers.
    unit: &'s str,
    /// Where the days of moments are told.
    zone: TimeZone,
}

impl<'s> Cells<'s> {
    /// The cells of a column in one chunk. `unit` is what its numbers count.
    ///
    /// # Errors
    /// Its moments are of a time zone that nobody knows.
    pub(in crate::intake) fn of(
        column: Option<&'s Series>,
        unit: Option<&'s str>,
    ) -> Result<Self, String> {
        let known = column.filter(|column| *column.dtype() != DataType::Null);
        let zone = match known.map(|column| column.dtype()) {
            Some(DataType::Datetime(_, Some(zone))) => DateTimeParser::new()
                .parse_time_zone(zone.as_str())
                .map_err(|_| format!("the time zone '{zone}' is not known here"))?,
            _ => TimeZone::UTC,
        };
        Ok(Self {
            values: known.map(|column| column.iter()),
            unit: unit.unwrap_or(""),
            zone,
        })
    }

    /// Appends the text of the next value; nothing where it is unknown.
    pub(in crate::intake) fn next_into(&mut self, cell: &mut String) {
        let value = self.values.as_mut().and_then(Iterator::next);
        let number = match value.unwrap_or(AnyValue::Null) {
            AnyValue::Null => return,
            AnyValue::Boolean(yes) => return cell.push_str(if yes { "yes" } else { "no" }),
            AnyValue::Date(days) => return push_day(cell, days),
            AnyValue::Datetime(count, unit, _) => {
                return push_moment(cell, count, unit, &self.zone);
            }
            AnyValue::Decimal(digits, _, scale) => decimal(digits, scale),
            AnyValue::Float32(number) => reads_one_way(number.to_string()),
            AnyValue::Float64(number) => reads_one_way(number.to_string()),
            other => match other.get_str() {
                Some(text) => return push_text(cell, text),
                None => other.to_string(),
            },
        };
        cell.push_str(&number);
        cell.push_str(self.unit);
    }
}

/// A text keeps its own apostrophes: reading a cell takes one away that stands
/// before what a spreadsheet would run, so that it is written twice.
fn push_text(cell: &mut String, text: &str) {
    if text.starts_with('\'') {
        cell.push_str(&with_guard(text));
    } else {
        cell.push_str(text);
    }
}

fn push_day(cell: &mut String, days: i32) {
    let epoch = Day::constant(1970, 1, 1);
    match epoch.checked_add(i64::from(days).days()) {
        Ok(day) => write!(cell, "{day}"),
        Err(_) => write!(cell, "{days} days after 1970"), // refused with these words
    }
    .unwrap_or_default(); // a String takes everything
}

/// The day and time of a moment in its own zone.
fn push_moment(cell: &mut String, count: i64, unit: TimeUnit, zone: &TimeZone) {
    let moment = match unit {
        TimeUnit::Nanoseconds => Timestamp::from_nanosecond(i128::from(count)),
        TimeUnit::Microseconds => Timestamp::from_microsecond(count),
        TimeUnit::Milliseconds => Timestamp::from_millisecond(count),
    };
    match moment {
        Ok(moment) => write!(cell, "{}", zone.to_datetime(moment)),
        Err(_) => write!(cell, "{count} of its unit after 1970"), // likewise
    }
    .unwrap_or_default();
}

/// `digits / 10^scale` without zeros at the end.
fn decimal(digits: i128, scale: usize) -> String {
    let text = format!("{:0width$}", digits.unsigned_abs(), width = scale + 1);
    let (whole, part) = text.split_at(text.len() - scale);
    let sign = if digits < 0 { "-" } else { "" };
    match part.trim_end_matches('0') {
        "" => format!("{sign}{whole}"),
        part => reads_one_way(format!("{sign}{whole}.{part}")),
    }
}

/// A number whose full stop is its decimal point for certain. In a CSV file
/// three digits after a single one would be thousands, so a zero is added.
fn reads_one_way(mut number: String) -> String {
    if number
        .split_once('.')
        .is_some_and(|(_, part)| part.len() == 3)
    {
        number.push('0');
    }
    number
}

#[cfg(test)]
mod tests {
    use super::{decimal, reads_one_way};

    #[test]
    fn decimals_are_exact_and_read_one_way() {
        for (digits, scale, text) in [
            (18_000, 2, "180"),
            (17_999, 2, "179.99"),
            (-5, 2, "-0.05"),
            (1_234, 3, "1.2340"),
            (1_230, 3, "1.23"),
            (7, 0, "7"),
            (0, 5, "0"),
        ] {
            assert_eq!(decimal(digits, scale), text);
        }
        assert_eq!(reads_one_way(1.234_f64.to_string()), "1.2340");
        assert_eq!(reads_one_way(180.0_f64.to_string()), "180");
        assert_eq!(reads_one_way(1e16_f64.to_string()), "10000000000000000");
    }
}
