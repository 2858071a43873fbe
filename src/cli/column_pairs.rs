//! `--column OURS=THEIRS` of the commands that read files.

use super::failure::Failure;
use crate::intake::column_pair;

/// The pairs (ours, theirs) of `--column OURS=THEIRS`.
pub(super) fn column_pairs(texts: &[String]) -> Result<Vec<(String, String)>, Failure> {
    let pair = |text: &String| {
        column_pair(text).ok_or_else(|| {
            Failure::usage(
                format!("--column '{text}': expected OURS=THEIRS"),
                "Give our name, =, and the file's name of a column: --column bike=No.",
            )
        })
    };
    texts.iter().map(pair).collect()
}
