//! The command line. The only module that prints or reads the environment.

mod accounts;
mod accuracy;
mod arguments;
mod book_records;
mod chart_file;
mod check;
mod demo;
mod export;
mod failure;
mod freed_room;
mod how_written;
mod import;
mod inspect;
mod inspections;
mod learn;
mod market;
mod offer;
mod pictures;
mod price;
mod priors;
mod problems;
mod progress;
mod quarter;
mod record;
mod records_once;
mod shell;
mod start;
mod stock;
mod wishes;
mod written_file;

use crate::trade::Day;
use arguments::{Arguments, Command};
use clap::Parser as _;
use failure::Failure;
use std::ffi::OsString;
use std::io::Write;

/// What the program cannot know by itself.
#[derive(Clone, Copy, Debug)]
pub struct Surroundings {
    /// Today, in the user's time zone.
    pub today: Day,
    /// Whether a progress bar may be shown on standard error.
    pub progress: bool,
}

/// Done.
pub const DONE: u8 = 0;
/// The input or the book says no.
pub const REFUSED: u8 = 1;
/// Wrong usage.
pub const USAGE: u8 = 2;
/// Done, but rows were set aside.
pub const SET_ASIDE: u8 = 3;

/// What a command works with.
pub struct Context<'a> {
    /// Where the book is.
    pub book: std::path::PathBuf,
    /// The day the answer is for.
    pub as_of: Day,
    /// Text or JSON.
    pub format: arguments::Format,
    /// Whether a progress bar may be shown.
    pub progress: bool,
    /// Results.
    pub out: &'a mut dyn Write,
    /// Everything else.
    pub err: &'a mut dyn Write,
}

/// Runs one command line (the first argument is the program's name) and
/// returns its exit status. Results go to `out`, everything else to `err`.
pub fn run(
    arguments: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
    surroundings: &Surroundings,
) -> u8 {
    freed_room::keep();
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(message) => {
            let help = !message.use_stderr();
            let _ = if help {
                write!(out, "{message}")
            } else {
                write!(err, "{message}")
            };
            return if help { DONE } else { USAGE };
        }
    };
    match carry_out(arguments, out, err, surroundings) {
        Ok(code) => code,
        Err(Failure::OutputClosed) => DONE,
        Err(failure) => {
            let _ = out.flush();
            let _ = write!(err, "{failure}");
            failure.code()
        }
    }
}

fn carry_out(
    arguments: Arguments,
    out: &mut dyn Write,
    err: &mut dyn Write,
    surroundings: &Surroundings,
) -> Result<u8, Failure> {
    let as_of = match &arguments.as_of {
        None => surroundings.today,
        Some(text) => {
            crate::intake::parse_day(text, None).map_err(|p| Failure::flag("--as-of", text, &p))?
        }
    };
    let mut context = Context {
        book: arguments.book,
        as_of,
        format: arguments.format,
        progress: surroundings.progress,
        out,
        err,
    };
    match arguments.command {
        Command::Start(a) => start::run(&mut context, &a),
        Command::Import(a) => import::run(&mut context, &a),
        Command::Record(a) => record::run(&mut context, &a),
        Command::Price(a) => price::run(&mut context, &a),
        Command::Market(a) => market::run(&mut context, &a),
        Command::Accuracy(a) => accuracy::run(&mut context, &a),
        Command::Inspect(a) => inspect::run(&mut context, &a),
        Command::Offer(a) => offer::run(&mut context, &a),
        Command::Stock(a) => stock::run(&mut context, &a),
        Command::Quarter(a) => quarter::run(&mut context, &a),
        Command::Export(a) => export::run(&mut context, &a),
        Command::Priors => priors::run(&mut context),
        Command::Check => check::run(&mut context),
        Command::Demo(a) => demo::run(&mut context, &a),
        Command::Completions(a) => shell::completions(&mut context, &a),
        Command::Manual(a) => shell::manual(&mut context, &a),
    }
}
