//! `record leave`: a bike that goes without a sale.

use super::typed::{How, Names, Typed};
use crate::accounts::DirectCost;
use crate::book::{Book, BookProblem};
use crate::cli::failure::Failure;
use crate::cli::unknown_bike;
use crate::intake::Sales;
use crate::report::text::amounts;
use crate::trade::{Day, LeftAs, Money, Sale};
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

/// The bike as it is, with how it left; and what follows from it.
///
/// # Errors
/// The book has no such bike, or it is sold.
pub(crate) fn typed(
    book: &Book,
    flags: &LeaveFlags,
    as_of: Day,
) -> Result<(Typed<Sales>, String), Failure> {
    let sale = known(book, &flags.bike)?;
    // What was sold for nothing may have been given away.
    let nothing = sale.sold.filter(|sold| sold.price == Money::ZERO);
    if let Some(sold) = sale.sold.filter(|_| nothing.is_none()) {
        return Err(Failure::refused(
            format!("--bike '{}': it was sold on {}", sale.id, sold.on),
            "A sold bike has left already; if it came back: wheelworth record return.",
        ));
    }
    let day = nothing.map_or(as_of, |sold| sold.on);
    let on = flags.on.clone().unwrap_or_else(|| day.to_string());
    let told = told(book, &sale, flags)?;
    let cells = [
        ("bike", Some(sale.id)),
        ("left_on", Some(on)),
        ("left_as", Some(flags.how.clone())),
        ("sold_on", nothing.map(|_| String::new())),
        ("sold_price", nothing.map(|_| String::new())),
        ("box_value", flags.box_value.clone()),
        ("box_item", flags.box_item.clone()),
    ];
    Ok((Typed::of(&cells, NAMES, flags.own), told))
}

/// Whose cost it is.
fn told(book: &Book, sale: &Sale, flags: &LeaveFlags) -> Result<String, BookProblem> {
    let costs = book.costs()?;
    let of_it = costs
        .iter()
        .filter(|cost| cost.bike.as_ref() == Some(&sale.id));
    let cost = match DirectCost::of(sale, of_it).known() {
        Some(cost) => {
            let currency = book.settings().currency;
            format!(
                "its cost so far, {} {currency},",
                amounts::exact(cost, &currency)
            )
        }
        None => "its cost, of which none is known so far,".into(),
    };
    let counts = match LeftAs::from_word(&flags.how) {
        Some(LeftAs::Kept) => "counts to nobody but its owner",
        _ => "counts among the workshop's costs of the quarter in which it left",
    };
    Ok(format!(
        "{} counts in no price, no days on market and no stock from then on; {cost} {counts}",
        sale.id
    ))
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
