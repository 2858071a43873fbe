//! `quarter`: the donated proceeds of a quarter, and its closing.

pub(super) mod pages;

use super::accounts::Books;
use super::arguments::{Audience as Asked, Format, Quarter as Arguments};
use super::failure::Failure;
use super::written_file;
use super::{Context, DONE};
use crate::accounts::Closed;
use crate::book::{Book, Closing};
use crate::report::quarter::audience::Audience;
use crate::trade::{Day, Quarter};
use pages::Form;

/// Prints the report, writes its files, and closes the quarter where that is
/// asked for.
pub(super) fn run(context: &mut Context<'_>, arguments: &Arguments) -> Result<u8, Failure> {
    let quarter = read_quarter(&arguments.quarter)?;
    let audience = match arguments.audience {
        None => Audience::Whole,
        Some(Asked::Beneficiary) => Audience::Beneficiary,
        Some(Asked::Workshop) => Audience::Workshop,
    };
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
        }
    }
    let form = match context.format {
        Format::Text => Form::Text,
        Format::Json => Form::Json,
    };
    context.out.write_all(page(form)?.as_bytes())?;
    if let [earlier @ .., _] = closed_now.as_slice() {
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
    Ok(DONE)
}

fn read_quarter(text: &str) -> Result<Quarter, Failure> {
    Quarter::read(text).ok_or_else(|| {
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
    quarter: Quarter,
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
    let reports = books.ledger(book).with(|ledger| ledger.to_close(quarter))?;
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
