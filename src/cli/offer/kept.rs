//! Offers that are kept: into the book, and out of it beside what came of them.

use crate::accounts::forecast::{errors, forecasts};
use crate::book::Book;
use crate::cli::context::{Context, DONE, Format};
use crate::cli::failure::Failure;
use crate::cli::like_id;
use crate::pricing::offer::{Offer, OfferCorrection, OfferQuestion};
use crate::report::offer::{json, kept};
use crate::trade::inspection::Sheet;
use crate::trade::{Bike, Day, KeptOffer, Money};

/// The bike under whose id an offer is kept.
pub(crate) struct Own {
    /// Its id.
    pub id: String,
    /// Its features, when it is in the book.
    pub bike: Option<Bike>,
    /// What the book says that the owner guessed it to bring.
    pub guess: Option<Money>,
    /// Its latest inspection, when it is in the book.
    pub sheet: Option<Sheet>,
    /// The day it was bought, when that is known.
    bought_on: Option<Day>,
}

/// What the book knows of the bike.
///
/// # Errors
/// An id that cannot be one, or of a bike that is sold; the book cannot be read.
pub(crate) fn own(book: &Book, id: &str, context: &Context<'_>) -> Result<Own, Failure> {
    let trimmed = id.trim();
    if trimmed.is_empty() || trimmed.chars().any(char::is_control) {
        return Err(Failure::usage(
            format!(
                "--bike {id:?}: expected an id without line breaks and other control characters"
            ),
            "Give the id that the bike will have among your sales, such as B-46.",
        ));
    }
    let sale = book
        .sale(trimmed)?
        .and_then(|sale| sale.as_known_on(context.as_of));
    if let Some(sold) = sale.as_ref().and_then(|sale| sale.sold) {
        return Err(Failure::refused(
            format!(
                "--bike '{trimmed}': it was sold on {}; no offer was kept",
                sold.on
            ),
            "Give the id that the new bike will have: every bike has one of its own.",
        ));
    }
    if let Some(left) = sale.as_ref().and_then(|sale| sale.left.as_ref()) {
        return Err(Failure::refused(
            format!(
                "--bike '{trimmed}': it left on {} ({}); no offer was kept",
                left.on, left.how
            ),
            "Give the id that the new bike will have: every bike has one of its own.",
        ));
    }
    let sheet = match &sale {
        Some(_) => {
            let all = book.inspections(context.as_of)?;
            let latest = all.into_iter().rev().find(|one| one.bike == trimmed);
            latest.map(|one| one.sheet)
        }
        None => None,
    };
    Ok(Own {
        id: trimmed.to_string(),
        bike: sale.as_ref().map(|sale| sale.bike),
        guess: sale.as_ref().and_then(|sale| sale.guess),
        sheet,
        bought_on: sale.and_then(|sale| sale.bought_on),
    })
}

/// What became of an offer that was to be kept.
pub(crate) enum Kept {
    /// There is no price to hold an outcome against.
    Not,
    /// It is in the book.
    In {
        /// The bike's id.
        bike: String,
        /// Number of the import; `None` when the same offer was there.
        import: Option<i64>,
        /// The owner's guess, as it is typed; empty without one.
        guess: String,
        /// The bike had been bought on this day already.
        bought_on: Option<Day>,
    },
}

/// Keeps the offer.
///
/// # Errors
/// The book cannot be written.
pub(crate) fn keep(
    book: &mut Book,
    own: &Own,
    question: &OfferQuestion,
    offer: &Offer,
    on: Day,
) -> Result<Kept, Failure> {
    let (Some(best), Some(most)) = (&offer.best, offer.most_to_pay) else {
        return Ok(Kept::Not);
    };
    let currency = book.settings().currency;
    let fees = offer.terms.fee * currency.units(best.expected_sale);
    let kept = KeptOffer {
        bike: own.id.clone(),
        on,
        asking: offer.verdict.map(|verdict| verdict.asking),
        margin: offer.terms.margin,
        most_mean: most.mean,
        most_cautious: most.cautious,
        jobs: best.jobs.clone(),
        cost: best.cost,
        hours: best.hours,
        fees: currency.round(fees).unwrap_or(Money::ZERO),
        price: best.expected_sale,
        days: (10.0 * best.plan.outlook.expected_days).round() as i64,
        condition: best.bike.condition,
        tier: best.bike.tier,
        found: Some(question.bike),
    };
    let mut import = book.begin_import("offer", &format!("{} on {on}", own.id), on)?;
    import.put_offer(&kept)?;
    Ok(Kept::In {
        bike: kept.bike,
        import: import.commit()?.number,
        guess: question.guess.map_or(String::new(), |guess| {
            format!(" --guess {}", currency.plain(guess))
        }),
        bought_on: own.bought_on.filter(|day| *day < on),
    })
}

impl Kept {
    /// The last lines of the answer.
    pub(crate) fn ending(&self) -> String {
        match self {
            Kept::Not => "No offer was kept: there is no price to hold an outcome against.".into(),
            Kept::In {
                bike,
                import,
                guess,
                bought_on,
            } => {
                let kept = match import {
                    Some(n) => format!(
                        "Offer for {bike} kept as import {n}; 'wheelworth import --undo {n}' takes it back."
                    ),
                    None => format!("This offer for {bike} is in the book already."),
                };
                let next = match bought_on {
                    Some(day) => format!(
                        "{bike} was bought on {day}, before this offer, so it is no bid and teaches nothing."
                    ),
                    None => format!(
                        "If you buy it: wheelworth record sale --bike {bike} --purchase AMOUNT{guess} …; once it is sold, \
                         'wheelworth offer --kept' shows this forecast beside what came of it."
                    ),
                };
                format!("{kept}\n{next}")
            }
        }
    }

    /// The same for JSON; `None` when it was not kept.
    pub(crate) fn for_json(&self) -> Option<json::Kept<'_>> {
        match self {
            Kept::Not => None,
            Kept::In { bike, import, .. } => Some(json::Kept {
                bike,
                import: *import,
            }),
        }
    }
}

/// Shows the kept offers, all or those of one bike.
///
/// # Errors
/// The book cannot be read, or holds no offer for the bike.
pub(crate) fn show(context: &mut Context<'_>, id: Option<&str>) -> Result<u8, Failure> {
    let book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let offers = book.offers(context.as_of)?;
    let mut all = forecasts(&offers, &book.sales()?, &book.costs()?, context.as_of);
    let taught = OfferCorrection::from_errors(&errors(&all));
    if let Some(id) = id.map(str::trim) {
        all.retain(|one| one.offer.bike == id);
        if all.is_empty() {
            let ids = offers.iter().map(|offer| offer.bike.as_str());
            let near = like_id::nearest(ids, id)
                .map_or(String::new(), |near| format!("Did you mean {near}? "));
            return Err(Failure::refused(
                format!(
                    "--bike '{id}': no offer for it is kept up to {}",
                    context.as_of
                ),
                format!("{near}'wheelworth offer --kept' shows all that are."),
            ));
        }
    }
    let text = match context.format {
        Format::Text => kept::text::text(&all, &taught, context.as_of, &currency),
        Format::Json => {
            kept::json::json(&all, &taught, context.as_of, &currency).map_err(Failure::unwritten)?
        }
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}
