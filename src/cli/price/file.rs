//! A file that `price` reads without keeping any of it: all rows, or every problem.

use crate::cli::failure::Failure;
use crate::cli::problems::Problems;
use crate::intake::{Kind, Reader, Settings};
use std::path::Path;

/// The rows of a file with their lines.
pub(crate) fn rows<K: Kind>(
    path: &Path,
    settings: &Settings,
) -> Result<Vec<(u64, K::Record)>, Failure> {
    let mut reader = Reader::<K>::open(path, settings)?;
    let (mut rows, mut problems) = (Vec::new(), Problems::default());
    while let Some(row) = reader.next_row()? {
        match row {
            Ok(row) => rows.push((row.line, row.record)),
            Err(bad) => problems.extend(bad.problems),
        }
    }
    problems.refused(path, "nothing was priced")?;
    Ok(rows)
}
