//! The condition: points lost by classes of wear, and what puts a lid on it.
//!
//! ```text
//! lost(class) = min(most(class), sum over its checks of
//!                   points            if it has failed
//!                   ceil(points / 2)  if it is worn, or nobody has looked
//!                   0                 otherwise)
//! points      = sum of lost(class)
//! condition   = 5 up to 10 points, 4 up to 25, 3 up to 45, 2 up to 70, else 1
//! ```
//! and at most 4 without a road test that was passed, 3 with a mechanical fault
//! that is no gate, 2 with an open gate, 1 with a failed frame. All of it is
//! judgement, without a source. What nobody has looked at costs half: it is not
//! known to be good, nor to be bad.

use super::judging::{Judged, State, is_fault, state_of};
use crate::trade::Condition;
use crate::trade::inspection::{Wear, Weight};

/// The item without which a bike is good only for its parts.
pub(super) const FRAME: &str = "frame";

/// Number of the rule by which grades are made; a change of points, steps, lids or
/// items that changes any grade raises it.
pub const RULE: u32 = 1;

/// Most points of the conditions 5, 4, 3 and 2.
const STEPS: [u32; 4] = [10, 25, 45, 70];

/// Why the condition is no better, whatever the points are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lid {
    /// The frame has failed: at most 1.
    Frame,
    /// A gate is open: at most 2.
    Gate,
    /// A mechanical fault that is no gate: at most 3.
    Fault,
    /// No road test was passed: at most 4.
    NoRoadTest,
}

impl Lid {
    /// The best grade under it.
    pub fn most(self) -> u8 {
        match self {
            Lid::Frame => 1,
            Lid::Gate => 2,
            Lid::Fault => 3,
            Lid::NoRoadTest => 4,
        }
    }
}

/// The points of one class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lost {
    /// The class.
    pub class: Wear,
    /// Points lost, at most those of the class.
    pub points: u32,
    /// Checks behind them, with what each comes to and costs.
    pub by: Vec<(&'static str, State, u32)>,
}

/// The condition and what is behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grade {
    /// Under the lids.
    pub condition: Condition,
    /// By the points alone.
    pub by_points: Condition,
    /// Points lost, 0 to 100.
    pub points: u32,
    /// Points by class, in the order of [`Wear`]; classes that lost none are left
    /// out.
    pub lost: Vec<Lost>,
    /// What put a lid on it, the lowest first; those that the points are below
    /// already are among them.
    pub lids: Vec<Lid>,
}

/// Grades the judged checks.
pub fn grade(judged: &[Judged]) -> Grade {
    let lost: Vec<Lost> = Wear::ALL
        .iter()
        .map(|class| lost(*class, judged))
        .filter(|lost| lost.points > 0)
        .collect();
    let points = lost.iter().map(|lost| lost.points).sum();
    let by_points = by_points(points);
    let lids = lids(judged);
    let most = lids.iter().map(|lid| lid.most()).min().unwrap_or(5);
    let condition = Condition::from_grade(by_points.grade().min(most)).unwrap_or(by_points);
    Grade {
        condition,
        by_points,
        points,
        lost,
        lids,
    }
}

fn by_points(points: u32) -> Condition {
    let above = STEPS.iter().filter(|most| points > **most).count();
    let best_first = [
        Condition::Mint,
        Condition::Tidy,
        Condition::Rider,
        Condition::Project,
        Condition::Donor,
    ];
    best_first[above]
}

fn lost(class: Wear, judged: &[Judged]) -> Lost {
    let mut by = Vec::new();
    for one in judged {
        let Some((wear, points)) = one.check.costs else {
            continue;
        };
        let cost = match one.state {
            State::Fail => points,
            State::Worn | State::Unchecked => points.div_ceil(2),
            State::Pass | State::NotFitted => 0,
        };
        if wear == class && cost > 0 {
            by.push((one.item.name, one.state, cost));
        }
    }
    let sum: u32 = by.iter().map(|(_, _, cost)| cost).sum();
    Lost {
        class,
        points: sum.min(class.most()),
        by,
    }
}

/// A gate that is not clear is open, whatever the reason. The road test is an
/// open gate when it has failed.
pub(super) fn is_open(one: &Judged) -> bool {
    match one.check.weight {
        Weight::Gate => !one.state.is_clear(),
        Weight::RoadTest => one.has_failed(),
        Weight::Fault | Weight::Looks | Weight::Told => false,
    }
}

fn lids(judged: &[Judged]) -> Vec<Lid> {
    let failed_fault = |one: &Judged| is_fault(&one.check) && one.has_failed();
    let found = [
        (Lid::Frame, state_of(judged, FRAME) == State::Fail),
        (Lid::Gate, judged.iter().any(is_open)),
        (Lid::Fault, judged.iter().any(failed_fault)),
        (
            Lid::NoRoadTest,
            state_of(judged, "road test") != State::Pass,
        ),
    ];
    let there = found.iter().filter(|(_, there)| *there);
    there.map(|(lid, _)| *lid).collect()
}
