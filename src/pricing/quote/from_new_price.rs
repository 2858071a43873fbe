//! A price where there are no records at all.

use super::answer::PriceQuestion;
use super::caution::QuoteCaution;
use super::unrounded::{MOST_DOUBT_WITHOUT_RECORDS, Unrounded};
use crate::pricing::design::coding::Coding;
use crate::pricing::design::fact::{
    AGE_KNOWN, CONDITION_KNOWN, NEW_PRICE_KNOWN, SIZE_KNOWN, TIER_KNOWN,
};
use crate::pricing::design::features;
use crate::pricing::design::features::Facts;
use crate::pricing::prior::priors::Priors;
use crate::pricing::value::levels::Levels;
use crate::statistics::distribution::student_t::Predictive;
use crate::trade::{Condition, Currency, Day, Years};

/// The coding without records, for a bike with this ln new price.
pub(in crate::pricing) fn coding(priors: &Priors, as_of: Day, ln_new: f64) -> Coding {
    Coding::new(
        as_of,
        as_of,
        priors,
        ln_new - priors.new_price.over_used,
        &[],
    )
}

/// With no records: the new price less the usual loss of value by age and
/// condition, and nothing else. The base is the same bike new.
pub(super) fn from_new_price(
    priors: &Priors,
    as_of: Day,
    currency: Currency,
    question: &PriceQuestion,
    cautions: &mut Vec<QuoteCaution>,
) -> Option<Unrounded> {
    let Some(new_price) = question.bike.new_price.filter(|p| p.minor() > 0) else {
        cautions.push(QuoteCaution::NothingToGoOn);
        return None;
    };
    cautions.push(QuoteCaution::PriorOnly);
    let ln_new = currency.units(new_price).ln();
    let coding = coding(priors, as_of, ln_new);
    let here = features::facts(&question.bike, as_of, &currency);
    let mut as_new = question.bike;
    as_new.made = Some(Years::from(as_of.year()));
    as_new.condition = Some(Condition::Mint);
    let mut new_facts = features::facts(&as_new, as_of, &currency);
    features::set_age(&mut new_facts, 0.0);
    let (mut x, mut from) = (vec![0.0; coding.width()], vec![0.0; coding.width()]);
    coding.row(&here, as_of, None, &mut x);
    coding.row(&new_facts, as_of, None, &mut from);
    // Tier, size and style are in the new price already.
    let beliefs = priors.beliefs();
    let mut b = vec![0.0; coding.width()];
    let used = || features::AGE.chain(features::CONDITION);
    for j in used() {
        b[j] = beliefs[j].mean;
    }
    let block =
        |range: std::ops::Range<usize>| -> f64 { range.map(|j| b[j] * (x[j] - from[j])).sum() };
    let anchor = priors.new_price.anchor;
    let steps = vec![
        ("used, as new", true, anchor.mean),
        ("age", here.knows(AGE_KNOWN), block(features::AGE)),
        (
            "condition",
            here.knows(CONDITION_KNOWN),
            block(features::CONDITION),
        ),
    ];
    let ln_value = ln_new + steps.iter().map(|s| s.2).sum::<f64>();
    let slopes: f64 = used()
        .map(|j| (beliefs[j].sd * (x[j] - from[j])).powi(2))
        .sum();
    let unknown = coding.unknown_variance(
        &Facts {
            known: here.known | TIER_KNOWN | SIZE_KNOWN | NEW_PRICE_KNOWN,
            ..here
        },
        &b,
    );
    let scale = (priors.noise.powi(2) + anchor.sd.powi(2) + slopes + unknown).sqrt();
    let sale = Predictive {
        freedom: priors.noise_sales,
        location: ln_value,
        scale,
    };
    let luck = (1.0 - priors.selling.bike) * priors.noise.powi(2);
    Some(Unrounded {
        currency,
        facts: here,
        as_of,
        bike_variance: scale.powi(2) - luck,
        luck,
        eye: None,
        sale: vec![(1.0, sale)],
        levels: Levels::default(),
        ln_value,
        most_doubt: MOST_DOUBT_WITHOUT_RECORDS,
        most_paid: None,
        base_words: "the same bike new, today".to_string(),
        ln_base: ln_new,
        steps,
    })
}
