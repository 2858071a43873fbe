//! What is wrong with the rows of a file that is read whole or not at all.

use super::failure::Failure;
use crate::intake::RowProblem;
use crate::report::text::counts;
use crate::report::text::problems;
use std::path::Path;

/// Problems told; all are counted, so that memory does not grow with the file.
const TOLD: usize = 1000;

/// Problems found so far.
#[derive(Default)]
pub struct Problems {
    told: Vec<RowProblem>,
    count: usize,
}

impl Problems {
    /// Takes in what is wrong with a row.
    pub fn extend(&mut self, problems: Vec<RowProblem>) {
        self.count += problems.len();
        let room = TOLD.saturating_sub(self.told.len());
        self.told.extend(problems.into_iter().take(room));
    }

    /// Nothing, or the refusal of the file; `outcome` says what did not happen.
    pub fn refused(&self, file: &Path, outcome: &str) -> Result<(), Failure> {
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
            "Mend the rows and try again.",
        ))
    }
}
