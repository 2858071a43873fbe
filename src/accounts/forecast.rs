//! Offers that were kept, against what came of the bikes.

use super::direct_cost::{DirectCost, by_bike};
use crate::trade::calendar::days_between;
use crate::trade::{Cost, Day, KeptOffer, Money, Sale};

/// An offer and what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// The offer.
    pub offer: KeptOffer,
    /// What became of it.
    pub fate: Fate,
}

/// What became of the bike of an offer, as known on some day.
#[derive(Clone, Debug, PartialEq)]
pub enum Fate {
    /// It is not in the book: not bought, or not yet.
    NotBought,
    /// A later offer for the same bike stands in its place.
    Superseded,
    /// It was in the book already when the offer was made: no bid, so nothing is
    /// learnt from it.
    BoughtBefore,
    /// It was bought and is not sold yet.
    OnHand,
    /// It was bought and left without a sale, so nothing is learnt from it.
    Left,
    /// It was bought and sold.
    Sold(Outcome),
}

/// What a bike that was bought brought in the end.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// What was paid for it; `None` when that is not known.
    pub bought_for: Option<Money>,
    /// Money spent on it beside the purchase: parts, supplies, travel and other.
    pub cost: Money,
    /// What selling cost.
    pub fees: Money,
    /// Hours in hundredths, when they were recorded.
    pub hours: Option<i64>,
    /// Sale price.
    pub price: Money,
    /// Day of the sale.
    pub sold_on: Day,
    /// Days on market; `None` when the day of listing is not known.
    pub days: Option<i64>,
    /// What was left before the bike was paid for.
    pub left: Money,
    /// What was left less what was forecast to be left, as a fraction of the sale
    /// price that was forecast.
    pub error: f64,
    /// Whether it was sold in the condition and tier that the offer planned, as far
    /// as both are known.
    pub as_planned: bool,
}

/// The offers in their order, each with what became of it by the day `as_of`: a
/// bike is looked for by its id. Of several offers for one bike the last counts that
/// was made by the day it was bought. Costs of later days are not used.
pub fn forecasts(
    offers: &[KeptOffer],
    sales: &[Sale],
    costs: &[Cost],
    as_of: Day,
) -> Vec<Forecast> {
    let costs = by_bike(costs.iter().filter(|cost| cost.on <= as_of));
    let fate = |place: usize, offer: &KeptOffer| {
        let same = |later: &&KeptOffer| later.bike == offer.bike && later.on <= as_of;
        let mut later = offers.iter().skip(place + 1).filter(same);
        let sale = sales.iter().find(|sale| sale.id == offer.bike);
        let Some(sale) = sale.and_then(|sale| sale.as_known_on(as_of)) else {
            return match later.next() {
                Some(_) => Fate::Superseded,
                None => Fate::NotBought,
            };
        };
        let bought = bought_by(&sale);
        if bought.is_some_and(|day| offer.on > day) {
            return Fate::BoughtBefore;
        }
        if later.any(|later| bought.is_none_or(|day| later.on <= day)) {
            return Fate::Superseded;
        }
        if sale.left.is_some() {
            return Fate::Left;
        }
        let of_bike = costs.get(sale.id.as_str()).into_iter().flatten();
        let cost = DirectCost::of(&sale, of_bike.copied());
        outcome(offer, &sale, &cost).map_or(Fate::OnHand, Fate::Sold)
    };
    offers
        .iter()
        .enumerate()
        .map(|(place, offer)| Forecast {
            offer: offer.clone(),
            fate: fate(place, offer),
        })
        .collect()
}

/// The day by which it was bought.
fn bought_by(sale: &Sale) -> Option<Day> {
    let sold = sale.sold.map(|sold| sold.on);
    sale.bought_on.or(sale.listed_on).or(sold)
}

/// `error = (left - left forecast) / price forecast`, where what is left is the
/// sale price less fees and all costs but the purchase.
fn outcome(offer: &KeptOffer, sale: &Sale, cost: &DirectCost) -> Option<Outcome> {
    let sold = sale.sold?;
    let spent: Money = [cost.parts, cost.other_cost].into_iter().flatten().sum();
    let fees = cost.fees.unwrap_or(Money::ZERO);
    let left = Money::from_minor(sold.price.minor() - spent.minor() - fees.minor());
    let short = (left.minor() - offer.left().minor()) as f64;
    let bike = &sale.bike;
    Some(Outcome {
        bought_for: cost.purchase,
        cost: spent,
        fees,
        hours: sale.hours,
        price: sold.price,
        sold_on: sold.on,
        days: sale.listed_on.map(|day| days_between(day, sold.on)),
        left,
        error: short / (offer.price.minor().max(1)) as f64,
        as_planned: agree(offer.condition, bike.condition) && agree(offer.tier, bike.tier),
    })
}

/// Whether what was planned is what came, as far as both are known.
fn agree<T: PartialEq>(planned: Option<T>, is: Option<T>) -> bool {
    planned.zip(is).is_none_or(|(planned, is)| planned == is)
}

impl Outcome {
    /// What was left when the bike was paid for; `None` where that is not known.
    pub fn margin(&self) -> Option<Money> {
        let paid = self.bought_for?;
        Some(Money::from_minor(self.left.minor() - paid.minor()))
    }

    /// What was left more than an offer forecast.
    pub fn more_than(&self, offer: &KeptOffer) -> Money {
        Money::from_minor(self.left.minor() - offer.left().minor())
    }
}

impl Forecast {
    /// The outcome, if the bike was bought after the offer and is sold.
    pub fn outcome(&self) -> Option<&Outcome> {
        match &self.fate {
            Fate::Sold(outcome) => Some(outcome),
            _ => None,
        }
    }
}

/// Errors of the offers that were bought and sold, in the order of sale: each a
/// fraction of the sale price forecast.
pub fn errors(forecasts: &[Forecast]) -> Vec<f64> {
    let mut sold: Vec<&Outcome> = forecasts.iter().filter_map(Forecast::outcome).collect();
    sold.sort_by_key(|outcome| outcome.sold_on);
    sold.into_iter().map(|outcome| outcome.error).collect()
}
