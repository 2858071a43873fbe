//! A price from the fitted records.

use super::answer::PriceQuestion;
use super::caution::QuoteCaution;
use super::doubts::about_records;
use super::unrounded::{MOST_DOUBT, MOST_DOUBT_WITHOUT_RECORDS, Unrounded};
use crate::pricing::design::base::{Base, base_facts};
use crate::pricing::design::fact::{
    AGE_KNOWN, CONDITION_KNOWN, NEW_PRICE_KNOWN, SIZE_KNOWN, TIER_KNOWN,
};
use crate::pricing::design::features;
use crate::pricing::value::fitted::FittedValue;
use crate::statistics::dot;
use crate::trade::Style;

/// The value is the base's, times what each feature of the bike does.
pub(super) fn from_records(
    model: &FittedValue,
    question: &PriceQuestion,
    base: &Base,
    cautions: &mut Vec<QuoteCaution>,
) -> Unrounded {
    let as_of = model.coding.as_of;
    let here = features::facts(&question.bike, as_of, &model.currency);
    let there = base_facts(base, as_of, &model.currency);
    let (x, from) = (model.row(&here), model.row(&there));
    let b = &model.coefficients;
    let block =
        |range: std::ops::Range<usize>| -> f64 { range.map(|j| b[j] * (x[j] - from[j])).sum() };
    let known = |bit: u32| here.knows(bit);
    let one = |column: usize| block(column..column + 1);
    let age = block(features::AGE) + block(features::STYLE_AGE) + one(features::VINTAGE);
    let tier = block(features::TIER) + block(features::STYLE_TIER);
    let mut steps = vec![
        ("style", true, block(features::STYLE)),
        ("age", known(AGE_KNOWN), age),
        (
            "condition",
            known(CONDITION_KNOWN),
            block(features::CONDITION) + block(features::CONDITION_BY_AGE),
        ),
        ("tier", known(TIER_KNOWN), tier),
    ];
    // Kids' bikes have no size class, but the base may have one.
    let size = block(features::SIZE);
    if question.bike.style != Style::Kids || size != 0.0 {
        steps.push(("size", known(SIZE_KNOWN), size));
    }
    // An unknown new price is as expected and moves nothing.
    let second = model.second_opinion(&here, &x).moves;
    if known(NEW_PRICE_KNOWN) {
        steps.push(("new price", true, one(features::NEW_PRICE) + second));
    }
    about_records(model, &question.bike, &here, cautions);
    Unrounded {
        as_of,
        bike_variance: model.bike_variance(&here),
        luck: model.luck_variance(),
        eye: None,
        facts: here,
        currency: model.currency,
        sale: model.one_sale(&here),
        levels: model.levels.clone(),
        ln_value: dot(&x, b) + second,
        most_doubt: if model.gathered.is_empty() {
            MOST_DOUBT_WITHOUT_RECORDS
        } else {
            MOST_DOUBT
        },
        most_paid: model.gathered.most_paid[question.bike.style.index()].map(f64::exp),
        base_words: base.words.clone(),
        ln_base: dot(&from, b),
        steps,
    }
}
