//! What each check comes to, from its tick and its measure together.
//!
//! A measure beyond the limit counts as a fail whatever was ticked, with a
//! caution: refusing the sheet would leave its reader without an answer, and to
//! believe the tick could send somebody out on a worn-out rim. A measure within
//! the limit does not make a pass: there is more to look at than the number. 'Not
//! fitted' clears an item only where a sound bike may be without it.

use crate::trade::Style;
use crate::trade::inspection::{
    Bound, Check, CheckResult, Degree, Item, Limit, Measure, Sheet, Unit, Weight, items,
};

/// 76 mm for children's hands (16 CFR 1512.5(b)(3), where it is asked of sidewalk
/// bicycles, those with a saddle of at most 635 mm).
const REACH_FOR_KIDS: i64 = 760;
/// Chains for 11 and more sprockets are changed from 0.5 % on, those of a single
/// sprocket at 1 % (common practice).
const NARROW_CHAIN: i64 = 50;
const SINGLE_CHAIN: i64 = 100;

/// Of a fact that is left open.
const NOT_SAID: &str = "not written down";

/// What a check comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It has passed.
    Pass,
    /// It has passed, and its measure says that the part is worn.
    Worn,
    /// It has failed.
    Fail,
    /// Nobody has looked, or what is said contradicts itself.
    Unchecked,
    /// The bike is without it and may be.
    NotFitted,
}

impl State {
    /// Whether nothing stands against it.
    pub fn is_clear(self) -> bool {
        matches!(self, State::Pass | State::Worn | State::NotFitted)
    }
}

/// Why the tick was not taken as it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Overruled {
    /// The measure is beyond the limit.
    ByMeasure {
        /// The measure, in the limit's unit.
        value: i64,
        /// The limit that was applied.
        limit: Limit,
    },
    /// It is said not to be fitted, and a fact says that it is.
    ByFact {
        /// The fact.
        fact: &'static str,
        /// What it says.
        says: &'static str,
    },
    /// It has a measure within the limit and no result.
    NoResult,
    /// It is said not to be fitted, and no sound bike is without it.
    Missing,
}

/// A check and what it comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judged {
    /// The item.
    pub item: &'static Item,
    /// Its check.
    pub check: Check,
    /// What was ticked.
    pub ticked: CheckResult,
    /// What it comes to.
    pub state: State,
    /// Why that is something else than was ticked.
    pub overruled: Option<Overruled>,
}

impl Judged {
    /// Whether it has failed, by tick, by measure or because it is missing.
    pub fn has_failed(&self) -> bool {
        self.state == State::Fail
    }
}

/// Every check of the sheet, in the order of the walk.
pub fn judged(sheet: &Sheet) -> Vec<Judged> {
    let checks = items().filter_map(|item| Some((item, *item.as_check()?)));
    checks
        .map(|(item, check)| judge(sheet, item, check))
        .collect()
}

/// What the check of this name comes to.
pub fn state_of(judged: &[Judged], name: &str) -> State {
    let found = judged.iter().find(|one| one.item.name == name);
    found.map_or(State::Unchecked, |one| one.state)
}

fn judge(sheet: &Sheet, item: &'static Item, check: Check) -> Judged {
    let ticked = sheet.result(item.name);
    let limit = check.limit.map(|limit| limit_for(sheet, item, limit));
    let value = sheet.measure(item.name).and_then(number);
    let measured = limit.zip(value);
    let degree = measured.map(|(limit, value)| limit.judge(value));
    let (state, overruled) = match (ticked, degree) {
        (CheckResult::Fail, _) => (State::Fail, None),
        (CheckResult::NotFitted, _) => not_fitted(sheet, item, check),
        (_, Some(Degree::Beyond)) => {
            let by = measured.map(|(limit, value)| Overruled::ByMeasure { value, limit });
            (State::Fail, by)
        }
        (CheckResult::Unchecked, Some(_)) => (State::Unchecked, Some(Overruled::NoResult)),
        (CheckResult::Unchecked, None) => (State::Unchecked, None),
        (CheckResult::Pass, Some(Degree::Worn)) => (State::Worn, None),
        (CheckResult::Pass, _) => (State::Pass, None),
    };
    Judged {
        item,
        check,
        ticked,
        state,
        overruled,
    }
}

fn number(measure: &Measure) -> Option<i64> {
    match measure {
        Measure::Length(value) | Measure::Percent(value) => Some(*value),
        _ => None,
    }
}

/// The limit on this bike.
fn limit_for(sheet: &Sheet, item: &Item, limit: Limit) -> Limit {
    let bound = match item.name {
        "front lever reach" | "rear lever reach" if sheet.style() == Some(Style::Kids) => {
            Bound::AtMost(REACH_FOR_KIDS)
        }
        "chain" => match sheet.word("gears") {
            Some("11 speed" | "12 speed" | "13 speed") => Bound::Below(NARROW_CHAIN),
            Some("single speed" | "hub gear" | "3 speed") => Bound::Below(SINGLE_CHAIN),
            _ => limit.bound,
        },
        _ => limit.bound,
    };
    Limit { bound, ..limit }
}

fn not_fitted(sheet: &Sheet, item: &Item, check: Check) -> (State, Option<Overruled>) {
    if !check.may_lack {
        return match check.weight {
            Weight::Gate | Weight::Fault => (State::Fail, Some(Overruled::Missing)),
            Weight::Looks | Weight::Told => (State::Fail, None),
            Weight::RoadTest => (State::Unchecked, None),
        };
    }
    let brake = sheet.word("brakes");
    let fact = match item.name {
        "carbon parts" => sheet
            .word("frame material")
            .filter(|word| *word == "carbon")
            .map(|says| ("frame material", says))
            .or_else(|| {
                let crank = sheet.word("crank").filter(|word| *word == "carbon cranks");
                crank.map(|says| ("crank", says))
            })
            .or_else(|| {
                let rims = sheet.word("wheels").filter(|word| *word == "carbon rims");
                rims.map(|says| ("wheels", says))
            }),
        // The fact names the front brake. Only a drum has no pads, and none has
        // neither cable nor hose; a back-pedal brake is the rear one. Where the
        // kind is not written down, nothing explains that they are not there.
        "front pads" => {
            Some(("brakes", brake.unwrap_or(NOT_SAID))).filter(|_| brake != Some("drum"))
        }
        "front brake cable" => Some(("brakes", brake.unwrap_or(NOT_SAID))),
        "rear pads" | "rear brake cable" => brake.is_none().then_some(("brakes", NOT_SAID)),
        "shifting" | "gear cables" => sheet
            .word("gears")
            .filter(|word| !matches!(*word, "single speed" | "hub gear" | "electronic"))
            .map(|says| ("gears", says)),
        _ => None,
    };
    match fact {
        Some((fact, says)) => (State::Unchecked, Some(Overruled::ByFact { fact, says })),
        None => (State::NotFitted, None),
    }
}

/// A measure in the unit of a limit.
pub fn as_measure(unit: Unit, value: i64) -> Measure {
    match unit {
        Unit::Length => Measure::Length(value),
        Unit::Percent => Measure::Percent(value),
    }
}

/// Whether a check is one that keeps the bike from being better than a rider.
pub fn is_fault(check: &Check) -> bool {
    check.weight == Weight::Fault
}
