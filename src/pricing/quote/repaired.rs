//! What repairs make of a value: not all of what better grades show.
//!
//! A better condition is what repairs make, and nearly all of its step counts. A better
//! tier is not: bikes with better parts come with a better frame, better wheels and a
//! better name, so that of its step only a part is what changing parts can add ('new
//! parts never bring what they cost': common practice, no source).

use super::answer::PriceQuestion;
use super::unrounded::Unrounded;

/// The part of a better condition's step that repairs bring (judgement).
pub(in crate::pricing) const OF_CONDITION: f64 = 0.9;
/// Its standard deviation.
pub(in crate::pricing) const CONDITION_SD: f64 = 0.1;
/// The part of a better tier's step that new parts bring (judgement).
pub(in crate::pricing) const OF_TIER: f64 = 0.35;
/// Its standard deviation.
pub(in crate::pricing) const TIER_SD: f64 = 0.15;

/// Takes off `done` what the repairs do not bring. `priced` is the value of the same bike
/// under other grades; nothing changes where no better grade was made.
pub(super) fn after_repairs(
    done: &mut Unrounded,
    question: &PriceQuestion,
    priced: &mut dyn FnMut(&PriceQuestion) -> Option<Unrounded>,
) {
    let Some((condition, tier)) = question.before else {
        return;
    };
    let mut ln_value = |condition, tier| {
        let mut other = question.clone();
        (other.bike.condition, other.bike.tier, other.before) = (condition, tier, None);
        priced(&other).map(|one| one.ln_value)
    };
    let bike = &question.bike;
    let Some(found) = ln_value(condition, tier) else {
        return;
    };
    let Some(repaired) = ln_value(bike.condition, tier) else {
        return;
    };
    let steps = [repaired - found, done.ln_value - repaired];
    let takes = [(OF_CONDITION - 1.0) * steps[0], (OF_TIER - 1.0) * steps[1]];
    let variance = (CONDITION_SD * steps[0]).powi(2) + (TIER_SD * steps[1]).powi(2);
    for (feature, takes) in ["condition", "tier"].into_iter().zip(takes) {
        let step = done.steps.iter_mut().find(|step| step.0 == feature);
        if let Some(step) = step {
            step.2 += takes;
            done.ln_value += takes;
        }
    }
    let moved = done.ln_value - repaired - steps[1];
    done.bike_variance += variance;
    for (_, sale) in &mut done.sale {
        sale.location += moved;
        sale.scale = sale.scale.hypot(variance.sqrt());
    }
}
