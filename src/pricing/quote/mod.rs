//! A bike's value with its range, where it comes from, and the margin.

pub mod answer;
pub mod caution;
pub(super) mod doubts;
pub(super) mod from_new_price;
pub mod on_hand;

use super::asking::{self, Detail, Plan, Subject, Wishes};
use super::design::base::{Base, base_facts};
use super::design::features;
use super::design::features::{
    AGE_KNOWN, CONDITION_KNOWN, Facts, NEW_KNOWN, SIZE_KNOWN, TIER_KNOWN,
};
use super::in_parallel;
use super::prior::priors::Priors;
use super::time_on_market::FittedTime;
use super::value::fitted::FittedValue;
use crate::statistics::distribution::student_t;
use crate::statistics::distribution::student_t::Predictive;
use crate::trade::money::round_to_sum;
use crate::trade::{Bike, Currency, Day, Money, Style};
use caution::Caution;
use doubts::{about_plan, about_records};
use from_new_price::from_new_price;

/// A value above this share of the new price is near it (judgement).
const NEAR_NEW: f64 = 0.85;

/// Largest variance of ln price that goes into a mean: with unknown facts the
/// log-normal mean would otherwise run away from everything seen.
pub(super) const LARGEST_VARIANCE: f64 = 0.7;

/// What is asked about one bike.
#[derive(Clone, Debug)]
pub struct Question {
    /// Its id, when it has one.
    pub id: Option<String>,
    /// Its features.
    pub bike: Bike,
    /// Direct cost so far.
    pub cost: Option<Money>,
    /// Unpaid hours, in hundredths.
    pub hours: Option<i64>,
    /// Probability of the range.
    pub level: f64,
    /// For a bike that stands listed: days so far, and its asks by age (days, ln).
    pub stood: Option<(f64, Vec<(f64, f64)>)>,
}

/// Value of one sale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ValueRange {
    /// Even chance.
    pub median: Money,
    /// Mean.
    pub expected: Money,
    /// Lower end.
    pub low: Money,
    /// Upper end.
    pub high: Money,
    /// Probability that a sale lands between them.
    pub level: f64,
}

/// What one feature does to the value.
#[derive(Clone, Debug, PartialEq)]
pub struct Contribution {
    /// Name of the feature.
    pub feature: String,
    /// Whether it is known; an unknown one has its expected effect.
    pub known: bool,
    /// What the value is multiplied by.
    pub factor: f64,
    /// The same in money; all amounts and the base add up to the median.
    pub amount: Money,
}

/// What is left over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Direct cost.
    pub cost: Money,
    /// Expected sale less cost.
    pub expected: Money,
    /// Low end of the range less cost.
    pub low: Money,
    /// High end less cost.
    pub high: Money,
    /// Probability that the sale brings less than the cost.
    pub chance_of_loss: f64,
    /// Expected margin an hour, in the currency's units.
    pub per_hour: Option<f64>,
}

/// The answer about one bike.
#[derive(Clone, Debug)]
pub struct Quote {
    /// What was asked.
    pub question: Question,
    /// Its value; `None` when there is nothing to go on.
    pub value: Option<ValueRange>,
    /// Where the contributions start: in words, and its value.
    pub base: Option<(String, Money)>,
    /// From the base to the bike.
    pub contributions: Vec<Contribution>,
    /// What to ask; `None` where nobody wants to know or no value is known.
    pub plan: Option<Plan>,
    /// What is left over, when a cost was given.
    pub margin: Option<Margin>,
    /// Doubts.
    pub cautions: Vec<Caution>,
}

/// How a bike is to be sold.
pub struct Selling<'a> {
    /// Time on market and haggling.
    pub time: &'a FittedTime,
    /// How the user decides.
    pub wishes: Wishes,
    /// How much is worked out beside the plan.
    pub detail: Detail,
}

/// Where a price comes from: the fitted records, or the new price alone.
pub enum Source<'a> {
    /// Records.
    Fitted(&'a FittedValue),
    /// No records.
    Nothing {
        /// Day of the answer.
        as_of: Day,
        /// The book's currency.
        currency: Currency,
    },
}

/// Prices one bike; with `selling`, says what to ask too.
pub fn quote(
    source: &Source<'_>,
    priors: &Priors,
    question: &Question,
    base: &Base,
    selling: Option<&Selling<'_>>,
) -> Quote {
    let mut answer = Quote {
        question: question.clone(),
        value: None,
        base: None,
        contributions: Vec::new(),
        plan: None,
        margin: None,
        cautions: Vec::new(),
    };
    let built = match source {
        Source::Fitted(model) => Some(from_records(model, question, base, &mut answer.cautions)),
        Source::Nothing { as_of, currency } => {
            from_new_price(priors, *as_of, *currency, question, &mut answer.cautions)
        }
    };
    let Some(built) = built else { return answer };
    fill(&mut answer, &built, selling);
    answer
}

/// Prices many bikes, shared among the processors; the answers are in the order of
/// the questions and the same as one by one.
pub fn quotes(
    source: &Source<'_>,
    priors: &Priors,
    questions: &[Question],
    base: &Base,
    selling: &Selling<'_>,
) -> Vec<Quote> {
    in_parallel::each(questions, |question| {
        quote(source, priors, question, base, Some(selling))
    })
}

/// A price before it is rounded.
pub(super) struct Built {
    pub(super) currency: Currency,
    pub(super) sale: Vec<(f64, Predictive)>,
    pub(super) ln_value: f64,
    pub(super) facts: Facts,
    pub(super) as_of: Day,
    /// Variance of what buyers see of the bike around its value.
    pub(super) bike_variance: f64,
    pub(super) base_words: String,
    pub(super) ln_base: f64,
    /// Name, whether it is known, and log contribution.
    pub(super) steps: Vec<(&'static str, bool, f64)>,
}

fn from_records(
    model: &FittedValue,
    question: &Question,
    base: &Base,
    cautions: &mut Vec<Caution>,
) -> Built {
    let as_of = model.coding.as_of;
    let here = features::facts(&question.bike, as_of, &model.currency);
    let there = base_facts(base, as_of, &model.currency);
    let (x, from) = (model.row(&here), model.row(&there));
    let b = &model.coefficients;
    let block =
        |range: std::ops::Range<usize>| -> f64 { range.map(|j| b[j] * (x[j] - from[j])).sum() };
    let known = |bit: u32| here.known & bit != 0;
    let one = |column: usize| block(column..column + 1);
    let age = block(features::AGE) + block(features::STYLE_AGE) + one(features::VINTAGE);
    let tier = block(features::TIER) + block(features::STYLE_TIER);
    // An unknown new price is as expected: its line would be 0.
    let new_price = one(features::NEW_PRICE);
    let style = block(features::STYLE) + if known(NEW_KNOWN) { 0.0 } else { new_price };
    let mut steps = vec![
        ("style", true, style),
        ("age", known(AGE_KNOWN), age),
        (
            "condition",
            known(CONDITION_KNOWN),
            block(features::CONDITION),
        ),
        ("tier", known(TIER_KNOWN), tier),
    ];
    // Kids' bikes have no size class, but the base may have one.
    let size = block(features::SIZE);
    if question.bike.style != Style::Kids || size != 0.0 {
        steps.push(("size", known(SIZE_KNOWN), size));
    }
    if known(NEW_KNOWN) {
        steps.push(("new price", true, new_price));
    }
    about_records(model, &question.bike, &here, cautions);
    Built {
        as_of,
        bike_variance: model.bike_variance(&here),
        facts: here,
        currency: model.currency,
        sale: model.one_sale(&here),
        ln_value: x.iter().zip(b).map(|(x, b)| x * b).sum(),
        base_words: base.words.clone(),
        ln_base: from.iter().zip(b).map(|(x, b)| x * b).sum(),
        steps,
    }
}

fn fill(answer: &mut Quote, built: &Built, selling: Option<&Selling<'_>>) {
    let currency = built.currency;
    let money = |ln: f64| currency.round(ln.exp());
    let level = answer.question.level;
    let end = |p: f64| money(student_t::quantile(&built.sale, p));
    let (Some(median), Some(low), Some(high), Some(base)) = (
        money(built.ln_value),
        end((1.0 - level) / 2.0),
        end(f64::midpoint(1.0, level)),
        money(built.ln_base),
    ) else {
        answer.cautions.push(Caution::OutOfReach);
        return;
    };
    let mean = mean_sale(&built.sale);
    let Some(expected) = currency.round(mean) else {
        answer.cautions.push(Caution::OutOfReach);
        return;
    };
    answer.value = Some(ValueRange {
        median,
        expected,
        low,
        high,
        level,
    });
    answer.base = Some((built.base_words.clone(), base));
    let logs: Vec<f64> = built.steps.iter().map(|s| s.2).collect();
    let amounts = logarithmic_mean_split(built.ln_base, &logs, currency.scale() as f64);
    let amounts = round_to_sum(&amounts, median.minor() - base.minor());
    answer.contributions = built
        .steps
        .iter()
        .zip(amounts)
        .map(|((feature, known, log), amount)| Contribution {
            feature: (*feature).to_string(),
            known: *known,
            factor: log.exp(),
            amount: Money::from_minor(amount),
        })
        .collect();
    answer.plan = selling.and_then(|selling| plan(answer, built, selling));
    // What the plan brings where there is one.
    let expected = match answer.plan.as_ref() {
        Some(plan) => currency
            .round(plan.outlook.expected_sale)
            .unwrap_or(expected),
        None => expected,
    };
    if let Some(cost) = answer.question.cost {
        let less = |m: Money| Money::from_minor(m.minor().saturating_sub(cost.minor()));
        let chance_of_loss = if cost.minor() > 0 {
            student_t::mixture_cdf(&built.sale, currency.units(cost).ln())
        } else {
            0.0
        };
        let hours = answer.question.hours.filter(|h| *h > 0);
        let per_hour = hours.map(|h| currency.units(less(expected)) / (h as f64 / 100.0));
        answer.margin = Some(Margin {
            cost,
            expected: less(expected),
            low: less(low),
            high: less(high),
            chance_of_loss,
            per_hour,
        });
    }
    if let Some(new_price) = answer.question.bike.new_price
        && median.minor() as f64 > NEAR_NEW * new_price.minor() as f64
        && new_price.minor() > 0
    {
        answer.cautions.push(Caution::NearNew {
            value: median,
            new_price,
        });
    }
}

/// Mean of one sale, in units. A Student t in logs has no mean of its exponential;
/// this is that of a log-normal with each part's scale.
pub(super) fn mean_sale(parts: &[(f64, Predictive)]) -> f64 {
    parts
        .iter()
        .map(|(share, t)| share * (t.location + t.scale.powi(2).min(LARGEST_VARIANCE) / 2.0).exp())
        .sum()
}

/// The distribution of ln of one sale; `None` when there is nothing to go on.
pub(super) fn one_sale(
    source: &Source<'_>,
    priors: &Priors,
    question: &Question,
) -> Option<Vec<(f64, Predictive)>> {
    match source {
        Source::Fitted(model) => {
            let facts = features::facts(&question.bike, model.coding.as_of, &model.currency);
            Some(model.one_sale(&facts))
        }
        Source::Nothing { as_of, currency } => {
            let built = from_new_price(priors, *as_of, *currency, question, &mut Vec::new())?;
            Some(built.sale)
        }
    }
}

fn plan(answer: &mut Quote, built: &Built, selling: &Selling<'_>) -> Option<Plan> {
    let spread = |t: &Predictive| t.scale.powi(2) + (t.location - built.ln_value).powi(2);
    let sale_variance: f64 = built.sale.iter().map(|(share, t)| share * spread(t)).sum();
    let freedom: f64 = built.sale.iter().map(|(share, t)| share * t.freedom).sum();
    let subject = Subject {
        facts: &built.facts,
        as_of: built.as_of,
        ln_value: built.ln_value,
        variance: built.bike_variance.min(LARGEST_VARIANCE),
        freedom,
        new_price: answer
            .question
            .bike
            .new_price
            .filter(|p| p.minor() > 0)
            .map(|p| built.currency.units(p)),
        stood: answer.question.stood.clone(),
    };
    let sale_variance = sale_variance.min(LARGEST_VARIANCE);
    let plan = asking::plan(
        selling.time,
        &subject,
        sale_variance,
        &selling.wishes,
        selling.detail,
        &built.currency,
    );
    match &plan {
        Some(plan) => about_plan(selling.time, plan, &selling.wishes, &mut answer.cautions),
        None => answer.cautions.push(Caution::OutOfReach),
    }
    plan
}

/// Splits `exp(base + sum logs) - exp(base)` among the logs, in units times
/// `scale`: `D_j = L(P1, P0) c_j` with the logarithmic mean
/// `L = (P1 - P0) / ln(P1 / P0)`, `L = P` where the two are equal (Ang 2004,
/// Energy Policy 32, from memory). Exact and free of order.
pub fn logarithmic_mean_split(base: f64, logs: &[f64], scale: f64) -> Vec<f64> {
    let total: f64 = logs.iter().sum();
    let start = base.exp() * scale;
    let mean = if total.abs() < 1e-12 {
        start
    } else {
        start * total.exp_m1() / total
    };
    logs.iter().map(|c| mean * c).collect()
}
