//! `rename`: another id for a bike.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::like_id;
use super::renamed::names_now;
use crate::book::Book;
use crate::intake::parse_id;
use crate::trade::Day;
use clap::Args;

/// Give a bike another id, its history kept
///
/// Its sale, costs, asks, inspections, offers and what was changed of it stay with it.
/// Reports of closed quarters stay as they were handed out.
///
/// Example: wheelworth rename B-7 2025-B-7
#[derive(Debug, Args)]
pub(super) struct Rename {
    /// The id that it has
    #[arg(value_name = "OLD", allow_hyphen_values = true)]
    pub old: String,
    /// The id that it is to have; no other bike may have it
    #[arg(value_name = "NEW", allow_hyphen_values = true)]
    pub new: String,
}

/// Renames it and says how to take that back.
///
/// # Errors
/// No such bike, an id that is taken or cannot be one, or the book cannot be written.
pub(super) fn run(context: &mut Context<'_>, arguments: &Rename) -> Result<u8, Failure> {
    let mut book = Book::open(&context.book)?;
    let old = arguments.old.trim();
    if book.sale(old)?.is_none() {
        return Err(unknown(&book, old)?);
    }
    let new = parse_id(&arguments.new)
        .map_err(|problem| Failure::flag("NEW", &arguments.new, &problem))?;
    if new == old {
        return Err(Failure::refused(
            format!("{old} has that id already"),
            "Give another one.",
        ));
    }
    let number = book.rename_bike(old, &new, context.as_of)?;
    if context.format == Format::Json {
        let text = serde_json::json!({"import": number, "old": old, "new": new});
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    writeln!(
        context.out,
        "{old} is called {new} from now on.\nImport {number}; 'wheelworth import --undo {number}' takes it back."
    )?;
    if !book.closings(Day::MAX)?.is_empty() {
        writeln!(
            context.out,
            "Reports of closed quarters stay as they were handed out."
        )?;
    }
    writeln!(
        context.out,
        "Change it in your own list too: a row that still says {old} is refused."
    )?;
    Ok(DONE)
}

/// The failure for an id that no bike has.
fn unknown(book: &Book, id: &str) -> Result<Failure, Failure> {
    let hint = if let Some(now) = names_now(book)?.get(id) {
        format!("It is called {now} now.")
    } else {
        let sales = book.sales()?;
        let near = like_id::nearest(sales.iter().map(|sale| sale.id.as_str()), id);
        near.map_or("'wheelworth list' shows all bikes.".into(), |near| {
            format!("Did you mean {near}? 'wheelworth list' shows all bikes.")
        })
    };
    Ok(Failure::refused(
        format!("'{id}': the book has no such bike"),
        hint,
    ))
}
