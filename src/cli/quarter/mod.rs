//! `quarter`: the donated proceeds of a quarter, and its closing.

pub(super) mod pages;

use super::accounts::Books;
use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::written_file;
use crate::accounts::{Closed, reports_to_close};
use crate::book::{Book, Closing};
use crate::report::quarter::audience::Audience;
use crate::trade::{self, Day};
use clap::{Args, ValueEnum};
use pages::Form;
use std::path::{Path, PathBuf};

/// Report what was raised in a quarter, what is due, what was handed over
///
/// Every cost is counted once, and opening + due - given = closing, to the cent.
/// Bikes count in the quarter in which they were sold. Closing a quarter keeps its
/// report as it stands.
///
/// Example: wheelworth quarter 2026-Q2 --html report.html
#[derive(Debug, Args)]
pub(super) struct Quarter {
    /// The year (by the calendar year in which it starts) and the quarter: 2026-Q2
    #[arg(value_name = "YYYY-Qn")]
    pub which: String,
    /// Write the report as a page for reading and printing
    #[arg(long, value_name = "FILE.html")]
    pub html: Option<PathBuf>,
    /// Write the lines of the report for a spreadsheet
    #[arg(long, value_name = "FILE.csv")]
    pub csv: Option<PathBuf>,
    /// Only one of its two parts; the beneficiary's holds nothing private
    #[arg(long = "for", value_enum, value_name = "WHOM")]
    pub audience: Option<Reader>,
    /// Close the quarter, and open ones before it, for good
    #[arg(long)]
    pub close: bool,
}

/// Who reads the report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Reader {
    /// Sales, what was due and given, running totals
    Beneficiary,
    /// Costs, hours, margins, what earned most
    Workshop,
}

/// Prints the report, writes its files, and closes the quarter where that is
/// asked for.
pub(super) fn run(context: &mut Context<'_>, arguments: &Quarter) -> Result<u8, Failure> {
    let quarter = read_quarter(&arguments.which)?;
    let audience = match arguments.audience {
        None => Audience::Whole,
        Some(Reader::Beneficiary) => Audience::Beneficiary,
        Some(Reader::Workshop) => Audience::Workshop,
    };
    let files = files(arguments)?;
    let mut book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let books = Books::of(&book, context.as_of)?;
    let closed_already = books.closed.iter().find(|closed| closed.quarter == quarter);
    if let Some(closed) = closed_already.filter(|_| arguments.close) {
        return Err(Failure::refused(
            format!("{quarter} was closed on {}", closed.closed_on),
            "Its report stands; what changes now shows as a correction in the quarter in which it is changed.",
        ));
    }
    let mut closed_now = Vec::new();
    if arguments.close {
        let closings = closings(&book, &books, quarter, context.as_of)?;
        book.close(&closings)?;
        closed_now.extend(closings.iter().map(|closing| closing.quarter));
    }
    let open = if closed_already.is_some() || arguments.close {
        None
    } else {
        Some(books.ledger(&book).quarter(quarter)?)
    };
    let page = |form: Form| -> Result<String, Failure> {
        if let Some(report) = &open {
            return pages::render(form, report, audience, &currency);
        }
        let page = book.closed_page(quarter, &pages::name(form, audience))?;
        page.ok_or_else(|| {
            Failure::refused(
                format!("the report of {quarter} is not in the book any more"),
                "Go back to your last copy of the book.",
            )
        })
    };
    for (form, path, flag) in files {
        if let Some(path) = path {
            written_file::write(path, page(form)?.as_bytes(), flag)?;
            writeln!(context.err, "{}: {}", form.noun(), path.display())?;
            if (form, audience) == (Form::Html, Audience::Whole) {
                writeln!(
                    context.err,
                    "It has your own costs in it; the page to send is the one with --for beneficiary."
                )?;
            }
        }
    }
    let form = match context.format {
        Format::Text => Form::Text,
        Format::Json => Form::Json,
    };
    context.out.write_all(page(form)?.as_bytes())?;
    say_closed(context, quarter, &closed_now)?;
    Ok(DONE)
}

/// A form of the report, the file that it goes into, and the flag that names it.
type FormFile<'a> = (Form, Option<&'a Path>, &'static str);

/// The files that were asked for; refuses those in which something would be lost.
fn files(arguments: &Quarter) -> Result<[FormFile<'_>; 2], Failure> {
    let files = [
        (Form::Html, arguments.html.as_deref(), "file for --html"),
        (Form::Csv, arguments.csv.as_deref(), "file for --csv"),
    ];
    for (form, path, flag) in files {
        if let Some(path) = path {
            let ours = form.beginnings();
            let is_ours = |file: &mut std::fs::File| written_file::begins_with(file, ours);
            written_file::check_nothing_lost(path, is_ours, form.not_it(), flag)?;
        }
    }
    Ok(files)
}

/// Says what was closed, if anything was.
fn say_closed(
    context: &mut Context<'_>,
    quarter: trade::Quarter,
    closed_now: &[trade::Quarter],
) -> Result<(), Failure> {
    if let [earlier @ .., _] = closed_now {
        let with_it = match earlier {
            [] => String::new(),
            [one] => format!(", and {one} before it"),
            [first, .., last] => format!(", and {first} to {last} before it"),
        };
        writeln!(
            context.err,
            "{quarter} is closed{with_it}. Its report stands now; what changes later shows as a correction in the \
             quarter in which it is changed."
        )?;
    }
    Ok(())
}

fn read_quarter(text: &str) -> Result<trade::Quarter, Failure> {
    trade::Quarter::read(text).ok_or_else(|| {
        Failure::usage(
            format!("quarter '{text}': expected a year and a quarter"),
            "Write it as 2026-Q2, with a quarter from Q1 to Q4.",
        )
    })
}

/// The closings of a quarter and of the open ones before it, with every page.
fn closings(
    book: &Book,
    books: &Books,
    quarter: trade::Quarter,
    on: Day,
) -> Result<Vec<Closing>, Failure> {
    let settings = book.settings();
    let last_day = quarter.last_day(settings.giving.year_starts);
    if on < last_day {
        return Err(Failure::refused(
            format!("{quarter} goes on until {last_day}, and it is {on}"),
            "Close it on its last day or later.",
        ));
    }
    let reports = books
        .ledger(book)
        .with(|ledger| reports_to_close(ledger, quarter))?;
    let close = |mut report: crate::accounts::QuarterReport| -> Result<Closing, Failure> {
        report.closed_on = Some(on);
        let figures = Closed::of(&report, on).figures_text().map_err(|error| {
            Failure::refused(format!("the figures cannot be written: {error}"), "")
        })?;
        Ok(Closing {
            quarter: report.quarter,
            closed_on: on,
            figures,
            pages: pages::all(&report, &settings.currency)?,
        })
    };
    reports.into_iter().map(close).collect()
}
