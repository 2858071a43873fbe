//! `export`: a table of the book as a file. A model: `export_model`.

pub(super) mod exportable;
mod model;
mod written;

use super::context::Context;
use super::failure::Failure;
use super::written_file;
use crate::book::{Book, BookProblem};
use crate::intake::ExportMark;
use crate::report::export::columns::Table;
use crate::report::export::csv_table;
use crate::report::export::csv_table::CsvTable;
use crate::report::export::parquet::ParquetTable;
use crate::report::export::record_cells;
use crate::trade::{Currency, Day};
use exportable::{Export, Exportable};
use model::Model;
use std::collections::HashMap;
use std::fs::File;
use std::io::{Read as _, Seek as _};
use std::path::Path;
use written::{FILE, refuse_the_book, say};

/// How a table is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ending {
    Csv,
    Parquet,
}

/// Writes the table and says how many rows it has.
pub(super) fn run(context: &mut Context<'_>, arguments: &Export) -> Result<u8, Failure> {
    let file = arguments.file.as_path();
    let table = match arguments.what {
        Exportable::Sales => Table::Sales,
        Exportable::Comps => Table::Comps,
        Exportable::Asks => Table::Asks,
        Exportable::Costs => Table::Costs,
        Exportable::Gifts => Table::Gifts,
        Exportable::Returns => Table::Returns,
        Exportable::Offers => Table::Offers,
        Exportable::Inspections => Table::Inspections,
        Exportable::ValueModel => return model::run(context, Model::Value, file),
        Exportable::TimeModel => return model::run(context, Model::Time, file),
    };
    let ending = ending(file)?;
    let book = Book::open(&context.book)?;
    refuse_the_book(file, &context.book)?;
    let (bytes, rows) = bytes_of(&book, table, ending)?;
    let bytes = bytes.map_err(|problem| written_file::cannot(file, FILE, &problem))?;
    let currency = book.settings().currency;
    let is_ours = |there: &mut File| match ending {
        Ending::Csv => may_replace(there, &bytes, table, &currency),
        Ending::Parquet => {
            ExportMark::of(there).is_some_and(|mark| mark.table == table.word())
                && as_csv(&book, table)
                    .is_some_and(|now| csv_table::may_replace_parquet(file, &now, table, &currency))
        }
    };
    let word = table.word();
    let kind = format!("no earlier export of the {word}, unchanged and all in the book");
    written_file::replace_file(file, &bytes, is_ours, &kind, FILE)?;
    if rows == 0 {
        let empty = "It has a header and no rows";
        writeln!(
            context.err,
            "The book has no {word} yet. {empty}, so import refuses it."
        )?;
    }
    if !matches!(
        table,
        Table::Comps | Table::Asks | Table::Offers | Table::Inspections
    ) && !book.closings(Day::MAX)?.is_empty()
    {
        writeln!(
            context.err,
            "The reports of closed quarters are in no table: keep this book for them."
        )?;
    }
    say(context, word, file, rows)
}

fn ending(file: &Path) -> Result<Ending, Failure> {
    let is = |ending: &str| {
        file.extension()
            .is_some_and(|e| e.eq_ignore_ascii_case(ending))
    };
    match (is("csv"), is("parquet")) {
        (true, _) => Ok(Ending::Csv),
        (_, true) => Ok(Ending::Parquet),
        _ => Err(Failure::usage(
            format!(
                "'{}': expected a name that ends in .csv or .parquet",
                file.display()
            ),
            "The ending says how the table is written: name it sales.csv or sales.parquet, say.",
        )),
    }
}

/// The header first, so that no long file of another kind is read.
fn may_replace(there: &mut File, now: &[u8], table: Table, currency: &Currency) -> bool {
    let mut bytes = Vec::new();
    written_file::begins_with(there, &[&csv_table::header_line(table)])
        && there.rewind().is_ok()
        && there.read_to_end(&mut bytes).is_ok()
        && csv_table::may_replace(bytes, now, table, currency)
}

/// The bytes of the file, and how many rows it has.
type Written = (Result<Vec<u8>, String>, u64);

fn bytes_of(book: &Book, table: Table, ending: Ending) -> Result<Written, BookProblem> {
    let mut rows = 0;
    let bytes = match ending {
        Ending::Csv => {
            let mut file = CsvTable::new(table);
            each_row(book, table, &mut |cells| {
                rows += 1;
                file.push(&cells);
            })?;
            file.finish()
        }
        Ending::Parquet => {
            let mut file = ParquetTable::new(table, book.settings().currency);
            each_row(book, table, &mut |cells| {
                rows += 1;
                file.push(&cells);
            })?;
            file.finish()
        }
    };
    Ok((bytes, rows))
}

/// The table as CSV, to hold an earlier export against.
fn as_csv(book: &Book, table: Table) -> Option<Vec<u8>> {
    let (bytes, _) = bytes_of(book, table, Ending::Csv).ok()?;
    bytes.ok()
}

/// Shows the cells of every record, in the book's own order.
fn each_row(
    book: &Book,
    table: Table,
    show: &mut dyn FnMut(Vec<String>),
) -> Result<(), BookProblem> {
    let currency = book.settings().currency;
    match table {
        Table::Sales => book
            .sales()?
            .iter()
            .for_each(|sale| show(record_cells::sale(sale, &currency))),
        Table::Comps => book.each_comp(&mut |_, comp| show(record_cells::comp(comp, &currency)))?,
        Table::Asks => book
            .asks()?
            .iter()
            .for_each(|ask| show(record_cells::ask(ask, &currency))),
        Table::Costs => book
            .costs()?
            .iter()
            .for_each(|cost| show(record_cells::cost(cost, &currency))),
        Table::Gifts => book
            .gifts()?
            .iter()
            .for_each(|gift| show(record_cells::gift(gift, &currency))),
        Table::Returns => book
            .returns()?
            .iter()
            .for_each(|one| show(record_cells::back(one, &currency))),
        Table::Offers => book
            .offers(Day::MAX)?
            .iter()
            .for_each(|offer| show(record_cells::offer(offer, &currency))),
        Table::Inspections => {
            // Several of one bike and day are told apart by a number.
            let mut so_far: HashMap<(String, Day), u32> = HashMap::new();
            for inspection in book.inspections(Day::MAX)? {
                let number = so_far
                    .entry((inspection.bike.clone(), inspection.on))
                    .and_modify(|number| *number += 1)
                    .or_insert(1);
                for row in record_cells::inspection_rows(&inspection, *number) {
                    show(record_cells::inspection_row(&row, &currency));
                }
            }
        }
    }
    Ok(())
}
