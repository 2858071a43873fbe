//! `record leave`: a bike that goes without a sale.

use super::typed::{How, Names, Typed};
use crate::book::Book;
use crate::cli::failure::Failure;
use crate::cli::unknown_bike;
use crate::intake::Sales;
use crate::trade::{Day, Sale};
use clap::Args;

/// What is typed.
#[derive(Debug, Args)]
pub(crate) struct LeaveFlags {
    /// Your id of the bike
    #[arg(long, value_name = "ID")]
    pub bike: String,
    /// How it leaves: kept, given, scrapped or stolen
    #[arg(long = "as", value_name = "HOW")]
    pub how: String,
    /// The day on which it left [default: today, or the day of --as-of]
    #[arg(long, value_name = "DATE")]
    pub on: Option<String>,
    /// What the parts are worth that a scrapped bike gives to the parts box
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub box_value: Option<String>,
    /// Which parts these are
    #[arg(long, value_name = "TEXT")]
    pub box_item: Option<String>,
    #[command(flatten)]
    pub own: How,
}

const NAMES: Names = &[("left_on", "--on"), ("left_as", "--as")];

/// The bike as it is, with how it left.
///
/// # Errors
/// The book has no such bike, or it is sold.
pub(crate) fn typed(book: &Book, flags: &LeaveFlags, as_of: Day) -> Result<Typed<Sales>, Failure> {
    let sale = known(book, &flags.bike)?;
    if let Some(sold) = sale.sold {
        return Err(Failure::refused(
            format!("--bike '{}': it was sold on {}", sale.id, sold.on),
            "A sold bike has left already; if it came back: wheelworth record return.",
        ));
    }
    let on = flags.on.clone().unwrap_or_else(|| as_of.to_string());
    let cells = [
        ("bike", Some(sale.id)),
        ("left_on", Some(on)),
        ("left_as", Some(flags.how.clone())),
        ("box_value", flags.box_value.clone()),
        ("box_item", flags.box_item.clone()),
    ];
    Ok(Typed::of(&cells, NAMES, flags.own))
}

/// A bike of the book.
///
/// # Errors
/// There is none of that id.
pub(super) fn known(book: &Book, id: &str) -> Result<Sale, Failure> {
    let id = id.trim();
    if let Some(sale) = book.sale(id)? {
        return Ok(sale);
    }
    let sales = book.sales()?;
    let ids = sales.iter().map(|sale| sale.id.as_str());
    let problem = unknown_bike::UnknownBikes::default().problem(ids, id);
    Err(Failure::refused(
        format!("--bike '{id}': the book has no such bike"),
        problem.mend,
    ))
}
