//! What to doubt about a price that the records gave.

use super::caution::Caution;
use crate::pricing::asking::{Plan, Wishes};
use crate::pricing::design::features;
use crate::pricing::design::features::{AGE_KNOWN, CONDITION_KNOWN, Facts, SIZE_KNOWN, TIER_KNOWN};
use crate::pricing::time_on_market::FittedTime;
use crate::pricing::value::fitted::FittedValue;
use crate::trade::Bike;
use crate::trade::calendar::{age_in_years, days_between};

/// Comps older than this (days) no longer show today's market (judgement).
const OLD_COMPS: i64 = 120;

/// Own sales below which the range does not rest on own sales.
const FEW_SALES: usize = 5;

/// Sales of known length below which the pace rests much on beliefs: about what
/// the belief about the pace is worth with a shape of 1, 1 / 0.7^2, doubled.
const FEW_DURATIONS: usize = 5;

/// What to doubt about a plan.
pub(in crate::pricing) fn about_plan(
    time: &FittedTime,
    plan: &Plan,
    wishes: &Wishes,
    cautions: &mut Vec<Caution>,
) {
    let seen = &time.rests_on;
    let sales = seen.own_sold + seen.comps_sold + seen.comps_gone;
    if seen.belief_only() {
        cautions.push(Caution::PaceBelieved);
    } else if sales < FEW_DURATIONS {
        cautions.push(Caution::FewDurations { sales });
    }
    if let Some((from, to, observed, expected)) = seen.disagreement() {
        cautions.push(Caution::PaceDisagrees {
            from,
            to,
            observed,
            expected,
        });
    }
    if seen.held {
        cautions.push(Caution::PremiumHeld);
    }
    let habit = &time.own_habit;
    if plan.premium > habit.mean + 2.0 * habit.variance.sqrt()
        && seen.own >= FEW_DURATIONS
        && plan.stands.is_none()
    {
        let (premium, usual) = (plan.premium.exp_m1(), habit.mean.exp_m1());
        cautions.push(Caution::BeyondHabit { premium, usual });
    }
    if let (true, Some((days, _))) = (plan.overdue, plan.stands) {
        let weeks = wishes.weeks;
        cautions.push(Caution::Overdue { days, weeks });
    }
    if let (Some(fresh), Some((_, Some(now)))) = (plan.asks_too_little, plan.stands) {
        cautions.push(Caution::AsksTooLittle { now, fresh });
    }
}

pub(in crate::pricing) fn about_records(
    model: &FittedValue,
    bike: &Bike,
    here: &Facts,
    cautions: &mut Vec<Caution>,
) {
    let seen = &model.gathered;
    if seen.sales < FEW_SALES {
        cautions.push(Caution::FewOwnSales { sales: seen.sales });
    }
    let unknown: Vec<&'static str> = [
        (AGE_KNOWN, "model year"),
        (CONDITION_KNOWN, "condition"),
        (TIER_KNOWN, "tier"),
        (SIZE_KNOWN, "size"),
    ]
    .into_iter()
    .filter(|(bit, _)| here.known & bit == 0)
    .map(|(_, name)| name)
    .collect();
    if !unknown.is_empty() {
        cautions.push(Caution::Unknown { features: unknown });
    }
    let mut outside = |feature, here: String, seen: String| {
        cautions.push(Caution::OutsideExperience {
            feature,
            here,
            seen,
        });
    };
    if seen.styles[bike.style.index()] < 3 {
        let count = seen.styles[bike.style.index()];
        outside(
            "style",
            bike.style.to_string(),
            format!("{count} of this style"),
        );
    }
    // A range of years counts from its youngest to its oldest: all of them are
    // averaged over. Among the records it vouches for its middle alone.
    let age = |year| age_in_years(year, model.coding.as_of);
    let ages = bike.made.map(|made| (age(made.last()), age(made.first())));
    if let (Some((youngest, oldest)), Some((low, high))) = (ages, seen.ages)
        && (youngest < low - 0.5 || oldest > high + 0.5)
    {
        let here = if youngest == oldest {
            format!("{oldest:.0} years")
        } else {
            format!("{youngest:.0} to {oldest:.0} years")
        };
        outside("age", here, format!("{low:.0} to {high:.0} years"));
    }
    let levels = |counts: &[usize]| -> String {
        let seen: Vec<String> = (1..)
            .zip(counts)
            .filter(|(_, n)| **n > 0)
            .map(|(grade, _): (usize, _)| grade.to_string())
            .collect();
        if seen.is_empty() {
            "none".into()
        } else {
            seen.join(", ")
        }
    };
    if let Some(condition) = bike.condition.filter(|c| seen.conditions[c.index()] == 0) {
        outside(
            "condition",
            condition.grade().to_string(),
            levels(&seen.conditions),
        );
    }
    if let Some(tier) = bike.tier.filter(|t| seen.tiers[t.index()] == 0) {
        outside("tier", tier.grade().to_string(), levels(&seen.tiers));
    }
    if let Some(size) = bike.size().filter(|s| seen.sizes[s.index()] == 0) {
        outside("size", size.to_string(), "none of this size".into());
    }
    // Within twice of what was seen a straight line in logarithms is no leap.
    if let (Some(price), Some((low, high))) = (bike.new_price, seen.new_prices)
        && (price.minor() > 2 * high.minor() || 2 * price.minor() < low.minor())
    {
        let plain = |m| model.currency.plain(m);
        let seen = format!("{} to {} {}", plain(low), plain(high), model.currency);
        outside(
            "new price",
            format!("{} {}", plain(price), model.currency),
            seen,
        );
    }
    if let Some(newest) = seen.newest_comp {
        let days = days_between(newest, model.coding.as_of);
        if days > OLD_COMPS {
            cautions.push(Caution::OldComps { newest, days });
        }
    }
    // Only what moves this bike, and the two strongest of it.
    let x = model.row(here);
    let mut conflicts: Vec<&(usize, String, f64)> = model
        .conflicts
        .iter()
        .filter(|(column, ..)| (features::AGE.start..features::STYLE.end).contains(column))
        .filter(|(column, ..)| x[*column] != 0.0)
        .collect();
    conflicts.sort_by(|a, b| b.2.abs().total_cmp(&a.2.abs()));
    for (_, effect, distance) in conflicts.into_iter().take(2) {
        cautions.push(Caution::Disagreement {
            effect: effect.clone(),
            distance: *distance,
        });
    }
}
