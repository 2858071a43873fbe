//! The lines of an open quarter, from the records as they are now.

use super::figures::{GiftLine, SaleLine};
use super::ledger::Ledger;
use crate::accounts::direct_cost::{DirectCost, by_bike};
use crate::trade::{Cost, Day, Gift, Give, Money, Quarter, Sale};
use std::collections::{BTreeMap, HashMap};

/// The records up to the day of the answer, by quarter.
pub(in crate::accounts) struct Indexed<'a> {
    /// The first quarter with anything in it.
    pub first: Option<Quarter>,
    by_quarter: BTreeMap<Quarter, Dated<'a>>,
    costs: HashMap<&'a str, Vec<&'a Cost>>,
}

#[derive(Default)]
struct Dated<'a> {
    sales: Vec<(&'a Sale, Day, Money)>,
    workshop: Vec<&'a Cost>,
    from_box: Vec<&'a Cost>,
    gifts: Vec<&'a Gift>,
}

/// What was found for a quarter.
#[derive(Default)]
pub(in crate::accounts) struct Lines {
    /// Sorted, each `due` still 0.
    pub sales: Vec<SaleLine>,
    /// In what proportion the due is split over `sales`.
    pub weights: Vec<u64>,
    pub workshop: Vec<Cost>,
    pub from_box: Vec<Cost>,
    pub gifts: Vec<GiftLine>,
}

impl<'a> Indexed<'a> {
    pub(in crate::accounts) fn of(ledger: &Ledger<'a>) -> Self {
        let (now, as_of) = (ledger.now, ledger.as_of);
        let quarter_of = |day: Day| Quarter::of(day, ledger.rules.year_starts());
        let mut by_quarter: BTreeMap<Quarter, Dated<'a>> = BTreeMap::new();
        for sale in &now.sales {
            if let Some(sold) = sale.sold.filter(|sold| sold.on <= as_of) {
                let dated = by_quarter.entry(quarter_of(sold.on)).or_default();
                dated.sales.push((sale, sold.on, sold.price));
            }
        }
        let costs = || now.costs.iter().filter(|cost| cost.on <= as_of);
        for cost in costs() {
            let place = quarter_of(cost.on);
            if cost.from_box {
                by_quarter.entry(place).or_default().from_box.push(cost);
            } else if cost.bike.is_none() {
                by_quarter.entry(place).or_default().workshop.push(cost);
            }
        }
        for gift in now.gifts.iter().filter(|gift| gift.on <= as_of) {
            let dated = by_quarter.entry(quarter_of(gift.on)).or_default();
            dated.gifts.push(gift);
        }
        Self {
            first: by_quarter.keys().next().copied(),
            by_quarter,
            costs: by_bike(costs()),
        }
    }

    /// The costs of a bike up to the day of the answer.
    pub(in crate::accounts) fn direct_cost(&self, sale: &Sale) -> DirectCost {
        let costs = self.costs.get(sale.id.as_str());
        DirectCost::of(sale, costs.into_iter().flatten().copied())
    }

    pub(in crate::accounts) fn lines(&self, quarter: Quarter, ledger: &Ledger<'_>) -> Lines {
        let Some(dated) = self.by_quarter.get(&quarter) else {
            return Lines::default();
        };
        let mut sold = dated.sales.clone();
        sold.sort_by(|(a, on_a, _), (b, on_b, _)| (on_a, &a.id).cmp(&(on_b, &b.id)));
        let line = |(sale, on, price): &(&Sale, Day, Money)| {
            let cost = self.direct_cost(sale).total();
            SaleLine {
                id: sale.id.clone(),
                bike: sale.bike,
                bought_on: sale.bought_on,
                listed_on: sale.listed_on,
                sold_on: *on,
                sold_price: *price,
                direct_cost: cost,
                margin: Money::from_minor(price.minor().saturating_sub(cost.minor())),
                hours: sale.hours,
                due: Money::ZERO,
            }
        };
        let sales: Vec<SaleLine> = sold.iter().map(line).collect();
        let weight = |line: &SaleLine| match ledger.rules.of(quarter).give {
            Give::Price => line.sold_price,
            Give::Net => line.margin,
        };
        let weights = sales.iter().map(|l| weight(l).minor().max(0) as u64);
        Lines {
            weights: weights.collect(),
            workshop: in_order(&dated.workshop, |cost| cost.on),
            from_box: in_order(&dated.from_box, |cost| cost.on),
            gifts: in_order(&dated.gifts, |gift| gift.on)
                .into_iter()
                .map(|gift| GiftLine {
                    amount: gift.amount,
                    gift,
                    of_closed: None,
                })
                .collect(),
            sales,
        }
    }
}

fn in_order<T: Clone>(rows: &[&T], day: impl Fn(&T) -> Day) -> Vec<T> {
    let mut rows: Vec<T> = rows.iter().map(|row| (*row).clone()).collect();
    rows.sort_by_key(|row| day(row));
    rows
}

/// The exact sum, in minor units.
pub(in crate::accounts) fn sum(amounts: impl Iterator<Item = Money>) -> i128 {
    amounts.map(|amount| i128::from(amount.minor())).sum()
}
