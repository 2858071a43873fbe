//! `import inspections`: the rows of a bike and day are one inspection, and are put
//! as a whole or not at all.

use super::file;
use super::file::{ImportWishes, Imported, Opened};
use crate::book::Book;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::rows::findings::Found;
use crate::cli::source::{Source, named};
use crate::cli::unknown_bike::UnknownBikes;
use crate::intake::{
    BadRow, CellProblem, InspectionRow, Inspections, Kind as _, Reader, RowProblem,
};
use crate::report::text::counts;
use crate::report::text::problems;
use crate::trade::inspection::{CheckResult, Inspection, Measure, Sheet};
use crate::trade::{Day, Sale};
use std::collections::{BTreeMap, HashMap, HashSet};
use std::path::Path;

/// Problems shown; all are counted.
const SHOWN: usize = 1000;

/// Day, bike, and which of that day's.
type Which = (Day, String, u32);

/// Rows of one inspection so far.
struct Under {
    sheet: Sheet,
    /// Lines of its items.
    lines: HashMap<&'static str, u64>,
    /// What is said if none of its rows has a result.
    without_result: Option<BadRow>,
}

/// Imports one file: all of it, or nothing.
pub(crate) fn import(
    context: &mut Context<'_>,
    book: &mut Book,
    file: &Path,
    wishes: &ImportWishes,
) -> Result<Imported, Failure> {
    if wishes.skip_bad.is_some() {
        return Err(Failure::usage(
            "--skip-bad is not for inspections: one with rows left out would say something else",
            "Fix these rows, or take all rows of the inspection out of the file.",
        ));
    }
    let Opened {
        mut reader,
        settings,
        dates,
        remembered,
    } = file::open::<Inspections>(context, book, file, wishes)?;
    let sales = book.sales()?;
    let unknown = UnknownBikes::of(book)?;
    let gathered = gather(&mut reader, &sales, named(file), &wishes.prefix, unknown)?;
    let sold: HashMap<&str, Day> = sales
        .iter()
        .filter_map(|sale| Some((sale.id.as_str(), sale.sold?.on)))
        .collect();
    let mut found = Found::default();
    let mut import =
        book.begin_import(Inspections::NAME, &Source::File(file).name(), context.as_of)?;
    for ((on, bike, _), sheet) in gathered {
        if let Some(sold) = sold.get(bike.as_str()).filter(|sold| **sold < on) {
            found.caution(|| format!("{bike} was sold on {sold}, before its inspection of {on}"));
        }
        import.put_inspection(&Inspection { bike, on, sheet })?;
    }
    // Of a dry run all is taken back at the end.
    file::remember(&mut import, &reader, &settings, dates);
    let summary = import.commit()?;
    found.close();
    let remembered = remembered.used(&reader, &settings);
    Ok(Imported {
        summary,
        set_aside: 0,
        changes: Vec::new(),
        cautions: found.cautions,
        remembered,
    })
}

/// The inspections of the file by their days, or everything that is wrong with it.
fn gather(
    reader: &mut Reader<Inspections>,
    sales: &[Sale],
    file: &Path,
    prefix: &str,
    mut unknown: UnknownBikes,
) -> Result<Vec<(Which, Sheet)>, Failure> {
    let mut found: BTreeMap<Which, Under> = BTreeMap::new();
    let mut problems: Vec<RowProblem> = Vec::new();
    let ids: HashSet<&str> = sales.iter().map(|sale| sale.id.as_str()).collect();
    while let Some(row) = reader.next_row()? {
        let row = match row {
            Ok(row) => row,
            Err(bad) => {
                problems.extend(bad.problems);
                continue;
            }
        };
        let (mut record, line) = (row.record, row.line);
        record.bike.insert_str(0, prefix);
        if !ids.contains(record.bike.as_str()) {
            let problem = unknown.problem(ids.iter().copied(), &record.bike);
            problems.extend(reader.refuse("bike", problem).problems);
            continue;
        }
        if let Some(problem) = of_another(&record, |name| ids.contains(name)) {
            problems.extend(reader.refuse("measure", problem).problems);
        }
        let which = (record.on, record.bike.clone(), record.number);
        let under = found.entry(which).or_insert_with(|| Under {
            sheet: Sheet::new(),
            lines: HashMap::new(),
            without_result: Some(reader.refuse("result", nothing_found(&record))),
        });
        if let Some(first) = under.lines.insert(record.item.name, line) {
            problems.extend(reader.refuse("item", twice(&record, first)).problems);
        }
        if record.finding.result != CheckResult::Unchecked {
            under.without_result = None;
        }
        under.sheet.put(record.item, record.finding);
    }
    let empty = found
        .values_mut()
        .filter_map(|under| under.without_result.take());
    problems.extend(empty.flat_map(|bad| bad.problems));
    if problems.is_empty() {
        let sheets = found.into_iter().map(|(which, under)| (which, under.sheet));
        return Ok(sheets.collect());
    }
    problems.sort_by_key(|problem| problem.line);
    let count = problems.len();
    problems.truncate(SHOWN);
    Err(Failure::refused(
        format!(
            "{} in {}; nothing was imported\n\n{}",
            counts::many(count, "problem"),
            file.display(),
            problems::render(file, &problems)
        ),
        "Fix these rows and import again.",
    ))
}

/// A row that says it is of another bike of the book.
fn of_another(row: &InspectionRow, is_known: impl Fn(&str) -> bool) -> Option<CellProblem> {
    match &row.finding.measure {
        Some(Measure::Name(name)) if *name != row.bike && is_known(name) => Some(CellProblem::new(
            format!(
                "the name of {} itself, not of another bike of the book",
                row.bike
            ),
            "Give the bike that was looked at, or correct the name.",
        )),
        _ => None,
    }
}

fn nothing_found(row: &InspectionRow) -> CellProblem {
    CellProblem::new(
        format!("a result in one row at least of {} on {}", row.bike, row.on),
        "Fill in the result column: pass, fail or not_fitted.",
    )
}

fn twice(row: &InspectionRow, first: u64) -> CellProblem {
    CellProblem::new(
        format!(
            "each item once for {} on {}; {} stands on line {first} already",
            row.bike, row.on, row.item.name
        ),
        "Keep the row that is right; where the bike was inspected twice that day, write 2 into number.",
    )
}
