//! What every command works with, and how commands end.

use crate::trade::Day;
use clap::ValueEnum;
use std::io::Write;
use std::path::PathBuf;

/// How results are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

/// The book that commands find where none is named: as `WHEELWORTH_BOOK` says, or the
/// default.
pub fn usual_book() -> PathBuf {
    std::env::var_os("WHEELWORTH_BOOK").map_or(DEFAULT_BOOK.into(), PathBuf::from)
}

/// The book's file where none is named.
pub(super) const DEFAULT_BOOK: &str = "wheelworth.sqlite";

/// Done.
pub const DONE: u8 = 0;
/// The input or the book says no.
pub const REFUSED: u8 = 1;
/// Wrong usage.
pub const USAGE: u8 = 2;
/// Done, but rows were set aside.
pub const SET_ASIDE: u8 = 3;

/// What a command works with.
pub(super) struct Context<'a> {
    /// Where the book is.
    pub book: std::path::PathBuf,
    /// The day the answer is for.
    pub as_of: Day,
    /// Whether `--as-of` said so.
    pub as_of_said: bool,
    /// Text or JSON.
    pub format: Format,
    /// Whether a progress bar may be shown.
    pub progress: bool,
    /// Columns of a line.
    pub columns: usize,
    /// Results.
    pub out: &'a mut dyn Write,
    /// Everything else.
    pub err: &'a mut dyn Write,
}

/// What the program cannot know by itself.
#[derive(Clone, Debug)]
pub struct Surroundings {
    /// Today, in the user's time zone.
    pub today: Day,
    /// Whether a progress bar may be shown on standard error.
    pub progress: bool,
    /// Columns of the terminal: lines are broken there.
    pub columns: usize,
    /// The book that commands find where none is named.
    pub usual_book: PathBuf,
}
