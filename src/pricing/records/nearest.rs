//! The comps and own sales most like a bike, so that the user can check with
//! their own eyes.

use crate::pricing::design::coding::Coding;
use crate::pricing::design::fact;
use crate::pricing::design::features::{Facts, column, facts};
use crate::pricing::value::reduce::{CompMet, Observer};
use crate::trade::calendar::{DAYS_PER_YEAR, days_between};
use crate::trade::{Bike, Currency, Day, Money, Outcome, Sale};
use std::ops::Range;

/// Neighbours shown.
pub const SHOWN: usize = 5;
/// Distance added for each fact that one of the two does not know: about the
/// spread of an unknown feature's effect (judgement).
pub(in crate::pricing) const UNKNOWN: f64 = 0.20;
/// Distance added for another style, besides the styles' own difference (judgement).
pub(in crate::pricing) const OTHER_STYLE: f64 = 0.25;
/// Distance for each year between the prices: a market drifts (judgement).
pub(in crate::pricing) const A_YEAR: f64 = 0.04;

/// A record like the bike.
#[derive(Clone, Debug, PartialEq)]
pub struct Neighbour {
    /// Id of the bike or listing.
    pub id: String,
    /// Source of a comp, empty for an own sale.
    pub source: String,
    /// Its features.
    pub bike: Bike,
    /// Its price: what was paid, or the last ask.
    pub price: Money,
    /// Whether the price is what was paid.
    pub paid: bool,
    /// The day of the sale, or the last on which a comp was seen.
    pub day: Day,
    /// How the listing stood; `None` for an own sale.
    pub outcome: Option<Outcome>,
    /// Root of the summed squared differences in ln price that the model sees
    /// between the two, feature by feature.
    pub distance: f64,
}

/// Collects the nearest comps to one bike during the fit's second pass.
pub struct NearestComps {
    target: Facts,
    as_of: Day,
    /// Nearest first.
    pub found: Vec<Neighbour>,
}

impl NearestComps {
    /// Nothing found yet.
    pub fn new(bike: &Bike, as_of: Day, currency: &Currency) -> Self {
        Self {
            target: facts(bike, as_of, currency),
            as_of,
            found: Vec::new(),
        }
    }

    /// How near a further comp must be to count; infinite while too few are found.
    pub fn reach(&self) -> f64 {
        let farthest = self.found.get(SHOWN - 1);
        farthest.map_or(f64::INFINITY, |neighbour| neighbour.distance)
    }
}

impl Observer for NearestComps {
    fn comp(&mut self, met: CompMet<'_>, _: &Coding, b: &[f64]) {
        let CompMet { comp, seen, .. } = met;
        let distance = distance(
            &self.target,
            &seen.facts,
            b,
            days_between(seen.day, self.as_of),
        );
        if self.found.len() == SHOWN && self.found[SHOWN - 1].distance <= distance {
            return;
        }
        let state = comp.state_on(self.as_of);
        let neighbour = Neighbour {
            id: comp.listing.clone(),
            source: comp.source.clone(),
            bike: comp.bike,
            price: state.sold_price.unwrap_or(state.ask),
            paid: state.sold_price.is_some(),
            day: state.day.unwrap_or(seen.day),
            outcome: Some(state.outcome),
            distance,
        };
        insert(&mut self.found, neighbour);
    }
}

fn insert(found: &mut Vec<Neighbour>, neighbour: Neighbour) {
    let key = |n: &Neighbour| (n.distance, n.source.clone(), n.id.clone());
    let place = found.partition_point(|n| {
        key(n)
            .partial_cmp(&key(&neighbour))
            .is_some_and(std::cmp::Ordering::is_le)
    });
    found.insert(place, neighbour);
    found.truncate(SHOWN);
}

/// The own sales most like a bike, by the coefficients `b`, as known on `as_of`.
pub fn nearest_sales(
    sales: &[Sale],
    bike: &Bike,
    as_of: Day,
    currency: &Currency,
    b: &[f64],
) -> Vec<Neighbour> {
    let target = facts(bike, as_of, currency);
    let mut found = Vec::new();
    for sale in sales {
        let Ok(seen) = super::observation::of_sale(sale, as_of, currency) else {
            continue;
        };
        let Some(sold) = sale.sold_by(as_of) else {
            continue;
        };
        let distance = distance(&target, &seen.facts, b, days_between(seen.day, as_of));
        let neighbour = Neighbour {
            id: sale.id.clone(),
            source: String::new(),
            bike: sale.bike,
            price: sold.price,
            paid: true,
            day: sold.on,
            outcome: None,
            distance,
        };
        insert(&mut found, neighbour);
    }
    found
}

/// Root of the summed squares of what each group of facts, the style and the days
/// between the two prices put between them, by the coefficients `b`.
fn distance(a: &Facts, other: &Facts, b: &[f64], days: i64) -> f64 {
    let effect = |facts: Range<usize>| -> f64 {
        facts
            .map(|i| b[column(i)] * (a.values[i] - other.values[i]))
            .sum()
    };
    let mut square = 0.0;
    for (bit, group) in fact::GROUPS.into_iter().enumerate() {
        match (a.knows(1 << bit), other.knows(1 << bit)) {
            (true, true) => square += effect(group).powi(2),
            (false, false) => {}
            _ => square += UNKNOWN * UNKNOWN,
        }
    }
    if a.values[fact::STYLE] != other.values[fact::STYLE] {
        square += effect(fact::STYLE).powi(2) + OTHER_STYLE * OTHER_STYLE;
    }
    square += (A_YEAR * days as f64 / DAYS_PER_YEAR).powi(2);
    square.sqrt()
}
