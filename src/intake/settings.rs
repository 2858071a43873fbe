//! What a file cannot say about itself: the book's currency, the day, the maps.

use super::cells::decimal_sign::DecimalSign;
use crate::trade::{Currency, Day};

/// Order of day and month in a date that is not ISO 8601.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// 24/02/2024: `--dates dmy`.
    DayFirst,
    /// 02/24/2024: `--dates mdy`.
    MonthFirst,
}

/// How the cells of a file are to be read.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The book's currency; a sign or code of another one is an error.
    pub currency: Currency,
    /// The day the answer is for (`--as-of`); later dates are in the future.
    pub today: Day,
    /// Order of day and month, when the user said so.
    pub dates: Option<DateOrder>,
    /// The sign before decimals, when the user said it of this file.
    pub decimal: Option<DecimalSign>,
    /// The sign before decimals that the book was told, for files that say nothing.
    pub book_decimal: Option<DecimalSign>,
    /// Pairs (our column, the file's column) from `--column ours=theirs`.
    pub columns: Vec<(String, String)>,
    /// Words of the user's: our column, their word, what it means.
    pub words: Vec<(String, String, String)>,
    /// The book's only beneficiary, where it names one alone.
    pub only_beneficiary: Option<String>,
    /// Whether unreadable cells of optional features are left unknown.
    pub blank_bad: bool,
    /// The sheet of a spreadsheet (`--sheet NAME`).
    pub sheet: Option<String>,
    /// Whether lines above the header and rows that add up others are left out and told.
    pub untidy: bool,
    /// What else was said on the command line, ready to be typed again.
    pub also: Vec<String>,
    /// Columns of the file that are left out (`--ignore COLUMN`).
    pub ignore: Vec<String>,
    /// Whether texts may carry the apostrophe that keeps a spreadsheet from
    /// running them. They do in files, not in what is typed.
    pub guarded: bool,
}

impl Settings {
    /// Settings without any map: our own column names, ISO dates.
    pub fn new(currency: Currency, today: Day) -> Self {
        Self {
            currency,
            today,
            dates: None,
            decimal: None,
            book_decimal: None,
            columns: Vec::new(),
            words: Vec::new(),
            only_beneficiary: None,
            blank_bad: false,
            sheet: None,
            untidy: true,
            also: Vec::new(),
            ignore: Vec::new(),
            guarded: true,
        }
    }
}
