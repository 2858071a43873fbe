//! `quarter`: the donated proceeds of a quarter, and its closing.

use super::arguments::{Audience as Asked, Format, Quarter as Arguments};
use super::failure::Failure;
use super::quarter_pages::{self, Form};
use super::written_file;
use super::{Context, DONE, inspections};
use crate::accounts::{
    AccountsProblem, Closed, Entries, Inspected, Ledger, quarter_report, reports_to_close,
};
use crate::book::{Book, Closing};
use crate::report::quarter::audience::Audience;
use crate::trade::{Day, Quarter};

/// Prints the report, writes its files, and closes the quarter where that is
/// asked for.
pub fn run(context: &mut Context<'_>, arguments: &Arguments) -> Result<u8, Failure> {
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
            return quarter_pages::render(form, report, audience, &currency);
        }
        let page = book.closed_page(quarter, &quarter_pages::name(form, audience))?;
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

/// The records that the books are made of.
struct Books {
    now: Entries,
    inspections: Vec<Inspected>,
    closed: Vec<Closed>,
    as_of: Day,
}

impl Books {
    fn of(book: &Book, as_of: Day) -> Result<Self, Failure> {
        let closed = book.closings(as_of)?.into_iter().map(|closing| {
            Closed::read(closing.quarter, closing.closed_on, &closing.figures).map_err(|error| {
                Failure::refused(
                    format!("the figures of {} cannot be read: {error}", closing.quarter),
                    "Go back to your last copy of the book.",
                )
            })
        });
        Ok(Self {
            now: Entries {
                sales: book.sales()?,
                costs: book.costs()?,
                gifts: book.gifts()?,
            },
            inspections: inspections::inspected(&inspections::judged(book, as_of)?),
            closed: closed.collect::<Result<_, _>>()?,
            as_of,
        })
    }

    fn ledger<'a>(&'a self, book: &'a Book) -> BookLedger<'a> {
        BookLedger { books: self, book }
    }
}

/// A ledger that asks the book for the records of earlier days.
struct BookLedger<'a> {
    books: &'a Books,
    book: &'a Book,
}

impl BookLedger<'_> {
    fn with<T>(
        &self,
        ask: impl FnOnce(&Ledger<'_>) -> Result<T, AccountsProblem>,
    ) -> Result<T, Failure> {
        let past = |day: Day| {
            let then = self.book.recorded_by(day)?;
            Ok(Entries {
                sales: then.sales,
                costs: then.costs,
                gifts: then.gifts,
            })
        };
        let settings = self.book.settings();
        let ledger = Ledger {
            giving: &settings.giving,
            minor_per_unit: settings.currency.scale(),
            as_of: self.books.as_of,
            now: &self.books.now,
            inspections: &self.books.inspections,
            closed: &self.books.closed,
            past: &past,
        };
        Ok(ask(&ledger)?)
    }

    fn quarter(&self, quarter: Quarter) -> Result<crate::accounts::QuarterReport, Failure> {
        self.with(|ledger| quarter_report(ledger, quarter))
    }
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
            pages: quarter_pages::all(&report, &settings.currency)?,
        })
    };
    reports.into_iter().map(close).collect()
}

impl From<AccountsProblem> for Failure {
    fn from(problem: AccountsProblem) -> Self {
        match problem {
            AccountsProblem::Past(error) => match error.downcast::<crate::book::BookProblem>() {
                Ok(problem) => (*problem).into(),
                Err(error) => Failure::refused(error.to_string(), "Run 'wheelworth check'."),
            },
            before @ AccountsProblem::BeforeClosed { .. } => Failure::refused(
                before.to_string(),
                "What is recorded for it now shows as a correction in the quarter in which it is recorded.",
            ),
            other => Failure::refused(
                other.to_string(),
                "Look for wild amounts; 'wheelworth import --history' lists what was imported.",
            ),
        }
    }
}
