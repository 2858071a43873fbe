//! The plan of a quote as JSON.

use crate::pricing::asking::{Outlook, Plan};
use crate::pricing::time_on_market::FittedTime;
use crate::pricing::time_on_market::columns::PREMIUM;
use crate::trade::{Currency, Day, Money};
use jiff::ToSpan as _;
use serde::Serialize;

#[derive(Serialize)]
pub(in crate::report) struct Ask {
    suggested: f64,
    floor: f64,
    expected_sale: Option<f64>,
    expected_days: f64,
    present_value: Option<f64>,
    unsold: f64,
    best_single: Single,
    mark_downs_add: f64,
    week_costs: f64,
    weeks: usize,
    later_floors: Vec<Floor>,
    stands: Option<Stands>,
}

#[derive(Serialize)]
struct Single {
    ask: f64,
    present_value: f64,
}

#[derive(Serialize)]
struct Floor {
    day: i64,
    floor: f64,
}

/// How an own bike stands listed.
#[derive(Serialize)]
struct Stands {
    days: i64,
    ask: Option<f64>,
}

#[derive(Serialize)]
pub(in crate::report) struct DaysOnMarket {
    median: Option<f64>,
    within_7: f64,
    within_14: f64,
    within_30: f64,
    within_60: f64,
    /// The median if of the comps that are gone half were sold, and if all were.
    #[serde(skip_serializing_if = "Option::is_none")]
    if_gone_sold: Option<IfGoneSold>,
}

#[derive(Serialize)]
struct IfGoneSold {
    half: Option<f64>,
    all: Option<f64>,
}

#[derive(Serialize)]
pub(in crate::report) struct CurvePoint {
    ask: f64,
    premium: f64,
    median_days: Option<f64>,
    within_7: f64,
    within_14: f64,
    within_30: f64,
    within_60: f64,
    expected_days: f64,
    expected_sale: Option<f64>,
    present_value: Option<f64>,
}

#[derive(Serialize)]
pub(in crate::report) struct MarkDown {
    day: i64,
    on: String,
    ask: f64,
}

/// What the pace and the haggling rest on.
#[derive(Serialize)]
pub(in crate::report) struct Selling {
    own_listings: usize,
    own_sold: usize,
    comps: usize,
    comps_sold: usize,
    comps_gone: usize,
    /// What one percent more of ask does to the flow of buyers, at the value.
    elasticity: f64,
    /// 1: as likely to sell today as ever; below 1: what stands, stands.
    shape: f64,
    /// What buyers pay of an ask at the value.
    kept_after_haggling: f64,
    haggling_pairs: usize,
    usual_premium: f64,
}

/// Money computed as a mean: rounded once.
fn rounded(units: f64, currency: &Currency) -> Option<f64> {
    currency.round(units).map(|m| currency.units(m))
}

pub(in crate::report) fn ask(plan: &Plan, currency: &Currency) -> Ask {
    let units = |m: Money| currency.units(m);
    let Outlook {
        expected_sale,
        expected_days,
        present_value,
        chances,
    } = plan.outlook;
    let present = rounded(present_value, currency);
    let (single, single_worth) = plan.single;
    Ask {
        suggested: plan.steps.first().map_or(0.0, |s| units(s.1)),
        floor: units(plan.floor),
        expected_sale: rounded(expected_sale, currency),
        expected_days,
        present_value: present,
        unsold: chances.unsold,
        best_single: Single {
            ask: units(single),
            present_value: units(single_worth),
        },
        mark_downs_add: units(plan.mark_downs_add()),
        week_costs: units(plan.week),
        weeks: plan.weeks,
        later_floors: plan
            .later_floors
            .iter()
            .map(|(day, floor)| Floor {
                day: *day,
                floor: units(*floor),
            })
            .collect(),
        stands: plan.stands.map(|(days, ask)| Stands {
            days,
            ask: ask.map(units),
        }),
    }
}

pub(in crate::report) fn days(plan: &Plan) -> DaysOnMarket {
    let chances = plan.outlook.chances;
    let [within_7, within_14, within_30, within_60] = chances.within;
    DaysOnMarket {
        median: chances.median,
        within_7,
        within_14,
        within_30,
        within_60,
        if_gone_sold: plan.gone.map(|[half, all]| IfGoneSold { half, all }),
    }
}

pub(in crate::report) fn curve(plan: &Plan, currency: &Currency) -> Vec<CurvePoint> {
    plan.curve
        .iter()
        .map(|point| {
            let [within_7, within_14, within_30, within_60] = point.outlook.chances.within;
            CurvePoint {
                ask: currency.units(point.ask),
                premium: point.premium,
                median_days: point.outlook.chances.median,
                within_7,
                within_14,
                within_30,
                within_60,
                expected_days: point.outlook.expected_days,
                expected_sale: rounded(point.outlook.expected_sale, currency),
                present_value: rounded(point.outlook.present_value, currency),
            }
        })
        .collect()
}

pub(in crate::report) fn mark_down(plan: &Plan, as_of: Day, currency: &Currency) -> Vec<MarkDown> {
    plan.steps
        .iter()
        .map(|(day, ask)| MarkDown {
            day: *day,
            on: as_of.saturating_add(day.days()).to_string(),
            ask: currency.units(*ask),
        })
        .collect()
}

pub(in crate::report) fn selling(time: &FittedTime) -> Selling {
    let r = &time.rests_on;
    let shape = (-time.fit.ln_scale).exp();
    Selling {
        own_listings: r.own,
        own_sold: r.own_sold,
        comps: r.comps,
        comps_sold: r.comps_sold,
        comps_gone: r.comps_gone,
        elasticity: time
            .fit
            .coefficients
            .get(PREMIUM)
            .map_or(0.0, |g| g * shape),
        shape,
        kept_after_haggling: time.haggle.kept(0.0),
        haggling_pairs: time.haggle.pairs,
        usual_premium: time.own_habit.mean,
    }
}
