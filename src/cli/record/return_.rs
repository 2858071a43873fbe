//! `record return`: a sale that comes back, wholly or in part.

use super::recordable::{Recordable, empty_but};
use super::typed::{How, Names, Typed};
use crate::book::Book;
use crate::cli::failure::Failure;
use crate::cli::how_written;
use crate::cli::typed::quoted;
use crate::intake::{self, Kind, Returns};
use crate::report::export::record_cells;
use crate::report::text::amounts;
use crate::trade::sale::Sold;
use crate::trade::{Currency, Day, Money, Return, Sale};
use clap::Args;

/// What is typed.
#[derive(Debug, Args)]
pub(crate) struct ReturnFlags {
    /// Your id of the bike
    #[arg(long, value_name = "ID")]
    pub bike: String,
    /// The day on which the money was handed back [default: today, or the day of --as-of]
    #[arg(long, value_name = "DATE")]
    pub on: Option<String>,
    /// How much was handed back, where the buyer keeps the bike [default: all, and the bike comes back]
    #[arg(
        long,
        alias = "amount",
        value_name = "AMOUNT",
        allow_hyphen_values = true
    )]
    pub refund: Option<String>,
    /// The bike came back although less than its price was handed back
    #[arg(long, requires = "refund")]
    pub bike_back: bool,
    #[command(flatten)]
    pub own: How,
}

const NAMES: Names = &[];

/// The row of what came back.
///
/// # Errors
/// The book has no such bike, it is not sold, or more would be handed back than was
/// paid.
pub(crate) fn typed(
    book: &Book,
    sale: &Sale,
    flags: &ReturnFlags,
    as_of: Day,
) -> Result<Typed<Returns>, Failure> {
    let currency = book.settings().currency;
    let mut settings = how_written::settings(book, as_of)?;
    settings.dates = flags
        .own
        .dates
        .map_or(settings.dates, |dates| Some(dates.order()));
    let on = match &flags.on {
        None => as_of,
        Some(text) => intake::parse_typed_day(text, settings.dates, settings.today)
            .map_err(|problem| Failure::flag("--on", text, &problem))?,
    };
    let sold = sold(sale, on)?;
    let earlier = sale.refunds_of(sold.on, None).filter(|one| one.on != on);
    let earlier: Money = earlier.map(|one| one.refund).sum();
    let left = Money::from_minor(sold.price.minor() - earlier.minor());
    let refund = match &flags.refund {
        None => left,
        Some(text) => {
            let sign = flags.own.decimal.map(how_written::Decimal::sign);
            intake::parse_money(text, &currency, sign.or(settings.book_decimal))
                .map_err(|problem| Failure::flag("--refund", text, &problem))?
        }
    };
    if refund.minor() < 0 || refund > left {
        let most = amounts::exact(left, &currency);
        return Err(Failure::refused(
            format!(
                "--refund '{}': expected an amount from 0 to {most}, what {} was sold for on {}, less what \
                 was handed back before",
                flags.refund.as_deref().unwrap_or_default(),
                sale.id,
                sold.on
            ),
            "Correct the amount, or the sale price first: wheelworth record sale.",
        ));
    }
    let back = flags.refund.is_none() || flags.bike_back;
    let back = back.then_some(sold);
    let one = Return {
        bike: sale.id.clone(),
        on,
        refund,
        back,
    };
    let names = Returns::FIELDS.iter().map(|field| field.name);
    let cells = names.zip(record_cells::back(&one, &currency).into_iter().map(Some));
    Ok(Typed::of(&cells.collect::<Vec<_>>(), NAMES, flags.own))
}

/// The sale that stands on the day.
fn sold(sale: &Sale, on: Day) -> Result<Sold, Failure> {
    let id = &sale.id;
    let Some(sold) = sale.sold else {
        let hint = match sale.returns.iter().rfind(|one| one.back.is_some()) {
            Some(back) => format!("It came back on {} already.", back.on),
            None => "Record the sale first: wheelworth record sale.".into(),
        };
        return Err(Failure::refused(
            format!("--bike '{id}': by the book it is not sold"),
            hint,
        ));
    };
    if on < sold.on {
        return Err(Failure::refused(
            format!("--on '{on}': {id} was sold on {}, after that", sold.on),
            "Give the day on which the money was handed back.",
        ));
    }
    if let Some(again) = sale.returns.iter().find(|one| one.on == on) {
        return Err(Failure::refused(
            format!("--on '{on}': the book has a refund for {id} of that day already"),
            format!(
                "Take that one back first ('wheelworth import --history' lists them) and record all that was handed \
                 back on {} at once.",
                again.on
            ),
        ));
    }
    Ok(sold)
}

impl Recordable for Returns {
    const REQUIRED: &'static [&'static str] = &["bike"];
    const EXAMPLE: &'static str = "return --bike B-7 --refund 20";
    const WITHOUT: &'static [(&'static str, &'static str)] = &[];

    fn start(_: &Book, _: &Typed<Self>, _: Day) -> Result<Vec<String>, Failure> {
        Ok(empty_but::<Self>(&[]))
    }

    fn words(one: &Return, currency: &Currency) -> String {
        let refund = amounts::exact(one.refund, currency);
        let (bike, on) = (&one.bike, one.on);
        match one.back {
            Some(sold) => format!(
                "{bike}, sold on {} for {} {currency}, came back on {on}: {refund} {currency} handed back; it is \
                 stock again. Once you offer it again: wheelworth record sale --bike {} --listed-on DAY --ask AMOUNT",
                sold.on,
                amounts::exact(sold.price, currency),
                quoted(&one.bike)
            ),
            None => {
                format!("{refund} {currency} handed back for {bike} on {on}; the buyer keeps it")
            }
        }
    }
}
