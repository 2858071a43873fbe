//! `accuracy`: how well the prices have held up.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::flag_values::check_level;
use super::pictures::{self, Picture};
use super::records_once::RecordsOnce;
use crate::book::Book;
use crate::pricing::accuracy::{self, AccuracyQuestion, accuracy};
use crate::pricing::{Priors, Records, RecordsError};
use crate::report::accuracy::{charts, json, text};
use crate::trade::Day;
use clap::Args;
use std::path::PathBuf;

/// Say how well the prices have held up on your own sales
///
/// Each own sale is priced without itself: by all other records, and by what was
/// known on the day before it was listed. Beside it stand three rules of thumb,
/// how often sales fell into their ranges, days on market, whether the market has
/// moved away, and the sales that were missed most.
///
/// Example: wheelworth accuracy --charts pictures
#[derive(Debug, Args)]
pub(super) struct Accuracy {
    /// Probability that a sale lands in the range, above 0 and below 1
    #[arg(long, default_value_t = 0.8, allow_negative_numbers = true)]
    pub level: f64,
    /// Every figure, with the measures that assessors use
    #[arg(long)]
    pub why: bool,
    /// Draw prices.svg, errors.svg and days-predicted.svg into a folder
    #[arg(long, value_name = "FOLDER")]
    pub charts: Option<PathBuf>,
}

/// Every picture with its name.
const PICTURES: [Picture<accuracy::Accuracy>; 3] = [
    ("prices.svg", charts::prices::draw),
    ("errors.svg", charts::errors::draw),
    ("days-predicted.svg", charts::days::draw),
];

/// Prints it, and draws the pictures where they are asked for.
pub(super) fn run(context: &mut Context<'_>, arguments: &Accuracy) -> Result<u8, Failure> {
    check_level(arguments.level)?;
    if let Some(folder) = &arguments.charts {
        pictures::check_names(folder, &PICTURES)?;
    }
    let book = Book::open(&context.book)?;
    let question = AccuracyQuestion {
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
        Format::Text => text::text(&found, arguments.why),
        Format::Json => json::json(&found).map_err(Failure::unwritten)?,
    };
    if let Some(folder) = &arguments.charts {
        let drawn = Some(&found).filter(|found| found.sold() > 0);
        pictures::write(folder, &PICTURES, drawn, context.err)?;
    }
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}
