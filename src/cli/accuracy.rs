//! `accuracy`: how well the prices have held up.

use super::arguments::{Accuracy as Asked, Format};
use super::failure::Failure;
use super::pictures::{self, Picture};
use super::price::check_level;
use super::records_once::RecordsOnce;
use super::{Context, DONE};
use crate::book::Book;
use crate::pricing::accuracy::{Accuracy, Question, accuracy};
use crate::pricing::{Priors, Records, RecordsError};
use crate::report::accuracy::{charts, json, text};
use crate::trade::Day;

/// Every picture with its name.
const PICTURES: [Picture<Accuracy>; 3] = [
    ("prices.svg", charts::prices::draw),
    ("errors.svg", charts::errors::draw),
    ("days-told.svg", charts::days::draw),
];

/// Prints it, and draws the pictures where they are asked for.
pub fn run(context: &mut Context<'_>, arguments: &Asked) -> Result<u8, Failure> {
    check_level(arguments.level)?;
    if let Some(folder) = &arguments.charts {
        pictures::check_names(folder, &PICTURES)?;
    }
    let book = Book::open(&context.book)?;
    let question = Question {
        as_of: context.as_of,
        currency: book.settings().currency,
        level: arguments.level,
    };
    let records = RecordsOnce::of(&book)?;
    let open = |day: Day| -> Result<Box<dyn Records + '_>, RecordsError> {
        Ok(Box::new(records.known_on(day)))
    };
    let found = accuracy(&open, Priors::shipped(), &question)?;
    let text = match context.format {
        Format::Text => text::text(&found),
        Format::Json => json::json(&found)
            .map_err(|e| Failure::refused(format!("the answer cannot be written: {e}"), ""))?,
    };
    if let Some(folder) = &arguments.charts {
        let drawn = Some(&found).filter(|found| found.sold() > 0);
        pictures::write(folder, &PICTURES, drawn, context.err)?;
    }
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}
