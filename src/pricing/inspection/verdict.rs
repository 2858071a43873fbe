//! What a kept inspection says to whoever sells the bike.

use super::{Assessment, Lid, assess};
use crate::pricing::quote::caution::QuoteCaution;
use crate::trade::calendar::days_between;
use crate::trade::inspection::Inspection;
use crate::trade::{Condition, Day};

/// After so many days an inspection is old (common practice, no source).
pub const OLD_INSPECTION: i64 = 180;

/// An inspection in short, judged anew from what was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InspectionVerdict {
    /// Day of the inspection.
    pub on: Day,
    /// True only when every gate and the road test have passed.
    pub ready: bool,
    /// The condition.
    pub condition: Option<Condition>,
    /// The lowest lid on it.
    pub lid: Option<Lid>,
    /// Gates that have not passed, in the order of the walk.
    pub open_gates: Vec<&'static str>,
    /// Its serial number is missing, scratched out or on a list of stolen bikes.
    pub may_be_stolen: bool,
}

/// What else is known of a bike on the day of the answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Circumstances {
    /// The condition in its record.
    pub recorded: Option<Condition>,
    /// Whether it is on offer.
    pub listed: bool,
    /// The last day up to that of the answer on which a part was paid for.
    pub last_part: Option<Day>,
    /// The day of the answer.
    pub as_of: Day,
}

impl InspectionVerdict {
    /// Judges an inspection.
    pub fn of(inspection: &Inspection) -> Self {
        Self::from_assessment(&assess(&inspection.sheet), inspection.on)
    }

    fn from_assessment(found: &Assessment, on: Day) -> Self {
        Self {
            on,
            ready: found.ready,
            condition: found.condition,
            lid: found.lid(),
            open_gates: found.gates.iter().map(|gate| gate.item.name).collect(),
            may_be_stolen: found.may_be_stolen(),
        }
    }

    /// Whether its frame has failed, so that it is good only for its parts.
    pub fn is_only_parts(&self) -> bool {
        self.lid == Some(Lid::Frame)
    }

    /// The condition that a bike counts as: the recorded one, and no better than the
    /// lids of the inspection allow. An open gate is a lid whether the check has
    /// failed or nobody has made it, as it is for the grade. Where none is recorded
    /// the inspection's counts while a gate is open; otherwise it is not taken over.
    pub fn counts(&self, recorded: Option<Condition>) -> Option<Condition> {
        counts(recorded, self.lid, self.condition)
    }
}

impl Assessment {
    /// The lowest lid on the condition.
    pub fn lid(&self) -> Option<Lid> {
        let lids = self.grade.lids.iter().copied();
        let lowest = lids.min_by_key(|lid| lid.most());
        lowest.filter(|_| self.condition.is_some())
    }

    /// As [`InspectionVerdict::counts`].
    pub fn counts(&self, recorded: Option<Condition>) -> Option<Condition> {
        counts(recorded, self.lid(), self.condition)
    }
}

fn counts(
    recorded: Option<Condition>,
    lid: Option<Lid>,
    inspected: Option<Condition>,
) -> Option<Condition> {
    let most = lid.and_then(|lid| Condition::from_grade(lid.most()));
    match (recorded, most) {
        (Some(recorded), Some(most)) => Some(recorded.min(most)),
        (None, Some(most)) if most <= Condition::Project => inspected,
        _ => recorded,
    }
}

/// The latest inspection of a bike. `inspections`: by day, those of one day as
/// recorded. An earlier one that passed clears nothing that a later one found.
pub fn latest<'a>(inspections: &'a [Inspection], bike: &str) -> Option<&'a Inspection> {
    let of_bike = |inspection: &&Inspection| inspection.bike == bike;
    inspections.iter().rev().find(of_bike)
}

/// What to doubt about the price of an own bike: `verdict` is that of its latest
/// inspection. What is priced is its [`InspectionVerdict::counts`].
pub fn doubts(verdict: Option<&InspectionVerdict>, bike: Circumstances) -> Vec<QuoteCaution> {
    let Some(verdict) = verdict else {
        return vec![QuoteCaution::NotInspected];
    };
    let (on, listed) = (verdict.on, bike.listed);
    let mut doubts = Vec::new();
    if verdict.may_be_stolen {
        doubts.push(QuoteCaution::MayBeStolen { on });
    }
    if verdict.is_only_parts() {
        doubts.push(QuoteCaution::OnlyParts { on, listed });
    } else if !verdict.open_gates.is_empty() {
        let gates = verdict.open_gates.clone();
        doubts.push(QuoteCaution::GatesOpen { on, gates, listed });
    } else if !verdict.ready {
        doubts.push(QuoteCaution::NoRoadTest { on });
    }
    doubts.extend(about_condition(verdict, bike.recorded));
    doubts.extend(about_age(verdict, bike));
    doubts
}

/// Whether the inspection and the record agree on the condition.
fn about_condition(
    verdict: &InspectionVerdict,
    recorded: Option<Condition>,
) -> Option<QuoteCaution> {
    let (inspected, on) = (verdict.condition?, verdict.on);
    match (verdict.counts(recorded), verdict.lid) {
        (Some(counts), Some(lid)) if recorded != Some(counts) => Some(QuoteCaution::CountsAs {
            recorded,
            counts,
            inspected,
            lid,
            on,
        }),
        _ => recorded
            .filter(|recorded| *recorded != inspected)
            .map(|recorded| QuoteCaution::ConditionDiffers {
                recorded,
                inspected,
                on,
            }),
    }
}

/// Whether it still tells of the bike as it is.
fn about_age(verdict: &InspectionVerdict, bike: Circumstances) -> Vec<QuoteCaution> {
    let on = verdict.on;
    let days = days_between(on, bike.as_of);
    let old = (days > OLD_INSPECTION).then_some(QuoteCaution::InspectionOld { on, days });
    let part = bike.last_part.filter(|part| *part > on);
    let changed = part.map(|part| QuoteCaution::ChangedSince { on, part });
    old.into_iter().chain(changed).collect()
}
