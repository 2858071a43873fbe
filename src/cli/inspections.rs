//! The book's inspections as the accounts and the prices need them.

use super::book_records::BookRecords;
use crate::accounts::{Clearance, Inspected};
use crate::book::{Book, BookProblem};
use crate::pricing::inspection::InspectionVerdict;
use crate::pricing::inspection::verdict::{self, Circumstances};
use crate::pricing::quote::caution::QuoteCaution;
use crate::trade::{Condition, Cost, CostKind, Day, Sale};
use std::collections::HashMap;

/// Inspections up to the day `as_of`, judged, with the ids of their bikes: by day,
/// those of one day as recorded.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn judged(
    book: &Book,
    as_of: Day,
) -> Result<Vec<(String, InspectionVerdict)>, BookProblem> {
    let kept = book.inspections(as_of)?.into_iter();
    let judged = kept.map(|inspection| {
        let verdict = InspectionVerdict::of(&inspection);
        (inspection.bike, verdict)
    });
    Ok(judged.collect())
}

/// The same as far as the accounts need them.
pub(super) fn inspected(judged: &[(String, InspectionVerdict)]) -> Vec<Inspected> {
    let short = |(bike, verdict): &(String, InspectionVerdict)| Inspected {
        bike: bike.clone(),
        on: verdict.on,
        result: clearance(verdict),
    };
    judged.iter().map(short).collect()
}

/// Bikes whose latest inspection up to the day `as_of` lets nobody ride or sell them, and
/// what it came to.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn failed(book: &Book, as_of: Day) -> Result<HashMap<String, Clearance>, BookProblem> {
    let judged = judged(book, as_of)?.into_iter();
    let mut latest: HashMap<String, Clearance> = judged
        .map(|(bike, verdict)| (bike, clearance(&verdict)))
        .collect();
    latest.retain(|_, found| !matches!(found, Clearance::Passed | Clearance::NoRoadTest));
    Ok(latest)
}

fn clearance(verdict: &InspectionVerdict) -> Clearance {
    match (verdict.ready, verdict.open_gates.as_slice()) {
        _ if verdict.may_be_stolen => Clearance::NotToBeSold,
        _ if verdict.is_only_parts() => Clearance::OnlyParts,
        (true, _) => Clearance::Passed,
        (false, []) => Clearance::NoRoadTest,
        (false, _) => Clearance::GatesOpen,
    }
}

/// What the latest inspection of an own bike does to its price.
pub(super) struct Told {
    /// What it says; `None` without one.
    pub verdict: Option<InspectionVerdict>,
    /// The condition that is priced.
    pub counts: Option<Condition>,
    /// What there is to doubt.
    pub doubts: Vec<QuoteCaution>,
}

/// The same of one bike. A sold one counts as it was recorded, and its inspection
/// is asked for no more.
///
/// # Errors
/// When the book cannot be read.
pub(super) fn told_of(
    own: &Sale,
    book: &Book,
    records: &BookRecords<'_>,
    as_of: Day,
) -> Result<Told, BookProblem> {
    let kept = book.inspections(as_of)?;
    let verdict = verdict::latest(&kept, &own.id).map(InspectionVerdict::of);
    let recorded = own.bike.condition;
    if own.sold_by(as_of).is_some() {
        return Ok(Told {
            verdict,
            counts: recorded,
            doubts: Vec::new(),
        });
    }
    let circumstances = circumstances(own, records.costs(), as_of);
    Ok(Told {
        counts: counts(verdict.as_ref(), recorded),
        doubts: verdict::doubts(verdict.as_ref(), circumstances),
        verdict,
    })
}

/// The condition that a bike counts as.
pub(super) fn counts(
    verdict: Option<&InspectionVerdict>,
    recorded: Option<Condition>,
) -> Option<Condition> {
    verdict.map_or(recorded, |verdict| verdict.counts(recorded))
}

/// What a price needs to know of a bike beside its inspection. `costs` may be of
/// any bike and day.
pub(super) fn circumstances(sale: &Sale, costs: &[Cost], as_of: Day) -> Circumstances {
    let parts = costs.iter().filter(|cost| {
        cost.kind == CostKind::Part
            && cost.on <= as_of
            && cost.bike.as_deref() == Some(sale.id.as_str())
    });
    Circumstances {
        recorded: sale.bike.condition,
        listed: sale.listed_on.is_some(),
        last_part: parts.map(|cost| cost.on).max(),
        as_of,
    }
}
