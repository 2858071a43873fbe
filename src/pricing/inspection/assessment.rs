//! Everything an inspection sheet says.

use super::caution::InspectionCaution;
use super::gates::OpenGate;
use super::grade::Grade;
use super::jobs::Job;
use super::judging::State;
use super::size::Size;
use super::tier::Vote;
use crate::trade::{Condition, Tier};

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
    pub cautions: Vec<InspectionCaution>,
}

impl Assessment {
    /// Whether its serial number is missing, scratched out or on a list of stolen bikes: it must not
    /// be sold, however sound it is.
    pub fn may_be_stolen(&self) -> bool {
        let of_the_number = |caution: &InspectionCaution| matches!(caution, InspectionCaution::Told { item } if item.name == SERIAL_NUMBER);
        self.cautions.iter().any(of_the_number)
    }
}

/// The check of the serial number.
pub const SERIAL_NUMBER: &str = "serial number";
