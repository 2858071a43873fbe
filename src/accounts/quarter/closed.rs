//! What closing a quarter froze.

use super::figures::{Balance, Counted, QuarterReport, What};
use crate::trade::{Cost, CostKind, Day, Gift, Money, Quarter};
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

/// The figures of a closed quarter: what was counted, so that later changes can
/// be told from it, and the balances from which the next quarter goes on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closed {
    /// Which.
    pub quarter: Quarter,
    /// The day on which it was closed.
    pub closed_on: Day,
    pub(in crate::accounts) figures: Figures,
}

#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::accounts) struct Figures {
    /// Counted in this quarter or corrected in it: of which quarter (by its
    /// name), which bike (none: the workshop), price and cost now; `None` when
    /// it no longer counts.
    pub counted: Vec<CountedIn>,
    pub gifts: Vec<Given>,
    pub from_box: Vec<Boxed>,
    pub sold: i64,
    pub due: Money,
    pub given: Money,
    pub carried_forward: Money,
    pub closing: Money,
    /// Name and closing balance.
    pub balances: Vec<(String, Money)>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::accounts) struct CountedIn {
    pub of: String,
    pub bike: Option<String>,
    pub now: Option<(Money, Money)>,
    /// What of the bike; books of before counted sales alone.
    #[serde(default, skip_serializing_if = "is_default")]
    pub what: What,
    /// Which of several of the bike in that quarter, from 0 on.
    #[serde(default, skip_serializing_if = "is_default")]
    pub nth: usize,
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

/// A gift as counted: below 0 where one was taken out.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub(in crate::accounts) struct Given {
    pub on: String,
    pub beneficiary: String,
    pub amount: Money,
    pub reference: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub(in crate::accounts) struct Boxed {
    pub on: String,
    pub bike: Option<String>,
    pub kind: String,
    pub item: Option<String>,
    pub amount: Money,
}

impl Closed {
    /// Freezes a report on the day `on`.
    pub fn of(report: &QuarterReport, on: Day) -> Self {
        let name = report.quarter.to_string();
        let pair = |counted: Counted| (counted.price, counted.cost);
        let mut counted = own(report, &name);
        let workshop = report.workshop.iter().map(|cost| cost.amount).sum();
        counted.push(CountedIn {
            of: name,
            bike: None,
            now: Some((Money::ZERO, workshop)),
            what: What::Sale,
            nth: 0,
        });
        counted.extend(report.corrections.iter().map(|correction| CountedIn {
            of: correction.of.to_string(),
            bike: correction.bike.clone(),
            now: correction.after.map(pair),
            what: correction.what,
            nth: correction.nth,
        }));
        let gifts = report.gifts.iter().map(|line| Given {
            amount: line.amount,
            ..Given::of(&line.gift)
        });
        let balance = |balance: &Balance| (balance.name.clone(), balance.closing);
        Self {
            quarter: report.quarter,
            closed_on: on,
            figures: Figures {
                counted,
                gifts: gifts.collect(),
                from_box: report.from_box.iter().map(Boxed::of).collect(),
                sold: report.sold(),
                due: report.due,
                given: report.given,
                carried_forward: report.carried_forward,
                closing: report.closing,
                balances: report.beneficiaries.iter().map(balance).collect(),
            },
        }
    }

    /// The figures as text, to be kept.
    ///
    /// # Errors
    /// Those of the JSON library; none is known to happen.
    pub fn figures_text(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string(&self.figures)
    }

    /// Reads figures that were kept.
    ///
    /// # Errors
    /// When the text is not of [`Closed::figures_text`].
    pub fn read(quarter: Quarter, closed_on: Day, text: &str) -> Result<Self, serde_json::Error> {
        Ok(Self {
            quarter,
            closed_on,
            figures: serde_json::from_str(text)?,
        })
    }
}

/// What a report counts of its own bikes.
fn own(report: &QuarterReport, name: &str) -> Vec<CountedIn> {
    let minus = |money: Money| Money::from_minor(-money.minor());
    let sales = report.sales.iter();
    let sales = sales.map(|line| (&line.id, What::Sale, (line.sold_price, line.direct_cost)));
    let returns = report.returns.iter().map(|line| {
        let what = if line.came_back {
            What::Back
        } else {
            What::Refund
        };
        (&line.id, what, (minus(line.refund), minus(line.cost_back)))
    });
    let left = report.left.iter();
    let left = left.map(|line| (&line.id, What::Leave, (Money::ZERO, line.counts())));
    let mut counted: Vec<CountedIn> = Vec::new();
    let mut so_far: HashMap<(&str, What), usize> = HashMap::new();
    for (id, what, now) in sales.chain(returns).chain(left) {
        let nth = so_far.entry((id, what)).or_insert(0);
        counted.push(CountedIn {
            of: name.to_string(),
            bike: Some(id.clone()),
            now: Some(now),
            what,
            nth: *nth,
        });
        *nth += 1;
    }
    counted
}

impl Given {
    pub(in crate::accounts) fn of(gift: &Gift) -> Self {
        Self {
            on: gift.on.to_string(),
            beneficiary: gift.beneficiary.clone(),
            amount: gift.amount,
            reference: gift.reference.clone(),
        }
    }
}

impl Boxed {
    pub(in crate::accounts) fn of(cost: &Cost) -> Self {
        Self {
            on: cost.on.to_string(),
            bike: cost.bike.clone(),
            kind: CostKind::word(cost.kind).to_string(),
            item: cost.item.clone(),
            amount: cost.amount,
        }
    }
}

impl Given {
    /// `None` for a day that cannot be read.
    pub(in crate::accounts) fn gift(&self) -> Option<Gift> {
        Some(Gift {
            on: self.on.parse().ok()?,
            beneficiary: self.beneficiary.clone(),
            amount: self.amount,
            reference: self.reference.clone(),
        })
    }
}
