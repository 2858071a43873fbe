//! What happens to one bike that the books count: its sales, what came back of
//! them, and how it left without one.

use super::figures::{Counted, What};
use crate::accounts::direct_cost::DirectCost;
use crate::trade::sale::Sold;
use crate::trade::{Cost, Day, Give, Left, Money, Quarter, Return, Rules, Sale};

/// Something that the books count of a bike.
pub(in crate::accounts) struct Event<'a> {
    /// Its day.
    pub on: Day,
    /// What it is, with its own.
    pub of: Of<'a>,
}

/// What an event is.
#[derive(Clone, Copy)]
pub(in crate::accounts) enum Of<'a> {
    /// A sale; the day on which it came back, if it did.
    Sale(Sold, Option<Day>),
    /// Money handed back, and the sale that it is of, where there is one.
    Return(&'a Return, Option<Sold>),
    /// It left without a sale.
    Leave(&'a Left),
}

impl<'a> Event<'a> {
    /// The events of a bike up to a day, those of a kind in order.
    pub(in crate::accounts) fn all(sale: &'a Sale, as_of: Day) -> Vec<Self> {
        let mut events: Vec<Self> = Vec::new();
        for (sold, back) in sale.every_sale() {
            events.push(Self {
                on: sold.on,
                of: Of::Sale(sold, back),
            });
        }
        for one in &sale.returns {
            let mut sales = sale.every_sale();
            let of = sales.find(|(sold, back)| {
                let mut refunds = sale.refunds_of(sold.on, *back);
                refunds.any(|other| other == one)
            });
            events.push(Self {
                on: one.on,
                of: Of::Return(one, of.map(|(sold, _)| sold)),
            });
        }
        events.extend(sale.left.iter().map(|left| Self {
            on: left.on,
            of: Of::Leave(left),
        }));
        events.retain(|event| event.on <= as_of);
        events
    }

    /// Its kind.
    pub(in crate::accounts) fn what(&self) -> What {
        match self.of {
            Of::Sale(..) => What::Sale,
            Of::Return(one, _) if one.back.is_some() => What::Back,
            Of::Return(..) => What::Refund,
            Of::Leave(_) => What::Leave,
        }
    }

    /// What the books count of it. A sale counts its price and what the bike cost.
    /// Where it came back, costs of later days are no part of that: they belong to the
    /// sale that holds. When the bike comes back the money handed back is taken off and
    /// the cost of the sale with it, since the bike is stock again; the sale that
    /// holds then counts the whole cost. (Nothing is given back under `give net` of a
    /// sale under `give price`: its cost was never taken off.) What is handed back while
    /// the buyer keeps the bike is taken off the price alone. A bike that left counts its cost, but for one
    /// that its owner keeps.
    ///
    /// `costs`: those of the bike that are to be counted, in any order.
    pub(in crate::accounts) fn counted(
        &self,
        sale: &Sale,
        costs: &[&Cost],
        rules: &Rules,
    ) -> Counted {
        let cost_up_to = |day: Option<Day>| {
            let counts = costs
                .iter()
                .filter(|cost| day.is_none_or(|day| cost.on <= day));
            DirectCost::of(sale, counts.copied()).total()
        };
        let minus = |money: Money| Money::from_minor(-money.minor());
        let give = |day: Day| rules.of(Quarter::of(day, rules.year_starts())).give;
        let was_taken_off = |of: Option<Sold>, back: Day| {
            of.is_none_or(|sold| give(sold.on) == Give::Net) || give(back) == Give::Price
        };
        match self.of {
            Of::Sale(sold, back) => Counted {
                price: sold.price,
                cost: cost_up_to(back),
            },
            Of::Return(one, of) => Counted {
                price: minus(one.refund),
                cost: if one.back.is_some() && was_taken_off(of, one.on) {
                    minus(cost_up_to(Some(one.on)))
                } else {
                    Money::ZERO
                },
            },
            Of::Leave(left) => Counted {
                price: Money::ZERO,
                cost: if left.how.costs_the_workshop() {
                    cost_up_to(None)
                } else {
                    Money::ZERO
                },
            },
        }
    }
}
