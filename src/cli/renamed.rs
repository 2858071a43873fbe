//! What bikes are called now that were called otherwise.

use crate::book::{Book, BookProblem};
use std::collections::HashMap;

/// Ids that bikes had before they were renamed and that no bike has now, each with what
/// its bike is called now.
///
/// # Errors
/// When the book cannot be read.
pub(crate) fn names_now(book: &Book) -> Result<HashMap<String, String>, BookProblem> {
    let mut now: HashMap<String, String> = HashMap::new();
    for one in book.renames()?.into_iter().rev() {
        let name = now.get(&one.new).cloned().unwrap_or(one.new);
        now.entry(one.old).or_insert(name);
    }
    if now.is_empty() {
        return Ok(now);
    }
    for sale in book.sales()? {
        now.remove(&sale.id);
    }
    Ok(now)
}
