//! `market`: what the comps and the own sales say.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::pictures::{self, Picture};
use super::workbench::Workbench;
use crate::book::Book;
use crate::intake;
use crate::pricing::market::{self, MarketQuestion};
use crate::report::market::double_listings::{DoubleListing, DoubleListings};
use crate::report::market::{charts, json, text};
use crate::trade::{Day, Style};
use clap::Args;
use std::path::PathBuf;

/// Say what the comps and your own sales show about the market
///
/// Counts, asks and sale prices by style, condition, tier and age; how long
/// bikes stand; from ask to sale price; how prices moved; the season; and what
/// is unusual. The answer says first what a seller should take from it; --why shows
/// every table.
///
/// Example: wheelworth market --style hybrid --charts pictures
#[derive(Debug, Args)]
pub(super) struct Market {
    /// Only bikes of this style: road hybrid mountain city cruiser touring folding kids other
    #[arg(long)]
    pub style: Option<String>,
    /// Everything: outcomes, days, how prices moved, the season, what is unusual
    #[arg(long)]
    pub why: bool,
    /// Unusual prices and double listings that are named, at most
    #[arg(long, value_name = "NUMBER", default_value_t = 10, value_parser = clap::value_parser!(u16).range(0..=1000))]
    pub top: u16,
    /// Draw asks.svg, days.svg, movement.svg and season.svg into a folder
    #[arg(long, value_name = "FOLDER")]
    pub charts: Option<PathBuf>,
}

/// Probability of the ranges and confidence of the limits.
const LEVEL: f64 = 0.8;

/// Every picture with its name.
const PICTURES: [Picture<market::Market>; 4] = [
    ("asks.svg", charts::asks::draw),
    ("days.svg", charts::days::draw),
    ("movement.svg", charts::course::movement),
    ("season.svg", charts::course::season),
];

/// Prints it, and draws the pictures where they are asked for.
pub(super) fn run(context: &mut Context<'_>, arguments: &Market) -> Result<u8, Failure> {
    let read = |text: &String| {
        intake::parse_style(text).map_err(|problem| Failure::flag("--style", text, &problem))
    };
    let style = arguments.style.as_ref().map(read).transpose()?;
    if let Some(folder) = &arguments.charts {
        pictures::check_names(folder, &PICTURES)?;
    }
    let book = Book::open(&context.book)?;
    let bench = Workbench::of(&book, context.as_of)?;
    let currency = bench.currency;
    let question = MarketQuestion {
        as_of: context.as_of,
        currency,
        style,
        top: usize::from(arguments.top),
        level: LEVEL,
    };
    let found = market::market(&bench.records, bench.priors, &question)?;
    let doubles = double_listings(&book, context.as_of, style, question.top)?;
    let text = match context.format {
        Format::Text => text::text(&found, &doubles, arguments.why, &currency),
        Format::Json => json::json(&found, &doubles, &currency).map_err(Failure::unwritten)?,
    };
    if let Some(folder) = &arguments.charts {
        let drawn = Some(&found).filter(|market| !market.is_empty());
        pictures::write(folder, &PICTURES, drawn, context.err)?;
    }
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}

/// The double listings of a style, the first of them by name.
fn double_listings(
    book: &Book,
    as_of: Day,
    style: Option<Style>,
    top: usize,
) -> Result<DoubleListings, Failure> {
    let mut doubles = DoubleListings::default();
    for group in book.double_listings(as_of)? {
        // All of a group are of one style.
        let wanted = style.is_some() || doubles.named.len() < top;
        let first = match group.first().filter(|_| wanted) {
            Some(row) => book.comp_by_row(*row)?,
            None => None,
        };
        if let (Some(style), Some(comp)) = (style, &first)
            && comp.bike.style != style
        {
            continue;
        }
        doubles.count += 1;
        let Some(first) = first.filter(|_| doubles.named.len() < top) else {
            continue;
        };
        let mut named = DoubleListing {
            listings: Vec::with_capacity(group.len()),
            bike: first.bike,
            ask: first.standing_ask(),
        };
        for row in group {
            if let Some(comp) = book.comp_by_row(row)? {
                named.listings.push((comp.listing, comp.source));
            }
        }
        doubles.named.push(named);
    }
    Ok(doubles)
}
