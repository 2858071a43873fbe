//! How dates and amounts are written: what the book was told once, for files and
//! flags alike.

use super::failure::Failure;
use crate::book::Book;
use crate::intake::{DateOrder, DecimalSign, Settings};
use crate::trade::Day;
use clap::ValueEnum;

/// Names of the book's settings.
const DATES: &str = "dates";
const DECIMAL: &str = "decimal";

/// Order of day and month.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Dates {
    /// Day first: 24/02/2024
    Dmy,
    /// Month first: 02/24/2024
    Mdy,
}

impl Dates {
    /// Its word, as typed and as kept.
    pub(super) fn word(self) -> &'static str {
        match self {
            Dates::Dmy => "dmy",
            Dates::Mdy => "mdy",
        }
    }

    /// The order of a word.
    pub(super) fn from_word(word: &str) -> Option<Self> {
        [Dates::Dmy, Dates::Mdy]
            .into_iter()
            .find(|order| order.word() == word)
    }

    /// As the reader of files takes it.
    pub(super) fn order(self) -> DateOrder {
        match self {
            Dates::Dmy => DateOrder::DayFirst,
            Dates::Mdy => DateOrder::MonthFirst,
        }
    }
}

/// The sign before decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Decimal {
    /// 1,234.50
    Point,
    /// 1.234,50
    Comma,
}

impl Decimal {
    /// As the reader of files takes it.
    pub(super) fn sign(self) -> DecimalSign {
        match self {
            Decimal::Point => DecimalSign::Point,
            Decimal::Comma => DecimalSign::Comma,
        }
    }
}

/// How files and flags are read where nothing more is said: in the book's currency,
/// on the day the answer is for, written as the book was told.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn settings(book: &Book, as_of: Day) -> Result<Settings, Failure> {
    let mut settings = Settings::new(book.settings().currency, as_of);
    let order = book.setting(DATES)?;
    settings.dates = order
        .as_deref()
        .and_then(Dates::from_word)
        .map(Dates::order);
    let sign = book.setting(DECIMAL)?;
    settings.book_decimal = sign.as_deref().and_then(DecimalSign::from_word);
    Ok(settings)
}

/// Keeps what was said; tells what is new in it.
///
/// # Errors
/// When the book cannot be written.
pub(super) fn keep(
    book: &Book,
    dates: Option<Dates>,
    decimal: Option<Decimal>,
) -> Result<Vec<String>, Failure> {
    let mut told = Vec::new();
    let said = [
        (DATES, dates.map(Dates::word)),
        (DECIMAL, decimal.map(|decimal| decimal.sign().word())),
    ];
    for (name, word) in said {
        let Some(word) = word else { continue };
        if book.setting(name)?.as_deref() != Some(word) {
            book.keep_setting(name, word)?;
            told.push(format!("--{name} {word}"));
        }
    }
    Ok(told)
}
