//! An inspection in words: limits, lids on the grade, what to doubt.

use crate::pricing::inspection::judging::as_measure;
use crate::pricing::inspection::{InspectionCaution, Lid, Method, OpenGate, State};
use crate::report::text::counts::first;
use crate::report::text::counts::listed;
use crate::trade::SizeClass;
use crate::trade::inspection::Unit;
use crate::trade::inspection::{Bound, CheckResult, Limit};

/// Items that one sentence names, at most.
pub const NAMED: usize = 8;

/// `at least 1.6 mm`.
pub fn limit_words(limit: &Limit) -> String {
    let (words, value) = match limit.bound {
        Bound::AtLeast(value) => ("at least", value),
        Bound::AtMost(value) => ("at most", value),
        Bound::Below(value) => ("below", value),
    };
    format!("{words} {}", as_measure(limit.unit, value))
}

/// The word of a state, for text and JSON.
pub fn state_word(state: State) -> &'static str {
    match state {
        State::Pass => "pass",
        State::Worn => "worn",
        State::Fail => "fail",
        State::Unchecked => "unchecked",
        State::NotFitted => "not_fitted",
    }
}

/// A short name of a lid, for JSON.
pub fn lid_code(lid: Lid) -> &'static str {
    match lid {
        Lid::Frame => "frame",
        Lid::Gate => "gate",
        Lid::Fault => "fault",
        Lid::NoRoadTest => "road_test",
    }
}

/// What a lid says.
pub fn lid_words(lid: Lid) -> &'static str {
    match lid {
        Lid::Frame => "at most 1 with a frame that has failed",
        Lid::Gate => "at most 2 until every safety check has passed",
        Lid::Fault => "at most 3 with a mechanical fault",
        Lid::NoRoadTest => "at most 4 until a road test is passed",
    }
}

/// `M`, `M, near L`, `not known`.
pub fn size_words(class: Option<SizeClass>, near: Option<SizeClass>) -> String {
    match (class, near) {
        (Some(class), Some(near)) => format!("{class}, near {near}"),
        (Some(class), None) => class.to_string(),
        (None, _) => "not known".into(),
    }
}

/// Why a gate is open: the rule, and the measure where it decided.
pub fn why(gate: &OpenGate) -> String {
    use crate::pricing::inspection::judging::Overruled;
    let source = gate.item.source;
    match (&gate.overruled, &gate.measure) {
        (Some(Overruled::ByMeasure { value, limit }), _) => format!(
            "{source}; measured {}, limit {}",
            as_measure(limit.unit, *value),
            limit_words(limit)
        ),
        (Some(Overruled::ByFact { fact, says }), _) => {
            format!("{source}; ticked not_fitted, but {fact}: {says}")
        }
        (Some(Overruled::NoResult), Some(measure)) => {
            format!("{source}; measured {measure}, but no result")
        }
        (Some(Overruled::Missing), _) => format!("{source}; missing"),
        _ => source.into(),
    }
}

/// The caution as a sentence or two.
#[allow(clippy::too_many_lines, reason = "a sentence for each caution")]
pub fn words(caution: &InspectionCaution) -> String {
    match caution {
        InspectionCaution::NotInspected => "Nothing on the sheet has a result, so there is no condition: the bike counts as \
             not inspected."
            .into(),
        InspectionCaution::FrameFailed => "The frame has failed: the bike is good only for its parts. Scrap the frame itself, \
             and a fork, bar, stem or post that failed: never pass them on."
            .into(),
        InspectionCaution::MeasureDecides { item, ticked, value, limit } => {
            let measured = as_measure(limit.unit, *value);
            let limit = limit_words(limit);
            match ticked {
                CheckResult::Pass => format!(
                    "{item}: ticked pass, but measured {measured}, limit {limit}. The measure decides: it counts as \
                     fail. Measure again, or correct the sheet."
                ),
                _ => format!("{item}: no result, but measured {measured}, limit {limit}: it counts as fail."),
            }
        }
        InspectionCaution::NoResult { items } => format!(
            "{}: measured, but no result. A measure alone is no pass: look at the rest and tick it.",
            listed(items)
        ),
        InspectionCaution::Missing { item: "front brake" } => "front brake: not fitted. Some rules let a rear brake do; this \
             list asks for two brakes that work by themselves (ISO 4210-2, 4.6.1). Fit one."
            .into(),
        InspectionCaution::Missing { item } => {
            format!("{item}: ticked not_fitted, but no sound bike is without it: it counts as fail.")
        }
        InspectionCaution::FactSaysFitted { item, fact, says } => format!(
            "{item}: ticked not_fitted, but the sheet says {fact}: {says}. It counts as unchecked; correct \
             the one that is wrong."
        ),
        InspectionCaution::FaultsOpen { items } => format!(
            "Every safety check has passed, but {} failed. Repair that before the bike is listed, or say so to the buyer.",
            listed(items)
        ),
        InspectionCaution::NoRoadTest => "No road test yet: with every safety check passed, ride it yourself before anybody else does."
            .into(),
        InspectionCaution::Unchecked { items } => format!(
            "Nobody has looked at {}: each costs half its points until it is checked.",
            first(items, NAMED)
        ),
        InspectionCaution::RecallWithoutNote => "recall check: passed without a note. Write down the day and where you looked: \
             recalls come later, too."
            .into(),
        InspectionCaution::Told { item } => told(item.name),
        InspectionCaution::Fittings { items } => format!(
            "{}: failed or not fitted. Many places ask for them on the road: see the local rules before it is sold.",
            listed(items)
        ),
        InspectionCaution::FewFacts { unknown } => format!(
            "Too few facts for a tier (at least three are needed). Note in the measure column: {}.",
            listed(unknown)
        ),
        InspectionCaution::MeasureAgain { first, second } => format!(
            "{} and {} are more than one size apart, so no size is given. Measure both again; a sloping top tube \
             makes the seat tube short.",
            method(first),
            method(second)
        ),
        InspectionCaution::StyleAssumed => "The style is not given: the size is by the table for hybrids. Note the style.".into(),
        InspectionCaution::SizedByWheels { tyre: Some(tyre) } => format!(
            "A child's bike is sized by its wheels, not by its frame: the tyres are {tyre}{}.",
            tyre.called().map_or(String::new(), |called| format!(" ({called})"))
        ),
        InspectionCaution::SizedByWheels { tyre: None } => {
            "A child's bike is sized by its wheels, not by its frame: note the tyre size.".into()
        }
        InspectionCaution::TwoBeads { front, rear } => format!(
            "The tyres are {front} in front and {rear} behind: two sizes of wheel. Check that it was built so."
        ),
        InspectionCaution::UnknownBead { tyre } => format!(
            "{tyre}: a bead of {} mm is in no table of ours. Read the side wall again before you buy a tyre.",
            tyre.bead
        ),
        InspectionCaution::NoCertificate => "A check list does not certify a bike. The standards cited are \
                                                 for new bikes, and a pass does not show that this bike \
                                                 meets them; limits without a clause are common practice. \
                                                 When in doubt have a \
             qualified mechanic look, and keep to the local rules. Motor and battery are not on this list."
            .into(),
        InspectionCaution::Recalls => "Before it is sold, look it up once more in the recalls of your local authority: a recalled \
             bike must not be passed on."
            .into(),
    }
}

fn told(item: &str) -> String {
    match item {
        "serial number" => "serial number: missing, scratched out or on a list of stolen bikes. Do not sell \
         it: ask the police or the keeper of the list whose it is."
            .into(),
        "toe clearance" => "toe clearance: the foot can touch the front wheel in a tight turn (89 mm are asked of new \
             bikes without toe clips). Tell the buyer, and look for a smaller tyre or shorter cranks."
            .into(),
        other => format!("{other}: failed."),
    }
}

fn method(method: &Method) -> String {
    let length = as_measure(Unit::Length, method.tenths);
    format!("{} {length} ({})", method.by, method.class)
}
