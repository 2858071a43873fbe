//! A quarter's report as figures.

use super::caution::QuarterCaution;
use crate::trade::{Bike, Cost, Day, Gift, Give, Giving, Left, Means, Money, Quarter};
use serde::{Deserialize, Serialize};

/// What came in, what it cost, what was due, what was handed over, what is
/// still owed. `closing = opening + due - given`, exactly, for the whole and
/// for each beneficiary.
#[derive(Clone, Debug, PartialEq)]
pub struct QuarterReport {
    /// Which.
    pub quarter: Quarter,
    /// Its first day.
    pub from: Day,
    /// Its last day.
    pub to: Day,
    /// Nothing dated later was used.
    pub as_of: Day,
    /// The day on which it was closed, if it is.
    pub closed_on: Option<Day>,
    /// The rule in force in it.
    pub giving: Giving,
    /// Bikes sold, by day, then by the bytes of their id.
    pub sales: Vec<SaleLine>,
    /// Money handed back to buyers, by day, then by the bytes of the bike's id.
    pub returns: Vec<ReturnLine>,
    /// Bikes that left without a sale, likewise.
    pub left: Vec<LeftLine>,
    /// Costs of no bike, box rows left out, by day.
    pub workshop: Vec<Cost>,
    /// Their sum, with the costs of the bikes in `left` that were given, scrapped or
    /// stolen.
    pub workshop_costs: Money,
    /// What was taken from the parts box, by day; in no sum.
    pub from_box: Vec<Cost>,
    /// What changed in closed quarters; counted in `due`.
    pub corrections: Vec<Correction>,
    /// Shortfall of earlier quarters, 0 or more; under `give price` it comes of money
    /// handed back alone.
    pub brought_forward: Money,
    /// Shortfall of earlier quarters that ended, because the rule became `give price`.
    pub ended: Money,
    /// What is due to the beneficiaries for this quarter.
    pub due: Money,
    /// Shortfall handed on, 0 or more.
    pub carried_forward: Money,
    /// Money handed over, by day, then as recorded.
    pub gifts: Vec<GiftLine>,
    /// Owed at the start; below 0: given ahead.
    pub opening: Money,
    /// The sum of `gifts`.
    pub given: Money,
    /// Owed at the end.
    pub closing: Money,
    /// As named by the rule, then others that earlier rules or gifts ever named, with due 0.
    pub beneficiaries: Vec<Balance>,
    /// What the money handed over does, by the beneficiaries' own figures.
    pub meant: Vec<Meant>,
    /// Every quarter from the first with a record up to this one.
    pub course: Vec<CourseLine>,
    /// What to doubt.
    pub cautions: Vec<QuarterCaution>,
}

/// A bike sold.
#[derive(Clone, Debug, PartialEq)]
pub struct SaleLine {
    /// Its id.
    pub id: String,
    /// Its features.
    pub bike: Bike,
    /// Day of purchase.
    pub bought_on: Option<Day>,
    /// First day on offer.
    pub listed_on: Option<Day>,
    /// Day of the sale.
    pub sold_on: Day,
    /// What the buyer paid.
    pub sold_price: Money,
    /// Purchase, parts, fees and the rest, each counted once.
    pub direct_cost: Money,
    /// `sold_price - direct_cost`.
    pub margin: Money,
    /// Unpaid hours, in hundredths of an hour.
    pub hours: Option<i64>,
    /// Its part of the quarter's whole `due`.
    pub due: Money,
}

/// Money handed back to a buyer.
#[derive(Clone, Debug, PartialEq)]
pub struct ReturnLine {
    /// The bike's id.
    pub id: String,
    /// Its features.
    pub bike: Bike,
    /// The day on which it was handed back.
    pub on: Day,
    /// How much.
    pub refund: Money,
    /// The day of the sale that it is of, where the book knows it.
    pub sold_on: Option<Day>,
    /// Whether the bike came back; else the buyer keeps it.
    pub came_back: bool,
    /// The direct cost that went back into stock with it, counted at its sale; 0 where
    /// the buyer keeps it, and under `give net` of a sale under `give price`.
    pub cost_back: Money,
}

impl ReturnLine {
    /// Whether it is of a sale of the same quarter.
    pub fn is_of(&self, sale: &SaleLine) -> bool {
        self.id == sale.id && self.sold_on == Some(sale.sold_on)
    }

    /// What it takes away from what is left, 0 or less where the bike cost no more
    /// than was handed back.
    pub fn change(&self) -> Money {
        Money::from_minor(self.cost_back.minor() - self.refund.minor())
    }
}

/// A bike that left without a sale.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftLine {
    /// Its id.
    pub id: String,
    /// Its features.
    pub bike: Bike,
    /// When and how, with what the parts box got.
    pub left: Left,
    /// What it cost.
    pub direct_cost: Money,
}

impl LeftLine {
    /// What counts among the workshop's costs: nothing of a bike that its owner keeps.
    pub fn counts(&self) -> Money {
        if self.left.how.costs_the_workshop() {
            self.direct_cost
        } else {
            Money::ZERO
        }
    }
}

/// What of a bike is counted in a quarter.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum What {
    /// A sale.
    #[default]
    Sale,
    /// Its coming back: price and cost are those taken off, below 0.
    Back,
    /// Money handed back while the buyer keeps it, below 0.
    Refund,
    /// Its leaving without a sale.
    Leave,
}

impl What {
    /// Whether it is a sale, one for each thing counted, or takes one away.
    pub(in crate::accounts) fn sales(self) -> i64 {
        match self {
            What::Sale => 1,
            What::Back => -1,
            What::Refund | What::Leave => 0,
        }
    }
}

/// A change of a closed quarter's records. The whole of a bike's price or cost
/// in that quarter, or of the workshop's costs, before and after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Correction {
    /// The closed quarter.
    pub of: Quarter,
    /// The bike; `None` for the workshop's costs, which stand in `cost`.
    pub bike: Option<String>,
    /// What of the bike.
    pub what: What,
    /// Which of several of the bike in that quarter, from 0 on.
    pub nth: usize,
    /// As counted so far; `None` when it was not.
    pub before: Option<Counted>,
    /// As the records are now; `None` when they no longer have it.
    pub after: Option<Counted>,
    /// By which rule the closed quarter went.
    pub give: Give,
    /// What it adds to what the due is a share of: the change of the price
    /// (`give price`) or of price less cost (`give net`).
    pub amount: Money,
}

/// What was counted of a bike in a quarter, each below 0 where it is taken off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counted {
    /// Sale price.
    pub price: Money,
    /// Direct cost.
    pub cost: Money,
}

/// Money handed over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GiftLine {
    /// The gift as recorded.
    pub gift: Gift,
    /// What it counts: its amount, or less than 0 when a gift of a closed
    /// quarter was taken out of the records afterwards.
    pub amount: Money,
    /// The closed quarter that it belongs to by its day, if it does.
    pub of_closed: Option<Quarter>,
}

/// What a beneficiary is owed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Balance {
    /// Who.
    pub name: String,
    /// Owed at the start; below 0: given ahead.
    pub opening: Money,
    /// Due for the quarter.
    pub due: Money,
    /// Handed over in it.
    pub given: Money,
    /// `opening + due - given`.
    pub closing: Money,
}

/// What the money handed over to one beneficiary does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Meant {
    /// Their figure.
    pub means: Means,
    /// Handed over in the quarter.
    pub given: Money,
    /// How many that pays for, rounded down; 1 or more.
    pub count: i64,
}

/// The sums of one quarter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CourseLine {
    /// Which.
    pub quarter: Quarter,
    /// Bikes sold, those of closed quarters among them that were recorded or
    /// taken out of the records afterwards (these count below 0).
    pub sold: i64,
    /// What is due for it.
    pub due: Money,
    /// Handed over in it.
    pub given: Money,
    /// Handed over from the first record to its end.
    pub given_so_far: Money,
    /// Owed at its end.
    pub closing: Money,
}

impl QuarterReport {
    /// Whether no cost counts in what is due: neither by its own rule nor by those of the
    /// quarters that are corrected in it.
    pub fn gives_price_alone(&self) -> bool {
        self.giving.give == Give::Price && self.corrections.iter().all(|c| c.give == Give::Price)
    }

    /// Bikes sold by this report: its own, and those of closed quarters that were
    /// recorded afterwards less those taken out. One that came back is none.
    pub fn sold(&self) -> i64 {
        let bikes = self.corrections.iter().filter(|c| c.bike.is_some());
        let late = bikes.map(|c| {
            let more = i64::from(c.after.is_some()) - i64::from(c.before.is_some());
            c.what.sales() * more
        });
        let back = self.returns.iter().filter(|line| line.came_back).count();
        self.sales.len() as i64 - back as i64 + late.sum::<i64>()
    }
}
