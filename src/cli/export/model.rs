//! `export value-model` and `export time-model`: a model with all that it rests on.

use super::written::{FILE, refuse_the_book, say};
use crate::book::{Book, BookProblem};
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::workbench::Workbench;
use crate::cli::written_file;
use crate::pricing::time_on_market::{SeenListings, time_system};
use crate::pricing::value::recipe::NoFit;
use crate::pricing::value::system::value_system;
use crate::report::export::model_file;
use crate::report::export::model_file::Seen;
use crate::report::export::{time_model, value_model};
use crate::trade::Day;
use std::fs::File;
use std::io::{Read as _, Seek as _};
use std::path::Path;

/// Which model.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Model {
    /// What bikes are worth.
    Value,
    /// How long listings stand.
    Time,
}

/// Fits the model, writes it and says how many rows it has.
pub(crate) fn run(context: &mut Context<'_>, model: Model, file: &Path) -> Result<u8, Failure> {
    let word = match model {
        Model::Value => value_model::WORD,
        Model::Time => time_model::WORD,
    };
    if !file
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("json"))
    {
        return Err(Failure::usage(
            format!("'{}': expected a name that ends in .json", file.display()),
            format!("A model is written as JSON: name it {word}.json, say."),
        ));
    }
    let book = Book::open(&context.book)?;
    refuse_the_book(file, &context.book)?;
    let (bytes, rows) = written(context, &book, model)?;
    let beginning = model_file::beginning(word);
    let kind = format!("no earlier export of the {word} of this book");
    let is_ours = |there: &mut File| {
        written_file::begins_with(there, &[&beginning]) && has_seen_no_other(there, &book)
    };
    written_file::replace_file(file, &bytes, is_ours, &kind, FILE)?;
    say(context, word, file, rows as u64)
}

/// Whether every record that the model in a file has seen is in the book, so that
/// the model can be made again.
fn has_seen_no_other(file: &mut File, book: &Book) -> bool {
    let mut bytes = Vec::new();
    let read = file.rewind().is_ok() && file.read_to_end(&mut bytes).is_ok();
    let there = read.then(|| model_file::seen(&bytes)).flatten();
    let known = seen(book, Day::MAX).ok();
    let both = there.zip(known);
    both.is_some_and(|(there, known)| there.is_subset(&known.into_iter().collect()))
}

/// The records of the book that were known on a day.
fn seen(book: &Book, day: Day) -> Result<Vec<Seen>, BookProblem> {
    let sales = book.sales()?;
    let known = sales.iter().filter(|sale| sale.as_known_on(day).is_some());
    let mut records: Vec<Seen> = known.map(|sale| Seen::sale(&sale.id)).collect();
    book.each_comp(&mut |_, comp| {
        if comp.known_from().is_none_or(|from| from <= day) {
            records.push(Seen::comp(&comp.listing, &comp.source));
        }
    })?;
    Ok(records)
}

/// The bytes of the file, and how many rows it has.
fn written(context: &Context<'_>, book: &Book, model: Model) -> Result<(Vec<u8>, usize), Failure> {
    let (as_of, currency) = (context.as_of, book.settings().currency);
    let bench = Workbench::of(book, as_of)?;
    let (records, value) = (&bench.records, bench.recipe(None));
    let no_prices = |problem: NoFit| match problem {
        NoFit::NoRecords => Failure::refused(
            format!(
                "{}: no price is known on {as_of}, so there is no model",
                context.book.display()
            ),
            "Import sales or comps first, or give a later --as-of.",
        ),
        other => other.into(),
    };
    let (bytes, rows) = match model {
        Model::Value => {
            let system = value_system(&value, records).map_err(no_prices)?;
            let bytes = value_model::bytes(&system, bench.priors, &currency);
            (bytes, system.rows.len())
        }
        Model::Time => {
            let mut listings = SeenListings::new(as_of, currency);
            let fitted = value.fit(records, &mut listings).map_err(no_prices)?;
            if fitted.gathered.is_empty() {
                return Err(no_prices(NoFit::NoRecords));
            }
            let system = time_system(bench.priors, &fitted, records, listings, None)?;
            let bytes = time_model::bytes(&system, as_of, &currency, &seen(book, as_of)?);
            (bytes, system.episodes.len())
        }
    };
    let bytes =
        bytes.map_err(|e| Failure::refused(format!("the model cannot be written: {e}"), ""))?;
    Ok((bytes, rows))
}
