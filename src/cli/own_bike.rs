//! A bike of the book that a command is asked about.

use super::book_records::BookRecords;
use super::failure::Failure;
use super::like_id;
use crate::pricing::Records as _;
use crate::trade::{Day, Sale};

/// A bike of the book as it was known on a day, sold or on hand.
///
/// # Errors
/// There is none of that id, not yet on that day, or it left without a sale.
pub(crate) fn own_bike(records: &BookRecords<'_>, id: &str, as_of: Day) -> Result<Sale, Failure> {
    let all = records.sales();
    if let Some(sale) = all.iter().find(|s| s.id == id) {
        let known = sale.as_known_on(as_of).ok_or_else(|| {
            Failure::refused(
                format!("--bike '{id}': was not there yet on {as_of}"),
                "Choose a later --as-of, or leave it out.",
            )
        })?;
        return match &known.left {
            None => Ok(known),
            Some(left) => Err(Failure::refused(
                format!("--bike '{id}': it left on {} ({})", left.on, left.how),
                "For one like it give its features: --style, --made and so on.",
            )),
        };
    }
    let near = like_id::nearest(all.iter().map(|sale| sale.id.as_str()), id);
    let hint = near.map_or("'wheelworth list' shows the ids.".to_string(), |name| {
        format!("Did you mean {name}?")
    });
    Err(Failure::refused(
        format!("--bike '{id}': the book has no such bike"),
        hint,
    ))
}
