//! What to doubt about an inspection.

use super::judging::{Judged, Overruled, State};
use super::{Assessment, Method};
use crate::trade::Style;
use crate::trade::inspection::{CheckResult, Item, Limit, Sheet, TyreSize, Weight};

/// A doubt with its numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Caution {
    /// No check has a result.
    NotInspected,
    /// The frame has failed.
    FrameFailed,
    /// A measure is beyond the limit of a check that was not failed.
    MeasureDecides {
        /// The item.
        item: &'static str,
        /// What was ticked.
        ticked: CheckResult,
        /// The measure, in the limit's unit.
        value: i64,
        /// The limit.
        limit: Limit,
    },
    /// A measure, and no result.
    NoResult {
        /// The items.
        items: Vec<&'static str>,
    },
    /// Said not to be fitted, and no sound bike is without it.
    Missing {
        /// The item.
        item: &'static str,
    },
    /// Said not to be fitted, and a fact says otherwise.
    FactSaysFitted {
        /// The item.
        item: &'static str,
        /// The fact.
        fact: &'static str,
        /// What it says.
        says: &'static str,
    },
    /// Faults that are no gates have failed on a bike whose gates have passed.
    FaultsOpen {
        /// The items.
        items: Vec<&'static str>,
    },
    /// No road test.
    NoRoadTest,
    /// Checks that nobody made, each at half its points.
    Unchecked {
        /// The items.
        items: Vec<&'static str>,
    },
    /// The recall check has passed without a note on the day and the place.
    RecallWithoutNote,
    /// Something that costs no points has failed.
    Told {
        /// The item.
        item: &'static Item,
    },
    /// Reflectors, lights, bell or guards failed or missing: local rules.
    Fittings {
        /// The items.
        items: Vec<&'static str>,
    },
    /// Too few facts for a tier.
    FewFacts {
        /// Facts that are not known.
        unknown: Vec<&'static str>,
    },
    /// The two methods are more than one class apart.
    MeasureAgain {
        /// The seat tube.
        first: Method,
        /// The other.
        second: Method,
    },
    /// The style is not known, so the table for hybrids was used.
    StyleAssumed,
    /// A child's bike is sized by its wheels.
    SizedByWheels {
        /// Size of the rear tyre, or of the front one.
        tyre: Option<TyreSize>,
    },
    /// The wheels are of two sizes.
    TwoBeads {
        /// Front.
        front: TyreSize,
        /// Rear.
        rear: TyreSize,
    },
    /// A bead-seat diameter that is in no table of ours.
    UnknownBead {
        /// The size.
        tyre: TyreSize,
    },
    /// A check list is no certificate; always told.
    NoCertificate,
    /// Recalls; always told.
    Recalls,
}

/// The doubts, the gravest first.
pub(super) fn cautions(sheet: &Sheet, judged: &[Judged], found: &Assessment) -> Vec<Caution> {
    let mut told = Vec::new();
    if found.condition.is_none() {
        told.push(Caution::NotInspected);
    }
    if found.grade.lids.contains(&super::Lid::Frame) {
        told.push(Caution::FrameFailed);
    }
    overruled(judged, &mut told);
    of_faults(judged, found, &mut told);
    of_checks(sheet, judged, found, &mut told);
    of_tier_and_size(sheet, found, &mut told);
    of_tyres(sheet, &mut told);
    told.push(Caution::NoCertificate);
    told.push(Caution::Recalls);
    told
}

fn overruled(judged: &[Judged], told: &mut Vec<Caution>) {
    let mut without_result = Vec::new();
    for one in judged {
        let item = one.item.name;
        match one.overruled {
            Some(Overruled::ByMeasure { value, limit }) => told.push(Caution::MeasureDecides {
                item,
                ticked: one.ticked,
                value,
                limit,
            }),
            Some(Overruled::ByFact { fact, says }) => {
                told.push(Caution::FactSaysFitted { item, fact, says });
            }
            Some(Overruled::Missing) => told.push(Caution::Missing { item }),
            Some(Overruled::NoResult) => without_result.push(item),
            None => {}
        }
    }
    if !without_result.is_empty() {
        told.push(Caution::NoResult {
            items: without_result,
        });
    }
}

fn names(judged: &[Judged], wanted: impl Fn(&Judged) -> bool) -> Vec<&'static str> {
    let those = judged.iter().filter(|one| wanted(one));
    those.map(|one| one.item.name).collect()
}

fn of_faults(judged: &[Judged], found: &Assessment, told: &mut Vec<Caution>) {
    let faults = names(judged, |one| {
        one.check.weight == Weight::Fault && one.has_failed()
    });
    if found.gates.is_empty() && !faults.is_empty() {
        told.push(Caution::FaultsOpen { items: faults });
    }
    if found.road_test == State::Unchecked && found.condition.is_some() {
        told.push(Caution::NoRoadTest);
    }
}

fn of_checks(sheet: &Sheet, judged: &[Judged], found: &Assessment, told: &mut Vec<Caution>) {
    let unchecked = names(judged, |one| {
        one.state == State::Unchecked && one.check.costs.is_some() && !one.item.is_gate()
    });
    if found.condition.is_some() && !unchecked.is_empty() {
        told.push(Caution::Unchecked { items: unchecked });
    }
    let recall = sheet.finding("recall check");
    if recall.is_some_and(|f| f.result == CheckResult::Pass && f.note.is_none()) {
        told.push(Caution::RecallWithoutNote);
    }
    for one in judged {
        if one.check.weight == Weight::Told && one.has_failed() {
            told.push(Caution::Told { item: one.item });
        }
    }
    let fittings = names(judged, |one| {
        let rules = ["reflectors", "lights", "bell", "guards"];
        let lacking = one.has_failed() || one.state == State::NotFitted;
        lacking && rules.contains(&one.item.name)
    });
    if !fittings.is_empty() {
        told.push(Caution::Fittings { items: fittings });
    }
}

fn of_tier_and_size(sheet: &Sheet, found: &Assessment, told: &mut Vec<Caution>) {
    if found.tier.is_none() {
        let facts = ["frame material", "brakes", "wheels", "gears", "crank"];
        let unknown = facts.into_iter().filter(|fact| sheet.word(fact).is_none());
        told.push(Caution::FewFacts {
            unknown: unknown.collect(),
        });
    }
    if let (true, [first, second, ..]) = (found.size.measure_again, found.size.methods.as_slice()) {
        told.push(Caution::MeasureAgain {
            first: *first,
            second: *second,
        });
    }
    if found.size.style_assumed {
        told.push(Caution::StyleAssumed);
    }
    if sheet.style() == Some(Style::Kids) {
        let tyre = sheet
            .tyre("rear tyre size")
            .or(sheet.tyre("front tyre size"));
        told.push(Caution::SizedByWheels { tyre });
    }
}

fn of_tyres(sheet: &Sheet, told: &mut Vec<Caution>) {
    let sizes = (sheet.tyre("front tyre size"), sheet.tyre("rear tyre size"));
    if let (Some(front), Some(rear)) = sizes
        && front.bead != rear.bead
    {
        told.push(Caution::TwoBeads { front, rear });
    }
    let mut strange: Vec<TyreSize> = [sizes.0, sizes.1].into_iter().flatten().collect();
    strange.retain(|size| size.called().is_none());
    strange.dedup_by_key(|size| size.bead);
    told.extend(
        strange
            .into_iter()
            .map(|tyre| Caution::UnknownBead { tyre }),
    );
}
