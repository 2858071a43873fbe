//! What stands in the measure column.

use super::item::{Fact, Holds, Item};
use super::limit::Unit;
use super::tyre::TyreSize;
use crate::trade::{SizeClass, Style};
use std::fmt;

/// A measure or a fact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Tenths of a millimetre.
    Length(i64),
    /// A size class in the place of the seat tube's length.
    Size(SizeClass),
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

impl Measure {
    /// The measure of `item` that is written as this text: what `Display` writes,
    /// the other way round. `None` for any other text.
    ///
    /// ```
    /// use wheelworth::trade::inspection::{Measure, item};
    /// let pads = item("front pads").unwrap();
    /// assert_eq!(Measure::read(pads, "1.5 mm"), Some(Measure::Length(15)));
    /// assert_eq!(Measure::read(pads, "1.5"), None);
    /// ```
    pub fn read(item: &'static Item, text: &str) -> Option<Self> {
        let length = || text.strip_suffix(" mm").and_then(|number| count(number, 1));
        match item.holds {
            Holds::Check(check) => match check.limit?.unit {
                Unit::Length => length().map(Measure::Length),
                Unit::Percent => count(text.strip_suffix(" %")?, 2).map(Measure::Percent),
            },
            Holds::Fact(Fact::Name) => Some(Measure::Name(text.to_string())),
            Holds::Fact(Fact::Style) => Style::from_word(text).map(Measure::Style),
            Holds::Fact(Fact::Words(words)) => {
                let mut known = words.iter().map(|known| known.word);
                known.find(|word| *word == text).map(Measure::Word)
            }
            Holds::Fact(Fact::FrameLength) => match text.strip_prefix("size ") {
                Some(class) => SizeClass::from_word(class).map(Measure::Size),
                None => length().map(Measure::Length),
            },
            Holds::Fact(Fact::Tyre) => {
                let (width, bead) = text.split_once('-')?;
                let size = TyreSize::new(width.parse().ok()?, bead.parse().ok()?);
                size.map(Measure::Tyre)
            }
        }
    }
}

/// `18.5` to 185 tenths: the other way of [`decimal`].
fn count(number: &str, decimals: usize) -> Option<i64> {
    let (whole, part) = number.split_once('.').unwrap_or((number, ""));
    let fits = part.len() <= decimals && !part.starts_with(['+', '-']);
    format!("{whole}{part:0<decimals$}")
        .parse()
        .ok()
        .filter(|_| fits)
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Measure::Length(tenths) => write!(f, "{} mm", decimal(*tenths, 10)),
            Measure::Size(class) => write!(f, "size {class}"),
            Measure::Percent(hundredths) => write!(f, "{} %", decimal(*hundredths, 100)),
            Measure::Tyre(size) => write!(f, "{size}"),
            Measure::Style(style) => write!(f, "{style}"),
            Measure::Word(word) => f.write_str(word),
            Measure::Name(name) => f.write_str(name),
        }
    }
}
