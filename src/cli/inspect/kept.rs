//! `inspect --bike`: an inspection into the book, and the latest one out of it.

use super::differs;
use super::flags::Inspect as Arguments;
use crate::book::{Book, ImportSummary};
use crate::cli::context::{Context, DONE, Format};
use crate::cli::failure::Failure;
use crate::cli::inspection_sheet;
use crate::cli::source::Source;
use crate::cli::unknown_bike::UnknownBikes;
use crate::intake::{self, CellProblem};
use crate::pricing::inspection::{Assessment, assess};
use crate::report::inspection::json;
use crate::report::inspection::json::Kept;
use crate::report::inspection::text;
use crate::trade::calendar::days_between;
use crate::trade::inspection::{Inspection, Sheet};
use crate::trade::{Day, Sale};
use std::path::Path;

/// Days between judging a bike at its seller's and buying it that are nothing odd
/// (judgement, no source).
const LOOKED_AT_BEFORE: i64 = 14;

/// Keeps the inspection of a bike and says what it means.
pub(crate) fn keep(
    context: &mut Context<'_>,
    arguments: &Arguments,
    file: &Path,
    id: &str,
) -> Result<u8, Failure> {
    let mut book = Book::open(&context.book)?;
    let on = day(arguments.on.as_deref(), context.as_of)?;
    let sale = own_bike(&book, id)?;
    let sheet = inspection_sheet::read(context.as_of, &arguments.column, &arguments.ignore, file)?;
    let found = assess(&sheet);
    if found.condition.is_none() {
        return Err(Failure::refused(
            format!(
                "nothing on {} has a result; no inspection was kept",
                file.display()
            ),
            "Fill in the result column: pass, fail or not_fitted.",
        ));
    }
    let mut doubts = doubts(&book, &sheet, &sale, on, file)?;
    doubts.extend(differs::differences(&sale, &sheet, &found));
    let name = format!("{}: {id} on {on}", Source::File(file).name());
    let inspection = Inspection {
        bike: id.to_string(),
        on,
        sheet,
    };
    let mut import = book.begin_import("inspection", &name, context.as_of)?;
    import.put_inspection(&inspection)?;
    let summary = import.commit()?;
    let all = of_bike(&book, id, context.as_of)?;
    if let Some(latest) = all.last().filter(|latest| latest.on > on) {
        doubts.push(format!(
            "the inspection of {} is the latest of {id}, so it is the one that counts",
            latest.on
        ));
    }
    for (number, doubt) in (1..).zip(doubts) {
        writeln!(context.err, "caution {number}: {doubt}")?;
    }
    let kept = Kept {
        on: Some(on),
        count: all.len(),
        import: summary.number,
    };
    say(context, &inspection, &found, &kept)?;
    if context.format == Format::Text {
        writeln!(context.out, "\n{}", ending(&summary, id, on, all.len()))?;
    }
    Ok(DONE)
}

/// Says what the latest inspection means that was known on the day.
pub(crate) fn show(context: &mut Context<'_>, id: &str) -> Result<u8, Failure> {
    let book = Book::open(&context.book)?;
    own_bike(&book, id)?;
    let all = of_bike(&book, id, context.as_of)?;
    let Some(latest) = all.last() else {
        let kept = Kept {
            on: None,
            count: 0,
            import: None,
        };
        match context.format {
            Format::Json => context.out.write_all(
                json::none(id, &kept)
                    .map_err(Failure::unwritten)?
                    .as_bytes(),
            )?,
            Format::Text => writeln!(
                context.out,
                "{id} is not inspected yet: wheelworth inspect --blank SHEET.csv; filled in, wheelworth inspect \
                 SHEET.csv --bike {id}."
            )?,
        }
        return Ok(DONE);
    };
    let kept = Kept {
        on: Some(latest.on),
        count: all.len(),
        import: None,
    };
    if context.format == Format::Text {
        let which = match all.len() {
            1 => "the only one kept".to_string(),
            count => format!("the latest of {count} kept"),
        };
        writeln!(context.out, "Inspected on {}, {which}", latest.on)?;
    }
    say(context, latest, &assess(&latest.sheet), &kept)?;
    Ok(DONE)
}

fn say(
    context: &mut Context<'_>,
    inspection: &Inspection,
    found: &Assessment,
    kept: &Kept,
) -> Result<(), Failure> {
    let (id, sheet) = (inspection.bike.as_str(), &inspection.sheet);
    let text = match context.format {
        Format::Text => text::of_own(found, sheet, id),
        Format::Json => json::of_own(found, sheet, id, kept).map_err(Failure::unwritten)?,
    };
    context.out.write_all(text.as_bytes())?;
    Ok(())
}

fn ending(summary: &ImportSummary, id: &str, on: Day, count: usize) -> String {
    let all = match count {
        1 => "it is the only one kept".to_string(),
        count => format!("{count} are kept"),
    };
    match summary.number {
        Some(n) => format!(
            "Inspection of {id} on {on} kept as import {n}; {all}. 'wheelworth import --undo {n}' takes it back."
        ),
        None => format!("This inspection of {id} on {on} is in the book already; {all}."),
    }
}

/// The day of the inspection.
fn day(text: Option<&str>, as_of: Day) -> Result<Day, Failure> {
    let Some(text) = text else {
        return Ok(as_of);
    };
    let day = intake::parse_typed_day(text, None, as_of).and_then(|day| {
        if day <= as_of {
            Ok(day)
        } else {
            Err(CellProblem::new(
                format!("a day up to {as_of}"),
                "Give the day on which the bike was looked at.",
            ))
        }
    });
    day.map_err(|problem| Failure::flag("--on", text, &problem))
}

fn own_bike(book: &Book, id: &str) -> Result<Sale, Failure> {
    if let Some(sale) = book.sale(id)? {
        return Ok(sale);
    }
    let sales = book.sales()?;
    let ids = sales.iter().map(|sale| sale.id.as_str());
    let problem = UnknownBikes::of(book)?.problem(ids, id);
    Err(Failure::refused(
        format!("--bike '{id}': the book has no such bike; no inspection was kept or shown"),
        problem.mend,
    ))
}

fn of_bike(book: &Book, id: &str, as_of: Day) -> Result<Vec<Inspection>, Failure> {
    let mut all = book.inspections(as_of)?;
    all.retain(|inspection| inspection.bike == id);
    Ok(all)
}

/// What speaks against keeping it, and a refusal where the sheet is another
/// bike's.
fn doubts(
    book: &Book,
    sheet: &Sheet,
    sale: &Sale,
    on: Day,
    file: &Path,
) -> Result<Vec<String>, Failure> {
    let id = &sale.id;
    let mut doubts = Vec::new();
    if let Some(name) = sheet.bike().filter(|name| name != id) {
        if book.sale(name)?.is_some() {
            return Err(Failure::refused(
                format!(
                    "{} is the sheet of bike {name}, and --bike says {id}; no inspection was kept",
                    file.display()
                ),
                "Give the bike that was looked at, or correct the sheet.",
            ));
        }
        doubts.push(format!(
            "the sheet calls the bike {name}; it was kept as {id}"
        ));
    }
    if let Some(sold) = sale.sold.filter(|sold| sold.on < on) {
        doubts.push(format!(
            "{id} was sold on {}, before this inspection",
            sold.on
        ));
    }
    let early = sale.bought_on.map_or(0, |bought| days_between(on, bought));
    if early > LOOKED_AT_BEFORE {
        doubts.push(format!(
            "{id} was inspected {early} days before it was bought: what happened to it since is not in it. Look at it \
             again before it is sold, or correct the day with --on"
        ));
    }
    Ok(doubts)
}
