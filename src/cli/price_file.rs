//! A file that `price` reads without keeping any of it: all rows, or every problem.

use super::failure::Failure;
use crate::intake::{Kind, Reader, Settings};
use crate::report::problem_text;
use std::path::Path;

/// Problems told, at most.
const TOLD: usize = 1000;

/// The rows of a file with their lines.
pub fn rows<K: Kind>(path: &Path, settings: &Settings) -> Result<Vec<(u64, K::Record)>, Failure> {
    let mut reader = Reader::<K>::open(path, settings)?;
    let (mut rows, mut problems) = (Vec::new(), Vec::new());
    while let Some(row) = reader.next_row()? {
        match row {
            Ok(row) => rows.push((row.line, row.record)),
            Err(bad) => problems.extend(bad.problems),
        }
    }
    if problems.is_empty() {
        return Ok(rows);
    }
    let shown = &problems[..problems.len().min(TOLD)];
    Err(Failure::refused(
        format!(
            "{} problems in {}; nothing was priced\n\n{}",
            problems.len(),
            path.display(),
            problem_text::render(path, shown)
        ),
        "Mend the rows and try again.",
    ))
}
