//! One bike on hand: the money in it, its days, what it asks.

use crate::accounts::direct_cost::{DirectCost, by_bike};
use crate::accounts::inspected::{Clearance, Inspected, latest};
use crate::accounts::last_asks::LastAsks;
use crate::trade::calendar::days_between;
use crate::trade::{AskChange, Cost, Day, Money, Sale};

/// A bike on hand on some day, as its records tell.
#[derive(Clone, Debug, PartialEq)]
pub struct Holding {
    /// Its record as known that day; never sold.
    pub sale: Sale,
    /// What it cost up to that day.
    pub cost: DirectCost,
    /// The ask that stands; `None` when it is not listed, or no ask is known.
    pub ask: Option<Money>,
    /// Days from purchase to listing, or to that day while it is not listed.
    /// `None` when the day of purchase is not known or comes after the listing.
    pub days_in_workshop: Option<i64>,
    /// Days since it was listed.
    pub days_listed: Option<i64>,
    /// Days since it was bought, or since it was listed where that came first or
    /// the day of purchase is not known.
    pub days_on_hand: Option<i64>,
    /// Day and result of its latest inspection.
    pub inspection: Option<(Day, Clearance)>,
}

impl Holding {
    /// What is tied up in it, each cost counted once; `None` when no cost is known.
    pub fn cash(&self) -> Option<Money> {
        self.cost.known()
    }

    /// Whether it is on offer.
    pub fn is_listed(&self) -> bool {
        self.sale.listed_on.is_some()
    }

    /// Whether its record says that it can be ridden: condition 3 or better.
    pub fn is_ready(&self) -> bool {
        self.sale.bike.condition.is_some_and(|c| c.grade() >= 3)
    }

    /// Whether gates were open at its latest inspection, or it must not be sold.
    pub fn is_gated(&self) -> bool {
        let result = self.inspection.map(|(_, result)| result);
        matches!(
            result,
            Some(Clearance::GatesOpen | Clearance::OnlyParts | Clearance::NotToBeSold)
        )
    }

    /// Whether its latest inspection bars a sale as a bike: its frame has failed, or it may
    /// be stolen.
    pub fn is_not_for_sale(&self) -> bool {
        let result = self.inspection.map(|(_, result)| result);
        matches!(result, Some(Clearance::OnlyParts | Clearance::NotToBeSold))
    }

    /// Whether its frame had failed at its latest inspection.
    pub fn is_only_parts(&self) -> bool {
        let result = self.inspection.map(|(_, result)| result);
        result == Some(Clearance::OnlyParts)
    }
}

/// The bikes on hand on the day `as_of`, by the bytes of their ids: known by then,
/// and neither sold nor left by then. Costs, asks and inspections of later days are not used. The
/// records may stand in any order, but for the inspections: by day, those of one
/// day as recorded.
pub fn on_hand(
    sales: &[Sale],
    costs: &[Cost],
    asks: &[AskChange],
    inspections: &[Inspected],
    as_of: Day,
) -> Vec<Holding> {
    let costs = by_bike(costs.iter().filter(|cost| cost.on <= as_of));
    let last_asks = LastAsks::of(asks, as_of);
    let mut holdings: Vec<Holding> = sales
        .iter()
        .filter_map(|sale| sale.in_trade_on(as_of))
        .filter(|sale| sale.sold.is_none())
        .map(|sale| {
            let costs = costs.get(sale.id.as_str()).into_iter().flatten();
            let cost = DirectCost::of(&sale, costs.copied());
            let ask = last_asks.ask(&sale);
            let inspection = latest(inspections, &sale.id, as_of);
            Holding {
                inspection: inspection.map(|one| (one.on, one.result)),
                ..holding(sale, cost, ask, as_of)
            }
        })
        .collect();
    holdings.sort_by(|a, b| a.sale.id.as_bytes().cmp(b.sale.id.as_bytes()));
    holdings
}

/// `ask`: what it asks once it is listed.
fn holding(sale: Sale, cost: DirectCost, ask: Option<Money>, as_of: Day) -> Holding {
    let (bought, listed) = (sale.bought_on, sale.listed_on);
    let since = |day: Day| days_between(day, as_of);
    let in_workshop = bought.map(|day| days_between(day, listed.unwrap_or(as_of)));
    Holding {
        cost,
        ask: listed.and(ask),
        days_in_workshop: in_workshop.filter(|days| *days >= 0),
        days_listed: listed.map(since),
        days_on_hand: bought.into_iter().chain(listed).min().map(since),
        inspection: None,
        sale,
    }
}
