//! `show`: all that the book knows of one bike or comp.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::renamed::names_now;
use super::{inspections, like_id};
use crate::accounts::life::{Life, lives};
use crate::book::{Book, RowKey};
use crate::intake::made_visible;
use crate::report::bikes::card::{self, BikeCard, Changed, CompCard};
use crate::trade::{Comparable, Day, Money, Sale};
use clap::Args;
use std::collections::HashMap;

/// Show all that the book knows of one bike, or of one comp
///
/// Facts, inspections, offers, costs, asks, the sale, what was left over and in which
/// quarter, and what was changed since it first came in.
///
/// Example: wheelworth show B-7
#[derive(Debug, Args)]
pub(super) struct Show {
    /// The id of a bike, or of a listing
    #[arg(value_name = "ID")]
    pub id: String,
}

/// Prints it.
///
/// # Errors
/// Nothing has the id, or the book cannot be read.
pub(super) fn run(context: &mut Context<'_>, arguments: &Show) -> Result<u8, Failure> {
    let book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let id = arguments.id.trim();
    let sales = book.sales()?;
    let all = lives(&sales, &book.costs()?, &book.asks()?, context.as_of);
    let mut text = String::new();
    let mut values = Vec::new();
    if let Some(life) = all.iter().find(|life| life.sale.id == id) {
        let card = of_bike(&book, &sales, life, context.as_of)?;
        text.push_str(&card::of_bike(&card, &currency));
        values.push(card::bike_json(&card, &currency));
    }
    for comp in comps(&book, id, context.as_of)? {
        let card = CompCard {
            changes: changes(&book, context.as_of, |key| {
                matches!(key, RowKey::Comp { source, listing }
                    if *source == comp.source && *listing == comp.listing)
            })?,
            comp,
        };
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(&card::of_comp(&card, &currency));
        values.push(card::comp_json(&card, &currency));
    }
    if values.is_empty() {
        let names = names_now(&book)?;
        let near = like_id::nearest(all.iter().map(|life| life.sale.id.as_str()), id);
        let hint = if let Some(now) = names.get(id) {
            format!("It is called {now} now.")
        } else if let Some(comp) = seen_alike(&book, id)? {
            format!("Did you mean the comp {}?", made_visible(&comp))
        } else {
            let mean = near.map_or(String::new(), |near| format!("Did you mean {near}? "));
            format!("{mean}'wheelworth list' shows all bikes.")
        };
        return Err(Failure::refused(
            format!("'{id}': the book has no such bike and no such comp"),
            hint,
        ));
    }
    match context.format {
        Format::Text => context.out.write_all(text.as_bytes())?,
        Format::Json => match values.as_slice() {
            [only] => writeln!(context.out, "{only:#}")?,
            several => writeln!(context.out, "{:#}", serde_json::json!(several))?,
        },
    }
    Ok(DONE)
}

/// The day of listing that the record still has from before the bike came back.
fn listed_before(sales: &[Sale], life: &Life, as_of: Day) -> Option<(Day, Option<Money>)> {
    let record = sales.iter().find(|sale| sale.id == life.sale.id)?;
    let day = record.listed_on.filter(|day| *day <= as_of)?;
    let is_over = life.sale.listed_on.is_none();
    is_over.then_some((day, record.ask))
}

fn of_bike(book: &Book, sales: &[Sale], life: &Life, as_of: Day) -> Result<BikeCard, Failure> {
    let id = life.sale.id.as_str();
    let judged = inspections::inspected(&inspections::judged(book, as_of)?);
    let of_it = judged.into_iter().filter(|one| one.bike == id);
    let mut offers = book.offers(as_of)?;
    offers.retain(|offer| offer.bike == id);
    let mut costs = book.costs()?;
    costs.retain(|cost| cost.bike.as_deref() == Some(id) && cost.on <= as_of);
    costs.sort_by_key(|cost| cost.on);
    let mut asks = book.asks()?;
    asks.retain(|change| change.bike == id && change.on <= as_of);
    asks.sort_by_key(|change| change.on);
    let mut changes = changes(book, as_of, |key| match key {
        RowKey::Sale { id: other } => *other == id,
        RowKey::Ask { bike, .. } | RowKey::Return { bike, .. } => *bike == id,
        _ => false,
    })?;
    changes.extend(called_before(book, id)?);
    changes.retain(|change| change.on <= as_of);
    changes.sort_by_key(|change| change.import);
    Ok(BikeCard {
        listed_before: listed_before(sales, life, as_of),
        quarter: life.quarter(book.settings().giving.year_starts),
        inspections: of_it.map(|one| (one.on, one.result)).collect(),
        offers,
        costs,
        asks,
        changes,
        life: life.clone(),
    })
}

/// The ids that a bike had before, from the first to the one it has.
fn called_before(book: &Book, id: &str) -> Result<Vec<Changed>, Failure> {
    let mut found = Vec::new();
    let mut called = id.to_string();
    for one in book.renames()?.into_iter().rev() {
        if one.new == called {
            found.push(Changed {
                import: one.import,
                on: one.on,
                what: format!("renamed from {} to {}", one.old, one.new),
            });
            called = one.old;
        }
    }
    Ok(found)
}

/// The comps with a listing's id, at any source, that were known on the day.
fn comps(book: &Book, listing: &str, as_of: Day) -> Result<Vec<Comparable>, Failure> {
    let mut found = Vec::new();
    book.each_comp(&mut |_, comp| {
        let known = comp.known_from().is_none_or(|from| from <= as_of);
        if comp.listing == listing && known {
            found.push(comp.clone());
        }
    })?;
    Ok(found)
}

/// The listing of a comp that differs from an id by capitals and blanks alone.
fn seen_alike(book: &Book, id: &str) -> Result<Option<String>, Failure> {
    let (said, mut found) = (like_id::seen(id), None);
    book.each_comp(&mut |_, comp| {
        if found.is_none() && like_id::seen(&comp.listing) == said {
            found = Some(comp.listing.clone());
        }
    })?;
    Ok(found)
}

/// What imports up to the day `as_of` changed of the records that `is_it` picks, in the
/// order of the imports.
fn changes(
    book: &Book,
    as_of: Day,
    is_it: impl Fn(&RowKey<'_>) -> bool,
) -> Result<Vec<Changed>, Failure> {
    let days: HashMap<i64, Day> = book
        .history()?
        .into_iter()
        .map(|entry| (entry.number, entry.on))
        .collect();
    let mut found = Vec::new();
    book.each_change(&mut |change| {
        if !is_it(&change.record) {
            return;
        }
        let known = |text: &str| match text {
            "" => "unknown".to_string(),
            text => text.to_string(),
        };
        let field = &change.field;
        found.extend(days.get(&change.import).map(|on| Changed {
            import: change.import,
            on: *on,
            what: format!(
                "{} {} -> {}",
                field.field,
                known(&field.before),
                known(&field.after)
            ),
        }));
    })?;
    found.retain(|change| change.on <= as_of);
    found.sort_by_key(|change| change.import);
    Ok(found)
}
