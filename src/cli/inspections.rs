//! The book's inspections as the accounts need them.

use crate::accounts::{Clearance, Inspected};
use crate::book::{Book, BookProblem};
use crate::pricing::inspection::Verdict;
use crate::trade::Day;

/// Inspections up to the day `as_of`, by day, those of one day as recorded.
///
/// # Errors
/// When the book cannot be read.
pub fn inspected(book: &Book, as_of: Day) -> Result<Vec<Inspected>, BookProblem> {
    let kept = book.inspections(as_of)?;
    let judged = kept.into_iter().map(|inspection| {
        let verdict = Verdict::of(&inspection);
        let result = match (verdict.ready, verdict.open_gates.as_slice()) {
            _ if verdict.may_be_stolen => Clearance::NotToBeSold,
            (true, _) => Clearance::Passed,
            (false, []) => Clearance::NoRoadTest,
            (false, _) => Clearance::GatesOpen,
        };
        Inspected {
            bike: inspection.bike,
            on: inspection.on,
            result,
        }
    });
    Ok(judged.collect())
}
