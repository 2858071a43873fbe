//! Inspections as far as the accounts need them.

use crate::trade::Day;

/// An inspection of a bike. What it comes to is judged elsewhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inspected {
    /// The bike's id.
    pub bike: String,
    /// Day of the inspection.
    pub on: Day,
    /// What it came to.
    pub result: Clearance,
}

/// What an inspection came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clearance {
    /// Every gate and the road test have passed.
    Passed,
    /// Every gate has passed, and no road test.
    NoRoadTest,
    /// A gate is open.
    GatesOpen,
    /// The frame has failed: it is good only for its parts.
    OnlyParts,
    /// It may be stolen: it must not be sold, whatever else has passed.
    NotToBeSold,
}

/// The latest inspection of a bike up to a day. `inspections`: by day, those of
/// one day as recorded.
pub fn latest<'a>(inspections: &'a [Inspected], bike: &str, day: Day) -> Option<&'a Inspected> {
    let counts = |one: &&Inspected| one.on <= day && one.bike == bike;
    inspections.iter().rev().find(counts)
}
