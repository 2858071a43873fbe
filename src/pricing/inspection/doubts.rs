//! What to doubt about an inspection.

use super::assessment::Assessment;
use super::caution::InspectionCaution;
use super::grade::Lid;
use super::judging::{Judged, Overruled, State};
use crate::trade::Style;
use crate::trade::inspection::{CheckResult, Sheet, TyreSize, Weight};

/// The doubts, the gravest first.
pub(super) fn cautions(
    sheet: &Sheet,
    judged: &[Judged],
    found: &Assessment,
) -> Vec<InspectionCaution> {
    let mut told = Vec::new();
    if found.condition.is_none() {
        told.push(InspectionCaution::NotInspected);
    }
    if found.grade.lids.contains(&Lid::Frame) {
        told.push(InspectionCaution::FrameFailed);
    }
    overruled(judged, &mut told);
    of_faults(judged, found, &mut told);
    of_checks(sheet, judged, found, &mut told);
    of_tier_and_size(sheet, found, &mut told);
    of_tyres(sheet, &mut told);
    told.push(InspectionCaution::NoCertificate);
    told.push(InspectionCaution::Recalls);
    told
}

fn overruled(judged: &[Judged], told: &mut Vec<InspectionCaution>) {
    let mut without_result = Vec::new();
    for one in judged {
        let item = one.item.name;
        match one.overruled {
            Some(Overruled::ByMeasure { value, limit }) => {
                told.push(InspectionCaution::MeasureDecides {
                    item,
                    ticked: one.ticked,
                    value,
                    limit,
                });
            }
            Some(Overruled::ByFact { fact, says }) => {
                told.push(InspectionCaution::FactSaysFitted { item, fact, says });
            }
            Some(Overruled::Missing) => told.push(InspectionCaution::Missing { item }),
            Some(Overruled::NoResult) => without_result.push(item),
            None => {}
        }
    }
    if !without_result.is_empty() {
        told.push(InspectionCaution::NoResult {
            items: without_result,
        });
    }
}

fn names(judged: &[Judged], wanted: impl Fn(&Judged) -> bool) -> Vec<&'static str> {
    let those = judged.iter().filter(|one| wanted(one));
    those.map(|one| one.item.name).collect()
}

fn of_faults(judged: &[Judged], found: &Assessment, told: &mut Vec<InspectionCaution>) {
    let faults = names(judged, |one| {
        one.check.weight == Weight::Fault && one.has_failed()
    });
    if found.gates.is_empty() && !faults.is_empty() {
        told.push(InspectionCaution::FaultsOpen { items: faults });
    }
    if found.road_test == State::Unchecked && found.condition.is_some() {
        told.push(InspectionCaution::NoRoadTest);
    }
}

fn of_checks(
    sheet: &Sheet,
    judged: &[Judged],
    found: &Assessment,
    told: &mut Vec<InspectionCaution>,
) {
    let unchecked = names(judged, |one| {
        one.state == State::Unchecked && one.check.costs.is_some() && !one.item.is_gate()
    });
    if found.condition.is_some() && !unchecked.is_empty() {
        told.push(InspectionCaution::Unchecked { items: unchecked });
    }
    let recall = sheet.finding("recall check");
    if recall.is_some_and(|f| f.result == CheckResult::Pass && f.note.is_none()) {
        told.push(InspectionCaution::RecallWithoutNote);
    }
    for one in judged {
        if one.check.weight == Weight::Told && one.has_failed() {
            told.push(InspectionCaution::Told { item: one.item });
        }
    }
    let fittings = names(judged, |one| {
        let rules = ["reflectors", "lights", "bell", "guards"];
        let lacking = one.has_failed() || one.state == State::NotFitted;
        lacking && rules.contains(&one.item.name)
    });
    if !fittings.is_empty() {
        told.push(InspectionCaution::Fittings { items: fittings });
    }
}

fn of_tier_and_size(sheet: &Sheet, found: &Assessment, told: &mut Vec<InspectionCaution>) {
    if found.tier.is_none() {
        let facts = ["frame material", "brakes", "wheels", "gears", "crank"];
        let unknown = facts.into_iter().filter(|fact| sheet.word(fact).is_none());
        told.push(InspectionCaution::FewFacts {
            unknown: unknown.collect(),
        });
    }
    if let (true, [first, second, ..]) = (found.size.measure_again, found.size.methods.as_slice()) {
        told.push(InspectionCaution::MeasureAgain {
            first: *first,
            second: *second,
        });
    }
    if found.size.style_assumed {
        told.push(InspectionCaution::StyleAssumed);
    }
    if sheet.style() == Some(Style::Kids) {
        let tyre = sheet
            .tyre("rear tyre size")
            .or(sheet.tyre("front tyre size"));
        told.push(InspectionCaution::SizedByWheels { tyre });
    }
}

fn of_tyres(sheet: &Sheet, told: &mut Vec<InspectionCaution>) {
    let sizes = (sheet.tyre("front tyre size"), sheet.tyre("rear tyre size"));
    if let (Some(front), Some(rear)) = sizes
        && front.bead != rear.bead
    {
        told.push(InspectionCaution::TwoBeads { front, rear });
    }
    let mut strange: Vec<TyreSize> = [sizes.0, sizes.1].into_iter().flatten().collect();
    strange.retain(|size| size.called().is_none());
    strange.dedup_by_key(|size| size.bead);
    told.extend(
        strange
            .into_iter()
            .map(|tyre| InspectionCaution::UnknownBead { tyre }),
    );
}
