//! The command line. The only module that prints or reads the environment.

mod accounts;
mod accuracy;
mod advert;
mod book_records;
mod chart_file;
mod check;
pub(in crate::cli) mod closed_quarters;
mod column_pairs;
mod context;
mod date_code;
mod demo;
mod export;
mod failure;
mod flag_values;
mod flags;
mod giving_flags;
mod grade_flags;
mod how_written;
mod import;
mod inspect;
mod inspection_sheet;
mod inspections;
mod learn;
mod like_id;
mod list;
mod market;
mod offer;
mod other_kind;
mod own_bike;
mod own_guess;
mod past_offers;
mod pictures;
mod pocket;
mod price;
mod priors;
mod progress;
mod quarter;
mod record;
mod records_once;
mod rename;
mod renamed;
mod rows;
mod rule;
mod shell;
mod show;
mod source;
mod start;
mod stock;
mod typed;
mod unknown_bike;
mod whole_file;
mod wishes;
mod workbench;
mod wrapped;
mod written_file;

pub use context::{DONE, REFUSED, SET_ASIDE, Surroundings, USAGE, usual_book};
pub use wrapped::terminal_columns;

use clap::{CommandFactory as _, Parser as _};
use context::Context;
use failure::Failure;
use flags::{Arguments, Command};
use std::ffi::OsString;
use std::io::Write;
use wrapped::{BookNamed, Wrapped};

/// Runs one command line (the first argument is the program's name) and
/// returns its exit status. Results go to `out`, everything else to `err`.
pub fn run(
    arguments: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
    surroundings: &Surroundings,
) -> u8 {
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
    let named = BookNamed::of(
        &arguments.book,
        &surroundings.usual_book,
        &Arguments::command(),
    );
    match carry_out(arguments, out, err, surroundings, named.as_ref()) {
        Ok(code) => code,
        Err(Failure::OutputClosed) => DONE,
        Err(failure) => {
            let _ = out.flush();
            let mut err = Wrapped::new(err, surroundings.columns, named.as_ref());
            let _ = write!(err, "{failure}");
            let _ = err.flush();
            failure.code()
        }
    }
}

fn carry_out(
    arguments: Arguments,
    out: &mut dyn Write,
    err: &mut dyn Write,
    surroundings: &Surroundings,
    named: Option<&BookNamed>,
) -> Result<u8, Failure> {
    let as_of = match &arguments.as_of {
        None => surroundings.today,
        Some(text) => crate::intake::parse_typed_day(text, None, surroundings.today)
            .map_err(|p| Failure::flag("--as-of", text, &p))?,
    };
    let mut out = match arguments.command.is_to_be_read(arguments.format) {
        true => Wrapped::new(out, surroundings.columns, named),
        false => Wrapped::new(out, usize::MAX, None),
    };
    let mut err = Wrapped::new(err, surroundings.columns, named);
    let mut context = Context {
        book: arguments.book,
        as_of,
        as_of_said: arguments.as_of.is_some(),
        format: arguments.format,
        progress: surroundings.progress,
        columns: surroundings.columns,
        out: &mut out,
        err: &mut err,
    };
    let done = match arguments.command {
        Command::Start(a) => start::run(&mut context, &a),
        Command::Import(a) => import::run(&mut context, &a),
        Command::Record(a) => record::run(&mut context, &a),
        Command::Price(a) => price::run(&mut context, &a),
        Command::Market(a) => market::run(&mut context, &a),
        Command::Accuracy(a) => accuracy::run(&mut context, &a),
        Command::Advert(a) => advert::run(&mut context, &a),
        Command::Inspect(a) => inspect::run(&mut context, &a),
        Command::Offer(a) => offer::run(&mut context, &a),
        Command::Pocket(a) => pocket::run(&mut context, &a),
        Command::Rename(a) => rename::run(&mut context, &a),
        Command::Rule(a) => rule::run(&mut context, &a),
        Command::List(a) => list::run(&mut context, &a),
        Command::Show(a) => show::run(&mut context, &a),
        Command::Stock(a) => stock::run(&mut context, &a),
        Command::Quarter(a) => quarter::run(&mut context, &a),
        Command::Export(a) => export::run(&mut context, &a),
        Command::Priors => priors::run(&mut context),
        Command::Check => check::run(&mut context),
        Command::Demo(a) => demo::run(&mut context, &a, &mut run),
        Command::Completions(a) => shell::completions(&mut context, Arguments::command(), &a),
        Command::Manual(a) => shell::manual(&mut context, Arguments::command(), &a),
    };
    // What stands on a line without an end.
    let (told, _) = (out.flush(), err.flush());
    let code = done?;
    told?;
    Ok(code)
}
