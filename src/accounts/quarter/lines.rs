//! The lines of an open quarter, from the records as they are now.

use super::events::{Event, Of};
use super::figures::{GiftLine, LeftLine, ReturnLine, SaleLine};
use super::ledger::Ledger;
use crate::accounts::direct_cost::{DirectCost, by_bike};
use crate::trade::{Cost, Day, Gift, Give, Money, Quarter, Rules, Sale};
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
    events: Vec<(&'a Sale, Event<'a>)>,
    workshop: Vec<&'a Cost>,
    from_box: Vec<&'a Cost>,
    gifts: Vec<&'a Gift>,
}

/// What was found for a quarter.
#[derive(Default)]
pub(in crate::accounts) struct Lines {
    /// Sorted, each `due` still 0.
    pub sales: Vec<SaleLine>,
    /// In what proportion the due is split over `sales`: by price or margin, less what
    /// was handed back of the sale in the same quarter.
    pub weights: Vec<u64>,
    pub returns: Vec<ReturnLine>,
    pub left: Vec<LeftLine>,
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
            for event in Event::all(sale, as_of) {
                let dated = by_quarter.entry(quarter_of(event.on)).or_default();
                dated.events.push((sale, event));
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

    fn costs(&self, sale: &Sale) -> &[&'a Cost] {
        self.costs.get(sale.id.as_str()).map_or(&[], Vec::as_slice)
    }

    pub(in crate::accounts) fn lines(&self, quarter: Quarter, ledger: &Ledger<'_>) -> Lines {
        let Some(dated) = self.by_quarter.get(&quarter) else {
            return Lines::default();
        };
        let mut events: Vec<&(&Sale, Event<'_>)> = dated.events.iter().collect();
        events.sort_by(|(a, at_a), (b, at_b)| (at_a.on, &a.id).cmp(&(at_b.on, &b.id)));
        let mut lines = Lines {
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
            ..Lines::default()
        };
        for (sale, event) in events {
            self.take(sale, event, ledger.rules, &mut lines);
        }
        lines.weights = lines
            .sales
            .iter()
            .map(|line| weight(line, &lines.returns, ledger.rules.of(quarter).give))
            .collect();
        lines
    }

    /// Takes in an event as a line.
    fn take(&self, sale: &Sale, event: &Event<'_>, rules: &Rules, lines: &mut Lines) {
        let counted = event.counted(sale, self.costs(sale), rules);
        match event.of {
            Of::Sale(sold, _) => lines.sales.push(SaleLine {
                id: sale.id.clone(),
                bike: sale.bike,
                bought_on: sale.bought_on,
                listed_on: sale.listed_on,
                sold_on: sold.on,
                sold_price: counted.price,
                direct_cost: counted.cost,
                margin: less(counted.price, counted.cost),
                hours: sale.hours,
                due: Money::ZERO,
            }),
            Of::Return(one, of) => lines.returns.push(ReturnLine {
                id: sale.id.clone(),
                bike: sale.bike,
                on: one.on,
                refund: one.refund,
                sold_on: of.map(|sold| sold.on),
                came_back: one.back.is_some(),
                cost_back: less(Money::ZERO, counted.cost),
            }),
            Of::Leave(left) => lines.left.push(LeftLine {
                id: sale.id.clone(),
                bike: sale.bike,
                left: left.clone(),
                direct_cost: self.direct_cost(sale).total(),
            }),
        }
    }
}

fn less(amount: Money, other: Money) -> Money {
    Money::from_minor(amount.minor().saturating_sub(other.minor()))
}

/// By what a sale takes part in the quarter's due.
pub(super) fn weight(line: &SaleLine, returns: &[ReturnLine], give: Give) -> u64 {
    let returns = returns.iter().filter(|one| one.is_of(line));
    let left = match give {
        Give::Price => returns.fold(line.sold_price, |left, one| less(left, one.refund)),
        Give::Net => returns.fold(line.margin, |left, one| {
            Money::from_minor(left.minor().saturating_add(one.change().minor()))
        }),
    };
    left.minor().max(0) as u64
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
