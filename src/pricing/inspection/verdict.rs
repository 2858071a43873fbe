//! What a kept inspection says to whoever sells the bike.

use super::{Assessment, assess};
use crate::pricing::caution::Caution;
use crate::trade::inspection::Inspection;
use crate::trade::{Condition, Day};

/// An inspection in short, judged anew from what was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// Day of the inspection.
    pub on: Day,
    /// True only when every gate and the road test have passed.
    pub ready: bool,
    /// The condition.
    pub condition: Option<Condition>,
    /// Gates that have not passed, in the order of the walk.
    pub open_gates: Vec<&'static str>,
    /// Its serial number is missing, defaced or in a register.
    pub may_be_stolen: bool,
}

impl Verdict {
    /// Judges an inspection.
    pub fn of(inspection: &Inspection) -> Self {
        Self::from_assessment(&assess(&inspection.sheet), inspection.on)
    }

    fn from_assessment(found: &Assessment, on: Day) -> Self {
        Self {
            on,
            ready: found.ready,
            condition: found.condition,
            open_gates: found.gates.iter().map(|gate| gate.item.name).collect(),
            may_be_stolen: found.may_be_stolen(),
        }
    }
}

/// The latest inspection of a bike. `inspections`: by day, those of one day as
/// recorded. An earlier one that passed clears nothing that a later one found.
pub fn latest<'a>(inspections: &'a [Inspection], bike: &str) -> Option<&'a Inspection> {
    let of_bike = |inspection: &&Inspection| inspection.bike == bike;
    inspections.iter().rev().find(of_bike)
}

/// What to doubt about the price of an own bike: `verdict` is that of its latest
/// inspection, `recorded` the condition that is priced.
pub fn doubts(verdict: Option<&Verdict>, recorded: Option<Condition>) -> Vec<Caution> {
    let Some(verdict) = verdict else {
        return vec![Caution::NotInspected];
    };
    let on = verdict.on;
    let mut doubts = Vec::new();
    if verdict.may_be_stolen {
        doubts.push(Caution::MayBeStolen { on });
    }
    if !verdict.open_gates.is_empty() {
        let gates = verdict.open_gates.clone();
        doubts.push(Caution::GatesOpen { on, gates });
    } else if !verdict.ready {
        doubts.push(Caution::NoRoadTest { on });
    }
    if let Some((recorded, inspected)) = recorded.zip(verdict.condition)
        && recorded != inspected
    {
        doubts.push(Caution::ConditionDiffers {
            recorded,
            inspected,
            on,
        });
    }
    doubts
}
