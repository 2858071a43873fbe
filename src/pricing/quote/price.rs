//! THE price: rounded, with its range, where it comes from, the plan and the margin.

use super::answer::{Contribution, Margin, PriceQuestion, Quote, Source, ValueRange};
use super::caution::QuoteCaution;
use super::doubts::about_plan;
use super::from_new_price::from_new_price;
use super::from_records::from_records;
use super::looked_at::look_at;
use super::repaired::after_repairs;
use super::unrounded::{Unrounded, logarithmic_mean_split, mean_sale};
use crate::pricing::asking::{self, Detail, Plan, Selling, Subject};
use crate::pricing::design::base::Base;
use crate::pricing::eye::learnt::Eye;
use crate::pricing::in_parallel;
use crate::pricing::prior::priors::Priors;
use crate::pricing::value::levels::Levels;
use crate::statistics::distribution::normal;
use crate::statistics::distribution::student_t::{Predictive, mixture_cdf, quantile};
use crate::trade::Money;
use crate::trade::money::round_to_sum;

/// A value above this share of the new price is near it (judgement).
const NEAR_NEW: f64 = 0.85;

/// Prices one bike; with `selling`, says what to ask too.
pub fn quote(
    source: &Source<'_>,
    priors: &Priors,
    question: &PriceQuestion,
    base: &Base,
    selling: Option<&Selling<'_>>,
) -> Quote {
    let mut answer = Quote {
        question: question.clone(),
        value: None,
        base: None,
        contributions: Vec::new(),
        eye: None,
        plan: None,
        patient: None,
        margin: None,
        cautions: Vec::new(),
    };
    let told = &mut answer.cautions;
    let Some(unrounded) = unrounded(source, priors, question, base, told) else {
        return answer;
    };
    fill(&mut answer, &unrounded, selling);
    answer
}

/// The price before it is rounded; `None` when there is nothing to go on.
fn unrounded(
    source: &Source<'_>,
    priors: &Priors,
    question: &PriceQuestion,
    base: &Base,
    cautions: &mut Vec<QuoteCaution>,
) -> Option<Unrounded> {
    let priced = |question: &PriceQuestion, cautions: &mut Vec<QuoteCaution>| match source {
        Source::Fitted(model) => Some(from_records(model, question, base, cautions)),
        Source::Nothing { as_of, currency } => {
            from_new_price(priors, *as_of, *currency, question, cautions)
        }
    };
    let mut done = priced(question, cautions)?;
    after_repairs(&mut done, question, &mut |other| {
        priced(other, &mut Vec::new())
    });
    match source {
        Source::Fitted(model) => look_at(&mut done, question, &model.eye),
        Source::Nothing { .. } => look_at(&mut done, question, &Eye::believed(priors)),
    }
    Some(done)
}

/// Prices many bikes, shared among the processors; the answers are in the order of
/// the questions and the same as one by one.
pub fn quotes(
    source: &Source<'_>,
    priors: &Priors,
    questions: &[PriceQuestion],
    base: &Base,
    selling: &Selling<'_>,
) -> Vec<Quote> {
    in_parallel::each(questions, |question| {
        quote(source, priors, question, base, Some(selling))
    })
}

fn fill(answer: &mut Quote, unrounded: &Unrounded, selling: Option<&Selling<'_>>) {
    let Some((value, base)) = rounded(unrounded, answer.question.level) else {
        answer.cautions.push(QuoteCaution::OutOfReach);
        return;
    };
    answer.value = Some(value);
    answer.eye = unrounded.eye;
    answer.base = Some((unrounded.base_words.clone(), base));
    answer.contributions = contributions(unrounded, value.median.minor() - base.minor());
    if let Some(selling) = selling {
        (answer.plan, answer.patient) = plans(answer, unrounded, selling);
    }
    answer.margin = margin(answer, unrounded);
    if let Some(new_price) = answer.question.bike.new_price
        && value.median.minor() as f64 > NEAR_NEW * new_price.minor() as f64
        && new_price.minor() > 0
    {
        answer.cautions.push(QuoteCaution::NearNew {
            value: value.median,
            new_price,
        });
    }
}

/// The range of probability `level`, and the base's value; `None` out of reach of
/// whole minor units.
fn rounded(unrounded: &Unrounded, level: f64) -> Option<(ValueRange, Money)> {
    let money = |ln: f64| unrounded.currency.round(ln.exp());
    let end = |p: f64| money(quantile(&unrounded.sale, p));
    let held = unrounded.levels.that_holds(level);
    let value = ValueRange {
        median: money(unrounded.ln_value)?,
        expected: unrounded.currency.round(mean_sale(&unrounded.sale))?,
        low: end((1.0 - held) / 2.0)?,
        high: end(f64::midpoint(1.0, held))?,
        level,
    };
    Some((value, money(unrounded.ln_base)?))
}

/// What each feature does, in minor units that add up to `sum`.
fn contributions(unrounded: &Unrounded, sum: i64) -> Vec<Contribution> {
    let logs: Vec<f64> = unrounded.steps.iter().map(|s| s.2).collect();
    let scale = unrounded.currency.scale() as f64;
    let amounts = logarithmic_mean_split(unrounded.ln_base, &logs, scale);
    let amounts = round_to_sum(&amounts, sum);
    unrounded
        .steps
        .iter()
        .zip(amounts)
        .map(|((feature, known, log), amount)| Contribution {
            feature: (*feature).to_string(),
            known: *known,
            factor: log.exp(),
            amount: Money::from_minor(amount),
        })
        .collect()
}

/// What is left over of what the plan brings, or of the mean sale without one.
fn margin(answer: &Quote, unrounded: &Unrounded) -> Option<Margin> {
    let (cost, value) = (answer.question.cost?, answer.value?);
    let currency = unrounded.currency;
    let planned = answer.plan.as_ref().map(|plan| plan.outlook.expected_sale);
    let expected = planned.and_then(|units| currency.round(units));
    let less = |m: Money| Money::from_minor(m.minor().saturating_sub(cost.minor()));
    let expected = less(expected.unwrap_or(value.expected));
    let hours = answer.question.hours.filter(|h| *h > 0);
    // The plan moves a sale, and nobody pays more than is asked.
    let by = planned.map_or(1.0, |units| units / currency.units(value.expected));
    let first = answer.plan.as_ref().and_then(|plan| plan.steps.first());
    let most = first.map_or(value.high, |(_, ask)| *ask);
    let end = |end: Money| currency.round(by * currency.units(end));
    let planned = [value.low, value.high].map(|ends| end(ends).unwrap_or(ends).min(most));
    Some(Margin {
        planned: planned.map(less),
        cost,
        expected,
        low: less(value.low),
        high: less(value.high),
        chance_of_loss: if cost.minor() > 0 {
            let below = mixture_cdf(&unrounded.sale, currency.units(cost).ln());
            unrounded.levels.chance_below(below)
        } else {
            0.0
        },
        per_hour: hours.map(|h| currency.units(expected) / (h as f64 / 100.0)),
    })
}

/// The distribution of ln of one sale, and which level of it holds what is asked; `None`
/// when there is nothing to go on.
pub(in crate::pricing) fn one_sale(
    source: &Source<'_>,
    priors: &Priors,
    question: &PriceQuestion,
    base: &Base,
) -> Option<(Vec<(f64, Predictive)>, Levels)> {
    let price = unrounded(source, priors, question, base, &mut Vec::new())?;
    Some((price.sale, price.levels))
}

/// Upper end of the range that holds four sales in five.
pub(in crate::pricing) const UPPER_END: f64 = 0.9;

/// ln of the highest ask that is tried: the upper end of the range, which itself is no
/// wider there than that of a bike of the most doubt.
fn highest(unrounded: &Unrounded) -> f64 {
    let end = quantile(&unrounded.sale, unrounded.levels.quantile(UPPER_END));
    end.min(unrounded.ln_value + normal::quantile(UPPER_END) * unrounded.most_doubt)
}

/// The plan, and the one of somebody who has time where that is another and told.
fn plans(
    answer: &mut Quote,
    unrounded: &Unrounded,
    selling: &Selling<'_>,
) -> (Option<Plan>, Option<Plan>) {
    let subject = Subject {
        facts: &unrounded.facts,
        as_of: unrounded.as_of,
        ln_value: unrounded.ln_value,
        ln_highest: highest(unrounded),
        variance: unrounded.bike_variance.min(unrounded.most_doubt.powi(2)),
        freedom: unrounded.freedom(),
        new_price: answer
            .question
            .bike
            .new_price
            .filter(|p| p.minor() > 0)
            .map(|p| unrounded.currency.units(p)),
        most_paid: unrounded.most_paid,
        stood: answer.question.stood.clone(),
    };
    let plan = asking::plan(selling, &subject, &unrounded.currency);
    match &plan {
        Some(plan) => about_plan(selling.time, plan, &selling.wishes, &mut answer.cautions),
        None => answer.cautions.push(QuoteCaution::OutOfReach),
    }
    let patient = selling
        .wishes
        .patient()
        .filter(|_| selling.detail == Detail::All);
    let patient = patient.and_then(|wishes| {
        let selling = Selling {
            wishes,
            detail: Detail::PlanAlone,
            ..*selling
        };
        asking::plan(&selling, &subject, &unrounded.currency)
    });
    (plan, patient)
}
