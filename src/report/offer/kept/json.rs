//! Kept offers against what came of them, as JSON.

use super::words::code;
use crate::accounts::forecast::Forecast;
use crate::pricing::offer::OfferCorrection;
use crate::report::offer::json::{EarlierOffers, learnt};
use crate::trade::Condition;
use crate::trade::Tier;
use crate::trade::{Currency, Day};
use serde::Serialize;

#[derive(Serialize)]
struct Answer<'a> {
    as_of: String,
    currency: &'a str,
    learnt: EarlierOffers,
    offers: Vec<Line<'a>>,
}

#[derive(Serialize)]
struct Line<'a> {
    bike: &'a str,
    on: String,
    asking: Option<f64>,
    most_to_pay: Most,
    jobs: &'a [String],
    condition: Option<u8>,
    tier: Option<u8>,
    told: Figures,
    state: &'static str,
    came_to: Option<CameTo>,
}

#[derive(Serialize)]
struct Most {
    target_margin: f64,
    mean: f64,
    cautious: f64,
}

#[derive(Serialize)]
struct Figures {
    repair: f64,
    hours: Option<f64>,
    selling: f64,
    sale: f64,
    days: Option<f64>,
    left: f64,
}

#[derive(Serialize)]
struct CameTo {
    bought_for: Option<f64>,
    sold_on: String,
    #[serde(flatten)]
    figures: Figures,
    error: f64,
    as_planned: bool,
}

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number is finite.
pub fn json(
    forecasts: &[Forecast],
    taught: &OfferCorrection,
    as_of: Day,
    currency: &Currency,
) -> Result<String, serde_json::Error> {
    let answer = Answer {
        as_of: as_of.to_string(),
        currency: currency.code(),
        learnt: learnt(taught, None),
        offers: forecasts.iter().map(|one| line(one, currency)).collect(),
    };
    serde_json::to_string_pretty(&answer).map(|text| text + "\n")
}

fn line<'a>(forecast: &'a Forecast, currency: &Currency) -> Line<'a> {
    let units = |amount| currency.units(amount);
    let hours = |hundredths: i64| hundredths as f64 / 100.0;
    let offer = &forecast.offer;
    Line {
        bike: &offer.bike,
        on: offer.on.to_string(),
        asking: offer.asking.map(units),
        most_to_pay: Most {
            target_margin: units(offer.margin),
            mean: units(offer.most_mean),
            cautious: units(offer.most_cautious),
        },
        jobs: &offer.jobs,
        condition: offer.condition.map(Condition::grade),
        tier: offer.tier.map(Tier::grade),
        told: Figures {
            repair: units(offer.cost),
            hours: Some(hours(offer.hours)),
            selling: units(offer.fees),
            sale: units(offer.price),
            days: Some(offer.days as f64 / 10.0),
            left: units(offer.left()),
        },
        state: code(&forecast.fate),
        came_to: forecast.outcome().map(|outcome| CameTo {
            bought_for: outcome.bought_for.map(units),
            sold_on: outcome.sold_on.to_string(),
            figures: Figures {
                repair: units(outcome.cost),
                hours: outcome.hours.map(hours),
                selling: units(outcome.fees),
                sale: units(outcome.price),
                days: outcome.days.map(|days| days as f64),
                left: units(outcome.left),
            },
            error: outcome.error,
            as_planned: outcome.as_planned,
        }),
    }
}
