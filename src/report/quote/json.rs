//! Quotes as JSON: money as numbers in the book's currency, factors not rounded.

use super::caution_words;
use super::plan_json;
use crate::pricing::quote::answer::Priced;
use crate::pricing::records::nearest::Neighbour;
use crate::pricing::time_on_market::FittedTime;
use crate::pricing::value::fitted::FittedValue;
use crate::trade::{Currency, Day, Money};
use serde::Serialize;

/// A whole answer.
#[derive(Serialize)]
struct Answer<'a> {
    as_of: String,
    currency: &'a str,
    model: Option<Model>,
    bikes: Vec<PricedBike>,
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
    selling: Option<plan_json::Selling>,
}

#[derive(Serialize)]
struct PricedBike {
    bike: Option<String>,
    value: Option<Value>,
    base: Option<BaseBike>,
    contributions: Vec<Contribution>,
    ask: Option<plan_json::Ask>,
    days_on_market: Option<plan_json::DaysOnMarket>,
    curve: Vec<plan_json::CurvePoint>,
    mark_down: Vec<plan_json::MarkDown>,
    margin: Option<Margin>,
    nearest: Nearest,
    inspection: Option<Inspection>,
    cautions: Vec<Caution>,
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

#[derive(Serialize)]
struct Caution {
    code: &'static str,
    text: String,
}

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number in a quote is finite.
pub fn render(
    priced: &[Priced],
    model: Option<&FittedValue>,
    time: Option<&FittedTime>,
    as_of: Day,
    currency: &Currency,
) -> Result<String, serde_json::Error> {
    let units = |m: Money| currency.units(m);
    // Hourly rates are money too: rounded as such.
    let rounded = |v: f64| currency.round(v).map(units);
    let near = |n: &Neighbour| Near {
        id: n.id.clone(),
        source: (!n.source.is_empty()).then(|| n.source.clone()),
        price: units(n.price),
        paid: n.paid,
        on: n.day.to_string(),
        outcome: n.outcome.map(crate::trade::comparable::Outcome::word),
        distance: n.distance,
    };
    let bikes = priced.iter().map(|p| {
        let q = &p.quote;
        PricedBike {
            bike: q.question.id.clone(),
            value: q.value.map(|v| Value {
                median: units(v.median),
                expected: units(v.expected),
                low: units(v.low),
                high: units(v.high),
                level: v.level,
            }),
            base: q.base.as_ref().map(|(words, amount)| BaseBike {
                amount: units(*amount),
                bike: words.clone(),
            }),
            contributions: q
                .contributions
                .iter()
                .map(|c| Contribution {
                    feature: c.feature.clone(),
                    known: c.known,
                    factor: c.factor,
                    amount: units(c.amount),
                })
                .collect(),
            ask: q.plan.as_ref().map(|plan| plan_json::ask(plan, currency)),
            days_on_market: q.plan.as_ref().map(plan_json::days),
            curve: q
                .plan
                .as_ref()
                .map_or(Vec::new(), |plan| plan_json::curve(plan, currency)),
            mark_down: q.plan.as_ref().map_or(Vec::new(), |plan| {
                plan_json::mark_down(plan, as_of, currency)
            }),
            margin: q.margin.map(|m| Margin {
                cost: units(m.cost),
                expected: units(m.expected),
                low: units(m.low),
                high: units(m.high),
                chance_of_loss: m.chance_of_loss,
                per_hour: m.per_hour.and_then(rounded),
            }),
            nearest: Nearest {
                sales: p.sales.iter().map(near).collect(),
                comps: p.comps.iter().map(near).collect(),
            },
            inspection: p.verdict.as_ref().map(|verdict| Inspection {
                on: verdict.on.to_string(),
                ready: verdict.ready,
                condition: verdict.condition.map(crate::trade::bike::Condition::grade),
                open_gates: verdict.open_gates.clone(),
            }),
            cautions: q
                .cautions
                .iter()
                .map(|c| Caution {
                    code: caution_words::code(c),
                    text: caution_words::words(c, currency),
                })
                .collect(),
        }
    });
    let answer = Answer {
        as_of: as_of.to_string(),
        currency: currency.code(),
        model: model.map(|m| Model {
            sales: m.gathered.sales,
            comps: m.gathered.comps,
            left_out: m.gathered.left_out,
            residual_sd: m.own_variance.sqrt(),
            prior_weight: m.prior_weight,
            comps_weight: m.comps_weight,
            fitted_on: as_of.to_string(),
            selling: time.map(plan_json::selling),
        }),
        bikes: bikes.collect(),
    };
    serde_json::to_string_pretty(&answer).map(|text| text + "\n")
}
