//! From a sheet to what it says.

use super::assessment::Assessment;
use super::grade::Lid;
use super::judging::{self, Judged, State, judged};
use super::{doubts, gates, grade, jobs, size, tier};
use crate::trade::Condition;
use crate::trade::inspection::{CheckResult, Finding, Sheet};

/// Judges a sheet.
pub fn assess(sheet: &Sheet) -> Assessment {
    let judged = judged(sheet);
    let gates = gates::open_gates(&judged, sheet);
    let inspected = judged
        .iter()
        .any(|one| one.state != State::Unchecked || one.ticked != CheckResult::Unchecked);
    let grade = grade::grade(&judged);
    let road_test = judging::state_of(&judged, "road test");
    // A failed frame carries no work: nothing is to be spent on it.
    let jobs = if grade.lids.contains(&Lid::Frame) {
        Vec::new()
    } else {
        jobs::jobs(&judged)
    };
    let (votes, tier) = tier::tier(sheet);
    let size = size::size(sheet);
    let unchecked: Vec<&'static str> = judged
        .iter()
        .filter(|one| one.state == State::Unchecked && !one.item.is_gate())
        .map(|one| one.item.name)
        .collect();
    let mut found = Assessment {
        condition: inspected.then_some(grade.condition),
        when_mended: when_mended(sheet, &judged).filter(|_| inspected && !jobs.is_empty()),
        grade,
        tier,
        votes,
        size,
        ready: inspected && gates.is_empty() && road_test == State::Pass,
        gates,
        road_test,
        jobs,
        unchecked,
        cautions: Vec::new(),
    };
    found.cautions = doubts::cautions(sheet, &judged, &found);
    found
}

/// The condition if every job were done; what no job mends (scratched paint) stays
/// as it is. `None` for a failed frame.
fn when_mended(sheet: &Sheet, judged: &[Judged]) -> Option<Condition> {
    let mut mended = sheet.clone();
    for one in judged.iter().filter(|one| one.has_failed()) {
        if one.item.name == grade::FRAME {
            return None;
        }
        if one.check.job.is_some() {
            mended.put(one.item, Finding::of(CheckResult::Pass));
        }
    }
    Some(grade::grade(&judging::judged(&mended)).condition)
}
