//! What stands in the measure column.

use super::tyre::TyreSize;
use crate::trade::Style;
use std::fmt;

/// A measure or a fact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Tenths of a millimetre.
    Length(i64),
    /// Hundredths of a percent.
    Percent(i64),
    /// A tyre size.
    Tyre(TyreSize),
    /// A style.
    Style(Style),
    /// A word of the item's list.
    Word(&'static str),
    /// The user's own name for the bike.
    Name(String),
}

/// `18.5` from 185 tenths, `0.75` from 75 hundredths: no zeros at the end.
pub fn decimal(value: i64, scale: u64) -> String {
    let (whole, part) = (value.unsigned_abs() / scale, value.unsigned_abs() % scale);
    let sign = if value < 0 { "-" } else { "" };
    let width = scale.ilog10() as usize;
    let text = format!("{sign}{whole}.{part:0width$}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Measure::Length(tenths) => write!(f, "{} mm", decimal(*tenths, 10)),
            Measure::Percent(hundredths) => write!(f, "{} %", decimal(*hundredths, 100)),
            Measure::Tyre(size) => write!(f, "{size}"),
            Measure::Style(style) => write!(f, "{style}"),
            Measure::Word(word) => f.write_str(word),
            Measure::Name(name) => f.write_str(name),
        }
    }
}
