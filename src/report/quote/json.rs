//! Quotes as JSON: money as numbers in the book's currency, factors not rounded.

use super::caution_words;
use super::own_eye::{self, EyeJson};
use super::plan;
use crate::pricing::asking::{SellingWishes, WeekCostFrom};
use crate::pricing::quote::priced::Priced;
use crate::pricing::quote::{self, Quote, Selling, ValueRange};
use crate::pricing::records::nearest::Neighbour;
use crate::pricing::value::fitted::FittedValue;
use crate::report::text::coded::CodedText;
use crate::trade::{Condition, Currency, Day, Outcome};
use serde::Serialize;

/// A whole answer.
#[derive(Serialize)]
struct Answer<'a> {
    as_of: String,
    currency: &'a str,
    model: Option<Model>,
    wishes: Wishes,
    bikes: Vec<PricedBike>,
}

/// How the asks were decided.
#[derive(Serialize)]
pub(in crate::report) struct Wishes {
    week_cost: f64,
    from: &'static str,
    /// What a week on hand has earned, before it was kept within bounds.
    #[serde(skip_serializing_if = "Option::is_none")]
    earned: Option<EarnedAWeek>,
    weeks: usize,
    quick_sale: f64,
}

#[derive(Serialize)]
struct EarnedAWeek {
    rate: f64,
    amount: Option<f64>,
    bikes: usize,
}

/// The plan of somebody who has time.
#[derive(Serialize)]
struct Patient {
    ask: plan::json::Ask,
    days_on_market: plan::json::DaysOnMarket,
}

#[derive(Serialize)]
struct Model {
    sales: usize,
    comps: usize,
    left_out: usize,
    residual_sd: f64,
    prior_weight: f64,
    comps_weight: f64,
    fitted_on: String,
    selling: Option<plan::json::Selling>,
}

#[derive(Serialize)]
struct PricedBike {
    bike: Option<String>,
    value: Option<Value>,
    base: Option<BaseBike>,
    contributions: Vec<Contribution>,
    eye: Option<EyeJson>,
    ask: Option<plan::json::Ask>,
    days_on_market: Option<plan::json::DaysOnMarket>,
    curve: Vec<plan::json::CurvePoint>,
    mark_down: Vec<plan::json::MarkDown>,
    patient: Option<Patient>,
    margin: Option<Margin>,
    nearest: Nearest,
    inspection: Option<Inspection>,
    cautions: Vec<CodedText>,
}

#[derive(Serialize)]
struct Value {
    median: f64,
    expected: f64,
    low: f64,
    high: f64,
    level: f64,
}

#[derive(Serialize)]
struct BaseBike {
    amount: f64,
    bike: String,
}

#[derive(Serialize)]
struct Contribution {
    feature: String,
    known: bool,
    factor: f64,
    amount: f64,
}

#[derive(Serialize)]
struct Margin {
    cost: f64,
    expected: f64,
    low: f64,
    high: f64,
    chance_of_loss: f64,
    per_hour: Option<f64>,
}

#[derive(Serialize, Default)]
struct Nearest {
    sales: Vec<Near>,
    comps: Vec<Near>,
}

#[derive(Serialize)]
struct Near {
    id: String,
    source: Option<String>,
    price: f64,
    paid: bool,
    on: String,
    outcome: Option<&'static str>,
    distance: f64,
}

/// The latest inspection of an own bike.
#[derive(Serialize)]
struct Inspection {
    on: String,
    ready: bool,
    condition: Option<u8>,
    open_gates: Vec<&'static str>,
}

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number in a quote is finite.
pub fn render(
    priced: &[Priced],
    model: Option<&FittedValue>,
    selling: &Selling<'_>,
    as_of: Day,
    currency: &Currency,
) -> Result<String, serde_json::Error> {
    let bikes = priced.iter().map(|one| priced_bike(one, as_of, currency));
    let answer = Answer {
        as_of: as_of.to_string(),
        currency: currency.code(),
        model: model.map(|m| Model {
            sales: m.gathered.sales,
            comps: m.gathered.comps,
            left_out: m.gathered.left_out,
            residual_sd: m.own_variance.sqrt(),
            prior_weight: m.prior_weight,
            comps_weight: m.comps_exponent,
            fitted_on: as_of.to_string(),
            selling: Some(plan::json::selling(selling.time)),
        }),
        wishes: wishes(&selling.wishes, currency),
        bikes: bikes.collect(),
    };
    serde_json::to_string_pretty(&answer).map(|text| text + "\n")
}

/// How asks are decided, as JSON has it.
pub(in crate::report) fn wishes(wishes: &SellingWishes, currency: &Currency) -> Wishes {
    let (from, earned) = match wishes.from {
        WeekCostFrom::Own(earned) => ("own", Some(earned)),
        WeekCostFrom::Trade => ("trade", None),
        WeekCostFrom::Given => ("given", None),
    };
    Wishes {
        week_cost: wishes.week_cost,
        from,
        earned: earned.map(|earned| EarnedAWeek {
            rate: earned.rate,
            amount: currency.round(earned.a_week).map(|m| currency.units(m)),
            bikes: earned.bikes,
        }),
        weeks: wishes.weeks,
        quick_sale: wishes.quick_sale,
    }
}

fn priced_bike(priced: &Priced, as_of: Day, currency: &Currency) -> PricedBike {
    let quote = &priced.quote;
    let plan = quote.plan.as_ref();
    let near = |found: &[Neighbour]| found.iter().map(|one| near(one, currency)).collect();
    PricedBike {
        bike: quote.question.id.clone(),
        value: quote.value.map(|range| value(&range, currency)),
        base: quote.base.as_ref().map(|(words, amount)| BaseBike {
            amount: currency.units(*amount),
            bike: words.clone(),
        }),
        contributions: contributions(quote, currency),
        eye: quote.eye.as_ref().map(|eye| own_eye::json(eye, currency)),
        ask: plan.map(|plan| plan::json::ask(plan, currency)),
        days_on_market: plan.map(plan::json::days),
        curve: plan.map_or(Vec::new(), |plan| plan::json::curve(plan, currency)),
        mark_down: plan.map_or(Vec::new(), |plan| {
            plan::json::mark_down(plan, as_of, currency)
        }),
        patient: quote.patient.as_ref().or(plan).map(|plan| Patient {
            ask: plan::json::ask(plan, currency),
            days_on_market: plan::json::days(plan),
        }),
        margin: quote.margin.map(|of| margin(&of, currency)),
        nearest: Nearest {
            sales: near(&priced.sales),
            comps: near(&priced.comps),
        },
        inspection: priced.verdict.as_ref().map(|verdict| Inspection {
            on: verdict.on.to_string(),
            ready: verdict.ready,
            condition: verdict.condition.map(Condition::grade),
            open_gates: verdict.open_gates.clone(),
        }),
        cautions: quote
            .cautions
            .iter()
            .map(|c| CodedText {
                code: caution_words::code(c),
                text: caution_words::words(c, currency),
            })
            .collect(),
    }
}

fn value(range: &ValueRange, currency: &Currency) -> Value {
    Value {
        median: currency.units(range.median),
        expected: currency.units(range.expected),
        low: currency.units(range.low),
        high: currency.units(range.high),
        level: range.level,
    }
}

fn contributions(quote: &Quote, currency: &Currency) -> Vec<Contribution> {
    let each = quote.contributions.iter().map(|c| Contribution {
        feature: c.feature.clone(),
        known: c.known,
        factor: c.factor,
        amount: currency.units(c.amount),
    });
    each.collect()
}

fn margin(of: &quote::Margin, currency: &Currency) -> Margin {
    // Hourly rates are money too: rounded as such.
    let rounded = |rate: f64| currency.round(rate).map(|money| currency.units(money));
    Margin {
        cost: currency.units(of.cost),
        expected: currency.units(of.expected),
        low: currency.units(of.low),
        high: currency.units(of.high),
        chance_of_loss: of.chance_of_loss,
        per_hour: of.per_hour.and_then(rounded),
    }
}

fn near(one: &Neighbour, currency: &Currency) -> Near {
    Near {
        id: one.id.clone(),
        source: (!one.source.is_empty()).then(|| one.source.clone()),
        price: currency.units(one.price),
        paid: one.paid,
        on: one.day.to_string(),
        outcome: one.outcome.map(Outcome::word),
        distance: one.distance,
    }
}
