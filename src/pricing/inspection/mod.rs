//! What an inspection sheet says of a bike: condition, tier, size, gates, jobs.
//!
//! Condition is a grade of our own, from the trade's common practice: points are
//! lost by classes of wear, and faults put a lid on the grade. It depends on the
//! findings alone, never on the order of the rows or on who reads them, so that a
//! grade means the same thing each time.
//!
//! ```
//! use wheelworth::pricing::inspection::assess;
//! use wheelworth::trade::inspection::{CheckResult, Finding, Sheet, item};
//!
//! let mut sheet = Sheet::new();
//! sheet.put(item("front tyre").unwrap(), Finding::of(CheckResult::Fail));
//! let found = assess(&sheet);
//! assert!(!found.ready);
//! assert!(found.condition.unwrap().grade() <= 2);
//! assert_eq!(found.jobs[0].job, "new tyres");
//! ```

pub mod caution;
pub mod gates;
pub mod grade;
pub mod jobs;
pub mod judging;
pub mod size;
pub mod tier;
pub mod verdict;

use crate::trade::inspection::{CheckResult, Finding, Sheet};
use crate::trade::{Condition, Tier};
pub use caution::Caution;
pub use gates::OpenGate;
pub use grade::{Grade, Lid, Lost};
pub use jobs::Job;
pub use judging::{Judged, State, judged};
pub use size::{Method, Size};
pub use tier::{Vote, tier_of};
pub use verdict::Verdict;

/// Everything the sheet says.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// The condition; `None` when no check has a result.
    pub condition: Option<Condition>,
    /// What is behind it.
    pub grade: Grade,
    /// The condition once all jobs are done, as far as the sheet was filled in;
    /// `None` without jobs, and for a failed frame.
    pub when_mended: Option<Condition>,
    /// The component tier; `None` with fewer than three facts.
    pub tier: Option<Tier>,
    /// The facts behind it.
    pub votes: Vec<Vote>,
    /// The size.
    pub size: Size,
    /// True only when every gate has passed and the road test too.
    pub ready: bool,
    /// Gates that have not passed, in the order of the walk.
    pub gates: Vec<OpenGate>,
    /// What the road test says.
    pub road_test: State,
    /// What is to be done, in the order of the walk; nothing with a failed frame.
    pub jobs: Vec<Job>,
    /// Checks that nobody has made, gates left out.
    pub unchecked: Vec<&'static str>,
    /// What to doubt.
    pub cautions: Vec<Caution>,
}

impl Assessment {
    /// Whether its serial number is missing, defaced or in a register: it must not
    /// be sold, however sound it is.
    pub fn may_be_stolen(&self) -> bool {
        let of_the_number = |caution: &Caution| matches!(caution, Caution::Told { item } if item.name == SERIAL_NUMBER);
        self.cautions.iter().any(of_the_number)
    }
}

/// The check of the serial number.
pub const SERIAL_NUMBER: &str = "serial number";

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
    found.cautions = caution::cautions(sheet, &judged, &found);
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
