//! `list`: all own bikes, a line each.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use crate::accounts::life::{Stage, lives};
use crate::book::Book;
use crate::report::bikes::list;
use alphanumeric_sort::compare_str;
use clap::{Args, ValueEnum};

/// List your bikes, a line each
///
/// Example: wheelworth list --state listed
#[derive(Debug, Args)]
pub(super) struct List {
    /// Only those in this state
    #[arg(long, value_enum)]
    pub state: Option<State>,
}

/// Where a bike is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum State {
    /// On hand and not on offer
    Workshop,
    /// On offer
    Listed,
    /// Sold
    Sold,
    /// Left without a sale: kept, given, scrapped or stolen
    Left,
    /// On hand, on offer or not
    OnHand,
}

/// Prints the list.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn run(context: &mut Context<'_>, arguments: &List) -> Result<u8, Failure> {
    let book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let mut lives = lives(&book.sales()?, &book.costs()?, &book.asks()?, context.as_of);
    if let Some(state) = arguments.state {
        let wanted: &[Stage] = match state {
            State::Workshop => &[Stage::Workshop],
            State::Listed => &[Stage::Listed],
            State::Sold => &[Stage::Sold],
            State::Left => &[Stage::Left],
            State::OnHand => &[Stage::Workshop, Stage::Listed],
        };
        lives.retain(|life| wanted.contains(&life.stage));
    }
    // Bike 2 before bike 10.
    lives.sort_by(|a, b| compare_str(&a.sale.id, &b.sale.id));
    match context.format {
        Format::Text => {
            let text = list::text(&lives, context.as_of, &currency);
            context.out.write_all(text.as_bytes())?;
        }
        Format::Json => writeln!(context.out, "{:#}", list::json(&lives, &currency))?,
    }
    Ok(DONE)
}
