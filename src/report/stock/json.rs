//! The shed as JSON: money as numbers in the book's currency, days in days, null
//! where something is not known.

use super::shed::Shed;
use super::words;
use crate::accounts::stock::line::StockLine;
use crate::accounts::stock::shed::Totals;
use crate::accounts::{Clearance, NextStep};
use crate::report::text::coded::CodedText;
use crate::trade::Condition;
use crate::trade::Tier;
use crate::trade::{Currency, Day, Money, Years};
use serde::Serialize;

#[derive(Serialize)]
struct Answer<'a> {
    as_of: String,
    currency: &'a str,
    bikes: Vec<BikeOnHand<'a>>,
    totals: Sums,
    cautions: Vec<CodedText>,
}

#[derive(Serialize)]
struct BikeOnHand<'a> {
    bike: &'a str,
    style: &'static str,
    made: Option<Years>,
    condition: Option<u8>,
    tier: Option<u8>,
    bought_on: Option<String>,
    listed_on: Option<String>,
    days_in_workshop: Option<i64>,
    days_listed: Option<i64>,
    days_on_hand: Option<i64>,
    cash: Option<f64>,
    hours: Option<f64>,
    ask: Option<f64>,
    value: Option<f64>,
    /// Mean of the plan, or the value where there is none.
    expected: Option<f64>,
    next: Next,
    overdue: bool,
    inspection: Option<Inspection>,
}

/// The latest one.
#[derive(Serialize)]
struct Inspection {
    on: String,
    ready: bool,
    result: &'static str,
}

#[derive(Serialize)]
struct Next {
    #[serde(rename = "do")]
    what: &'static str,
    on: Option<String>,
    ask: Option<f64>,
    text: String,
}

#[derive(Serialize)]
struct Sums {
    bikes: usize,
    listed: usize,
    cash: f64,
    asks: f64,
    expected: Option<f64>,
    mean_days_on_hand: Option<f64>,
    longest_days_on_hand: Option<i64>,
    cash_over_60_days: f64,
    share_over_60_days: Option<f64>,
}

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number is finite.
pub fn json(shed: &Shed, currency: &Currency) -> Result<String, serde_json::Error> {
    let stock = &shed.stock;
    let cautions = words::cautions(shed, currency);
    let answer = Answer {
        as_of: stock.as_of.to_string(),
        currency: currency.code(),
        bikes: stock
            .lines
            .iter()
            .map(|line| bike(line, stock.as_of, currency))
            .collect(),
        totals: sums(&stock.totals, currency),
        cautions: cautions
            .into_iter()
            .map(|told| CodedText {
                code: told.code,
                text: told.words,
            })
            .collect(),
    };
    serde_json::to_string_pretty(&answer).map(|text| text + "\n")
}

fn bike<'a>(line: &'a StockLine, as_of: Day, currency: &Currency) -> BikeOnHand<'a> {
    let holding = &line.holding;
    let (sale, bike) = (&holding.sale, &holding.sale.bike);
    let units = |money: Option<Money>| money.map(|money| currency.units(money));
    let day = |day: Option<Day>| day.map(|day| day.to_string());
    BikeOnHand {
        bike: &sale.id,
        style: bike.style.word(),
        made: bike.made,
        condition: bike.condition.map(Condition::grade),
        tier: bike.tier.map(Tier::grade),
        bought_on: day(sale.bought_on),
        listed_on: day(sale.listed_on),
        days_in_workshop: holding.days_in_workshop,
        days_listed: holding.days_listed,
        days_on_hand: holding.days_on_hand,
        cash: units(holding.cash()),
        hours: sale.hours.map(|hours| hours as f64 / 100.0),
        ask: units(holding.ask),
        value: units(line.prospect.value),
        expected: units(line.expected()),
        next: next(line, as_of, currency),
        overdue: line.next.is_overdue(as_of),
        inspection: holding.inspection.map(|(on, result)| Inspection {
            on: on.to_string(),
            ready: result == Clearance::Passed,
            result: match result {
                Clearance::Passed => "passed",
                Clearance::NoRoadTest => "no_road_test",
                Clearance::GatesOpen => "gates_open",
                Clearance::OnlyParts => "only_parts",
                Clearance::NotToBeSold => "not_to_be_sold",
            },
        }),
    }
}

/// Listing is due on the day of the answer; work and waiting have no day.
fn next(line: &StockLine, as_of: Day, currency: &Currency) -> Next {
    let (what, on, ask) = match &line.next {
        NextStep::MarkDown { on, to, .. } => ("mark_down", Some(*on), Some(*to)),
        NextStep::List { at } => ("list", Some(as_of), *at),
        NextStep::Finish => ("finish", None, None),
        NextStep::TakeApart => ("take_apart", None, None),
        NextStep::Wait => ("wait", None, None),
    };
    Next {
        what,
        on: on.map(|day| day.to_string()),
        ask: ask.map(|money| currency.units(money)),
        text: words::to_do(line, as_of, currency),
    }
}

fn sums(totals: &Totals, currency: &Currency) -> Sums {
    let units = |money: Money| currency.units(money);
    Sums {
        bikes: totals.bikes,
        listed: totals.listed,
        cash: units(totals.cash),
        asks: units(totals.asks),
        expected: totals.known_expected().map(units),
        mean_days_on_hand: totals.mean_days(),
        longest_days_on_hand: totals.longest,
        cash_over_60_days: units(totals.cash_long),
        share_over_60_days: totals.long_share(),
    }
}
