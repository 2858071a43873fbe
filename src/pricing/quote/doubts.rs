//! What to doubt about a price that the records gave.

use super::caution::QuoteCaution;
use crate::pricing::asking::{Plan, SellingWishes};
use crate::pricing::design::fact::{AGE_KNOWN, CONDITION_KNOWN, SIZE_KNOWN, TIER_KNOWN};
use crate::pricing::design::features;
use crate::pricing::design::features::Facts;
use crate::pricing::records::gathered::OLD_COMPS;
use crate::pricing::time_on_market::FittedTime;
use crate::pricing::value::fitted::FittedValue;
use crate::trade::Bike;
use crate::trade::calendar::{age_in_years, days_between};

/// Own sales below which the range does not rest on own sales.
const FEW_SALES: usize = 5;

/// Records of a style below which it is hardly known (judgement).
const FEW_OF_A_STYLE: usize = 3;

/// Sales of known length below which the pace rests much on beliefs: about what
/// the belief about the pace is worth with a shape of 1, 1 / 0.7^2, doubled.
const FEW_DURATIONS: usize = 5;

/// What to doubt about a plan.
pub(super) fn about_plan(
    time: &FittedTime,
    plan: &Plan,
    wishes: &SellingWishes,
    cautions: &mut Vec<QuoteCaution>,
) {
    let seen = &time.rests_on;
    let sales = seen.own_sold + seen.comps_sold + seen.comps_gone;
    if seen.belief_only() {
        cautions.push(QuoteCaution::PaceBelieved);
    } else if sales < FEW_DURATIONS {
        cautions.push(QuoteCaution::FewDurations { sales });
    }
    if let Some((from, to, observed, expected)) = seen.disagreement() {
        cautions.push(QuoteCaution::PaceDisagrees {
            from,
            to,
            observed,
            expected,
        });
    }
    if seen.held {
        cautions.push(QuoteCaution::PremiumHeld);
    }
    let habit = &time.own_habit;
    if plan.premium > habit.mean + 2.0 * habit.variance.sqrt()
        && seen.own >= FEW_DURATIONS
        && plan.stands.is_none()
    {
        let (premium, usual) = (plan.premium.exp_m1(), habit.mean.exp_m1());
        cautions.push(QuoteCaution::BeyondHabit { premium, usual });
    }
    if let (true, Some((days, _))) = (plan.overdue, plan.stands) {
        let weeks = wishes.weeks;
        cautions.push(QuoteCaution::Overdue { days, weeks });
    }
    if let (Some(fresh), Some((_, Some(now)))) = (plan.asks_too_little, plan.stands) {
        cautions.push(QuoteCaution::AsksTooLittle { now, fresh });
    }
}

/// What to doubt because of the records, or of what they do not hold.
pub(super) fn about_records(
    model: &FittedValue,
    bike: &Bike,
    here: &Facts,
    cautions: &mut Vec<QuoteCaution>,
) {
    let seen = &model.gathered;
    let empty = seen.is_empty();
    if empty {
        cautions.push(QuoteCaution::PriorOnly);
    } else if seen.sales < FEW_SALES {
        cautions.push(QuoteCaution::FewOwnSales { sales: seen.sales });
    }
    let unknown: Vec<&'static str> = [
        (AGE_KNOWN, "model year"),
        (CONDITION_KNOWN, "condition"),
        (TIER_KNOWN, "tier"),
        (SIZE_KNOWN, "size"),
    ]
    .into_iter()
    .filter(|(bit, _)| !here.knows(*bit))
    .map(|(_, name)| name)
    .collect();
    if !unknown.is_empty() {
        cautions.push(QuoteCaution::Unknown { features: unknown });
    }
    if empty {
        return; // Nothing else can be held against it.
    }
    let outside = outside_experience(model, bike);
    cautions.extend(outside.into_iter().map(|(feature, here, seen)| {
        QuoteCaution::OutsideExperience {
            feature,
            here,
            seen,
        }
    }));
    if let Some(newest) = seen.newest_comp {
        let days = days_between(newest, model.coding.as_of);
        if days > OLD_COMPS {
            cautions.push(QuoteCaution::OldComps { newest, days });
        }
    }
    about_beliefs(model, here, cautions);
}

/// Features of a bike outside what the records show: which, here, and what was seen.
fn outside_experience(model: &FittedValue, bike: &Bike) -> Vec<(&'static str, String, String)> {
    let seen = &model.gathered;
    let mut outside = Vec::new();
    let count = seen.styles[bike.style.index()];
    if count < FEW_OF_A_STYLE {
        let seen = format!("{count} of this style");
        outside.push(("style", bike.style.to_string(), seen));
    }
    outside.extend(age_outside(model, bike));
    if let Some(condition) = bike.condition.filter(|c| seen.conditions[c.index()] == 0) {
        let here = condition.grade().to_string();
        outside.push(("condition", here, grades(&seen.conditions)));
    }
    if let Some(tier) = bike.tier.filter(|t| seen.tiers[t.index()] == 0) {
        outside.push(("tier", tier.grade().to_string(), grades(&seen.tiers)));
    }
    if let Some(size) = bike.size().filter(|s| seen.sizes[s.index()] == 0) {
        outside.push(("size", size.to_string(), "none of this size".into()));
    }
    // Within twice of what was seen a straight line in logarithms is no leap.
    if let (Some(price), Some((low, high))) = (bike.new_price, seen.new_prices)
        && (price.minor() > 2 * high.minor() || 2 * price.minor() < low.minor())
    {
        let (plain, currency) = (|m| model.currency.plain(m), model.currency);
        let seen = format!("{} to {} {currency}", plain(low), plain(high));
        outside.push(("new price", format!("{} {currency}", plain(price)), seen));
    }
    outside
}

/// A range of years counts from its youngest to its oldest: all of them are
/// averaged over. Among the records it vouches for its middle alone.
fn age_outside(model: &FittedValue, bike: &Bike) -> Option<(&'static str, String, String)> {
    let age = |year| age_in_years(year, model.coding.as_of);
    let (made, (low, high)) = (bike.made?, model.gathered.ages?);
    let (youngest, oldest) = (age(made.last()), age(made.first()));
    if youngest >= low - 0.5 && oldest <= high + 0.5 {
        return None;
    }
    let here = if youngest == oldest {
        format!("{oldest:.0} years")
    } else {
        format!("{youngest:.0} to {oldest:.0} years")
    };
    Some(("age", here, format!("{low:.0} to {high:.0} years")))
}

/// The grades that were seen, in words.
fn grades(counts: &[usize]) -> String {
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
}

/// The beliefs that the records contradict: only those that move this bike, and the
/// two strongest of them.
fn about_beliefs(model: &FittedValue, here: &Facts, cautions: &mut Vec<QuoteCaution>) {
    let x = model.row(here);
    let mut conflicts: Vec<&(usize, String, f64)> = model
        .conflicts
        .iter()
        .filter(|(column, ..)| (features::AGE.start..features::STYLE.end).contains(column))
        .filter(|(column, ..)| x[*column] != 0.0)
        .collect();
    conflicts.sort_by(|a, b| b.2.abs().total_cmp(&a.2.abs()));
    for (_, effect, distance) in conflicts.into_iter().take(2) {
        cautions.push(QuoteCaution::Disagreement {
            effect: effect.clone(),
            distance: *distance,
        });
    }
}
