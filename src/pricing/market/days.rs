//! Days on market: Kaplan-Meier curves with log-log limits, of own bikes and of
//! comps apart, in all and by group.

use super::places::By;
use super::spells::{Spell, SpellEnd, UnusedListings};
use crate::statistics::DurationProblem;
use crate::statistics::survival::incidence::Incidence;
use crate::statistics::survival::kaplan_meier::{Life, Step, SurvivalCurve};
use crate::statistics::survival::risk_sets::Course;
use std::collections::BTreeMap;

/// Share of the listings that are gone for an unknown reason that count as
/// sold (judgement); the median is also given with the other two.
pub const GONE_SOLD: f64 = 0.8;
/// Lowest and highest share that is tried.
pub const GONE_SOLD_OTHERWISE: [f64; 2] = [0.5, 1.0];

/// Listings that must have ended before the days of a group are told (judgement).
pub const ENDED_AT_LEAST: f64 = 10.0;

/// Days by which the shares sold and taken back are told together.
pub const BOTH_BY: f64 = 60.0;

/// Days by which the share sold is told.
pub const WITHIN: [f64; 4] = [7.0, 14.0, 30.0, 60.0];

/// Room for weights such as 1/3 that do not add up exactly.
const NEARLY: f64 = 1e-9;

/// The days on market of some listings. Counts are of bikes: one of several
/// listings of a bike counts as its part.
#[derive(Clone, Debug, PartialEq)]
pub struct OnMarket {
    /// Listings followed.
    pub followed: f64,
    /// Of these, sold.
    pub sold: f64,
    /// Of these, gone for an unknown reason.
    pub gone: f64,
    /// Longest time that one was followed, in days.
    pub longest: f64,
    /// Days after which half were sold; `None` where that was not reached.
    pub median: Option<f64>,
    /// Lower limit of the median.
    pub low: Option<f64>,
    /// Upper limit; `None` where it was not reached.
    pub high: Option<f64>,
    /// The median when other shares of the gone were sold, as in
    /// [`GONE_SOLD_OTHERWISE`].
    pub otherwise: [Option<f64>; 2],
    /// Share sold within [`WITHIN`] days; `None` beyond what was followed.
    pub within: [Option<f64>; 4],
    /// Shares sold and taken back by [`BOTH_BY`] days, where both are an end
    /// (Aalen-Johansen); `None` beyond what was followed.
    pub both: Option<[f64; 2]>,
    /// The falls of the curve.
    pub steps: Vec<Step>,
}

impl OnMarket {
    /// Whether enough have ended for the median to be leant on.
    pub fn is_enough(&self) -> bool {
        self.sold + self.gone >= ENDED_AT_LEAST - NEARLY
    }
}

/// Days of the own bikes and of the comps of one group.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OfGroup {
    /// Own bikes; `None` where fewer than [`ENDED_AT_LEAST`] were sold.
    pub own: Option<OnMarket>,
    /// Comps; `None` where fewer than [`ENDED_AT_LEAST`] have ended.
    pub comps: Option<OnMarket>,
}

/// All days on market.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Days {
    /// Own bikes that were listed; `None` without any.
    pub own: Option<OnMarket>,
    /// Comps; `None` where none can be used.
    pub comps: Option<OnMarket>,
    /// Comps that were not used, and why.
    pub unused: UnusedListings,
    /// Confidence of the limits.
    pub level: f64,
}

/// The days of each group of a table.
pub(super) type Groups = BTreeMap<u32, OfGroup>;

/// The curve of some listings; `None` where none was followed for any time.
///
/// # Errors
/// What the curve says; no record can bring it about.
pub(super) fn on_market(spells: &[Spell], level: f64) -> Result<Option<OnMarket>, DurationProblem> {
    let curve = |gone_sold: f64| -> Result<Option<SurvivalCurve>, DurationProblem> {
        let lives: Vec<Life> = spells
            .iter()
            .map(|spell| Life {
                entry: spell.entry,
                exit: spell.exit,
                event: match spell.end {
                    SpellEnd::Sold => 1.0,
                    SpellEnd::Gone => gone_sold,
                    SpellEnd::Withdrawn | SpellEnd::Open => 0.0,
                },
                weight: spell.weight,
            })
            .collect();
        match SurvivalCurve::of(&lives, level) {
            Ok(curve) => Ok(Some(curve)),
            Err(DurationProblem::Nothing) => Ok(None),
            Err(problem) => Err(problem),
        }
    };
    let Some(found) = curve(GONE_SOLD)? else {
        return Ok(None);
    };
    let ended = |end: SpellEnd| -> f64 {
        let of = spells.iter().filter(|spell| spell.end == end);
        // The sum of nothing would be -0.
        of.fold(0.0, |sum, spell| sum + spell.weight)
    };
    let (sold, gone) = (ended(SpellEnd::Sold), ended(SpellEnd::Gone));
    let mut otherwise = [found.median(); 2];
    if gone > 0.0 {
        for (median, share) in otherwise.iter_mut().zip(GONE_SOLD_OTHERWISE) {
            *median = curve(share)?.and_then(|curve| curve.median());
        }
    }
    let (low, high) = found.median_limits();
    // Once all are sold, nothing is left to be followed.
    let all_sold = found.survival(found.last) == 0.0;
    let within =
        WITHIN.map(|day| (all_sold || day <= found.last).then(|| 1.0 - found.survival(day)));
    let both = match within {
        [.., Some(_)] => Some(both_by(spells)?),
        _ => None,
    };
    Ok(Some(OnMarket {
        followed: found.lives,
        sold,
        gone,
        longest: found.last,
        median: found.median(),
        low,
        high,
        otherwise,
        within,
        both,
        steps: found.steps,
    }))
}

fn both_by(spells: &[Spell]) -> Result<[f64; 2], DurationProblem> {
    let courses: Vec<Course> = spells
        .iter()
        .map(|spell| Course {
            entry: spell.entry,
            exit: spell.exit,
            events: match spell.end {
                SpellEnd::Sold => [1.0, 0.0],
                SpellEnd::Gone => [GONE_SOLD, 0.0],
                SpellEnd::Withdrawn => [0.0, 1.0],
                SpellEnd::Open => [0.0, 0.0],
            },
            weight: spell.weight,
        })
        .collect();
    Ok(Incidence::of(&courses)?.share(BOTH_BY))
}

/// The days of each group of a table where enough have ended.
///
/// # Errors
/// As [`on_market`].
pub(super) fn by_group(
    by: By,
    own: &[Spell],
    comps: &[Spell],
    level: f64,
) -> Result<Groups, DurationProblem> {
    let mut groups = Groups::new();
    let enough = |spells: &[Spell]| -> Result<Option<OnMarket>, DurationProblem> {
        let found = on_market(spells, level)?;
        Ok(found.filter(OnMarket::is_enough))
    };
    for (code, spells) in split(by, own) {
        groups.entry(code).or_default().own = enough(&spells)?;
    }
    for (code, spells) in split(by, comps) {
        groups.entry(code).or_default().comps = enough(&spells)?;
    }
    Ok(groups)
}

fn split(by: By, spells: &[Spell]) -> BTreeMap<u32, Vec<Spell>> {
    let mut groups: BTreeMap<u32, Vec<Spell>> = BTreeMap::new();
    for spell in spells {
        groups.entry(spell.place.code(by)).or_default().push(*spell);
    }
    groups
}
