//! An id that was typed.

use crate::intake::problems::problem::CellProblem;

/// Longest id, in bytes: what is longer is a text that has lost its separators. A
/// choice without a source; addresses of pages, which some use as ids, are shorter.
pub(in crate::intake) const LONGEST_ID: usize = 10_000;

/// Reads an id as the cells of files are: blanks around it are taken away.
///
/// # Errors
/// Nothing, a control character, or more than 10,000 bytes.
pub fn parse_id(text: &str) -> Result<String, CellProblem> {
    let id = text.trim();
    let expected = if id.is_empty() {
        "an id".to_string()
    } else if let Some(found) = id.chars().find(|c| c.is_control()) {
        format!(
            "an id without the control character U+{:04X}",
            u32::from(found)
        )
    } else if id.len() > LONGEST_ID {
        format!("an id of at most {LONGEST_ID} bytes")
    } else {
        return Ok(id.to_string());
    };
    Err(CellProblem::new(
        expected,
        "Write a few letters or digits, such as B-7.",
    ))
}
