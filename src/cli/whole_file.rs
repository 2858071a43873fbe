//! A file that is read whole or not at all: its rows, or every problem.

use super::failure::Failure;
use crate::intake::{CellProblem, Kind, Reader, RowProblem, Settings};
use crate::report::text::counts;
use crate::report::text::problems;
use std::path::Path;

/// The rows of a file with their lines. `outcome` says what did not happen where one
/// cannot be used.
///
/// # Errors
/// What the file cannot be read for, or every problem of its rows.
pub(super) fn rows<K: Kind>(
    path: &Path,
    settings: &Settings,
    outcome: &str,
) -> Result<Vec<(u64, K::Record)>, Failure> {
    judged_rows::<K>(path, settings, outcome, |_, _| None)
}

/// The same, with what is refused of a row beside those before it: our name of a column,
/// and the problem.
pub(super) fn judged_rows<K: Kind>(
    path: &Path,
    settings: &Settings,
    outcome: &str,
    mut refused: impl FnMut(&K::Record, u64) -> Option<(&'static str, CellProblem)>,
) -> Result<Vec<(u64, K::Record)>, Failure> {
    // What is left out of a file must be told, and here nothing is told but problems.
    let settings = Settings {
        untidy: false,
        ..settings.clone()
    };
    let mut reader = Reader::<K>::open(path, &settings)?;
    let (mut rows, mut problems) = (Vec::new(), Problems::default());
    while let Some(row) = reader.next_row()? {
        let row = match row {
            Ok(row) => row,
            Err(bad) => {
                problems.extend(bad.problems);
                continue;
            }
        };
        match refused(&row.record, row.line) {
            Some((column, problem)) => problems.extend(reader.refuse(column, problem).problems),
            None => rows.push((row.line, row.record)),
        }
    }
    problems.refused(path, outcome)?;
    Ok(rows)
}

/// Problems told; all are counted, so that memory does not grow with the file.
const TOLD: usize = 1000;

/// Problems found so far.
#[derive(Default)]
struct Problems {
    told: Vec<RowProblem>,
    count: usize,
}

impl Problems {
    /// Takes in what is wrong with a row.
    fn extend(&mut self, problems: Vec<RowProblem>) {
        self.count += problems.len();
        let room = TOLD.saturating_sub(self.told.len());
        self.told.extend(problems.into_iter().take(room));
    }

    /// Nothing, or the refusal of the file; `outcome` says what did not happen.
    fn refused(&self, file: &Path, outcome: &str) -> Result<(), Failure> {
        if self.count == 0 {
            return Ok(());
        }
        Err(Failure::refused(
            format!(
                "{} in {}; {outcome}\n\n{}",
                counts::many(self.count, "problem"),
                file.display(),
                problems::render(file, &self.told)
            ),
            "Fix these rows and try again.",
        ))
    }
}
