//! Random histories of a workshop's records: sales, costs and gifts are written
//! down, changed and taken out, and quarters are closed, day after day. The
//! second opinion is told of each closing, too.

use super::books::{changes, cost, each_day, gift, giving, minor_per_unit, money, sale};
use super::oracle::{Books, Told};
use super::plain::{end_of, quarter_of};
use super::{compare, named};
use crate::worked::quarter_records::Records;
use jiff::ToSpan as _;
use proptest::prelude::*;
use proptest::sample::Index;
use wheelworth::accounts::{Entries, QuarterReport};
use wheelworth::trade::{Cost, Day, Gift, Giving, Left, LeftAs, Money, Return, Sale};

/// Bikes in a history: few, so that each is changed several times.
const BIKES: usize = 7;

/// What is done on a day. The days in records count from that day.
#[derive(Clone, Debug)]
pub enum Deed {
    /// Writes a bike down, or over what was written of it.
    Bike(Box<Sale>),
    /// Its sale is taken back.
    Unsell(Index),
    /// It is taken out of the records.
    Forget(Index),
    Price(Index, Money),
    /// Something is handed back today; the bike comes back or not.
    Back(Index, Money, bool),
    /// It leaves without a sale today.
    Leave(Index, LeftAs),
    Cost(Cost),
    ChangeCost(Index, Cost),
    TakeCost(Index),
    Gift(Gift),
    ChangeGift(Index, Gift),
    TakeGift(Index),
    /// Another rule from the first open quarter on that begins this many quarters after
    /// today's, or later.
    Rule(i64, Giving),
    /// Closes the quarter before today's, or one or two before that; today's
    /// own on its last day.
    Close(i64),
}

#[derive(Clone, Debug)]
pub struct Step {
    /// Days since the step before; `None`: on to the end of the quarter.
    pub later: Option<i64>,
    pub deed: Deed,
}

/// From 400 days before to 30 days after the day it is written down; the day 0
/// of the strategies for books.
const AROUND: std::ops::Range<i64> = 0..430;

pub fn deed() -> impl Strategy<Value = Deed> {
    let any = any::<Index>;
    let close = prop_oneof![4 => Just(0_i64), 1 => 1_i64..3];
    let bike = (0..BIKES).prop_flat_map(|number| sale(number, AROUND));
    prop_oneof![
        6 => bike.prop_map(|sale| Deed::Bike(Box::new(sale))),
        1 => any().prop_map(Deed::Unsell),
        1 => any().prop_map(Deed::Forget),
        2 => (any(), money()).prop_map(|(bike, price)| Deed::Price(bike, price)),
        3 => (any(), money(), proptest::bool::ANY).prop_map(|(bike, refund, whole)| {
            Deed::Back(bike, refund, whole)
        }),
        2 => (any(), 0..LeftAs::ALL.len()).prop_map(|(bike, how)| {
            Deed::Leave(bike, LeftAs::ALL[how])
        }),
        6 => cost(BIKES, AROUND).prop_map(Deed::Cost),
        2 => (any(), cost(BIKES, AROUND)).prop_map(|(row, cost)| Deed::ChangeCost(row, cost)),
        2 => any().prop_map(Deed::TakeCost),
        3 => gift(AROUND).prop_map(Deed::Gift),
        2 => (any(), gift(AROUND)).prop_map(|(row, gift)| Deed::ChangeGift(row, gift)),
        1 => any().prop_map(Deed::TakeGift),
        4 => close.prop_map(Deed::Close),
        1 => (-2_i64..3, giving()).prop_map(|(after, rule)| Deed::Rule(after, rule)),
    ]
}

fn step() -> impl Strategy<Value = Step> {
    let later = prop_oneof![1 => Just(None), 9 => (0_i64..35).prop_map(Some)];
    (later, deed()).prop_map(|(later, deed)| Step { later, deed })
}

#[derive(Clone, Debug)]
pub struct Story {
    pub giving: Giving,
    pub minor_per_unit: i64,
    pub steps: Vec<Step>,
}

pub fn story() -> impl Strategy<Value = Story> {
    let steps = prop::collection::vec(step(), 0..45);
    (giving(), minor_per_unit(), steps).prop_map(|(giving, minor_per_unit, steps)| Story {
        giving,
        minor_per_unit,
        steps,
    })
}

/// The records after a story, with what was told of closed quarters.
#[derive(Clone)]
pub struct History {
    pub records: Records,
    /// Later rules, each from a quarter on.
    pub later: Vec<(i64, Giving)>,
    pub closed: Vec<QuarterReport>,
    pub told: Vec<(Told, Day)>,
}

impl Story {
    pub fn play(&self) -> Result<History, TestCaseError> {
        let mut history = History {
            records: Records::new(self.giving.give, self.giving.share),
            later: vec![],
            closed: vec![],
            told: vec![],
        };
        history.records.giving = self.giving.clone();
        history.records.minor_per_unit = self.minor_per_unit;
        history.records.today = Day::constant(2024, 1, 10);
        for step in &self.steps {
            let today = history.records.today;
            let starts = self.giving.year_starts;
            let on = match step.later {
                Some(days) => today.saturating_add(days.days()),
                None => end_of(quarter_of(today, starts), starts),
            };
            history.act(on, &step.deed)?;
        }
        Ok(history)
    }
}

impl History {
    pub fn quarter_of(&self, day: Day) -> i64 {
        quarter_of(day, self.records.giving.year_starts)
    }

    /// The last closed quarter and its last day.
    pub fn closed_to(&self) -> Option<(i64, Day)> {
        let (last, _) = self.told.last()?;
        let to = end_of(last.quarter, self.records.giving.year_starts);
        Some((last.quarter, to))
    }

    pub fn act(&mut self, on: Day, deed: &Deed) -> Result<(), TestCaseError> {
        if let Deed::Close(back) = deed {
            let next = self.quarter_of(on.tomorrow().unwrap());
            return self.close(next - 1 - back, on);
        }
        let starts = self.records.giving.year_starts;
        if let Deed::Rule(after, rule) = deed {
            let open = self.closed_to().map_or(i64::MIN, |(last, _)| last + 1);
            let from = (self.quarter_of(on) + after).max(open);
            let year_starts = starts;
            let rule = rule.clone();
            self.later.push((
                from,
                Giving {
                    year_starts,
                    ..rule
                },
            ));
            self.records.changes = changes(&self.later);
        }
        self.records.change(on, |now| change(now, on, starts, deed));
        Ok(())
    }

    fn close(&mut self, quarter: i64, on: Day) -> Result<(), TestCaseError> {
        if self.closed_to().is_some_and(|(last, _)| quarter <= last) {
            return Ok(());
        }
        let closed_before = self.told.len();
        let mut told = self.told(quarter, on);
        if told.len() == closed_before {
            // Before the first record: all zeros.
            let named = &self.books(on, &[], |books| {
                books.rule_of(quarter).beneficiaries.clone()
            });
            told.push(Told {
                quarter,
                people: named.iter().map(|who| (who.name.clone(), [0; 4])).collect(),
                ..Told::default()
            });
        }
        let reports = self.records.close(named(quarter), on);
        prop_assert_eq!(reports.len(), told.len() - closed_before);
        for (report, place) in reports.iter().zip(closed_before..) {
            if report.course.is_empty() {
                compare::same(report, &[], self.records.minor_per_unit)?;
            } else {
                compare::same(report, &told[..=place], self.records.minor_per_unit)?;
            }
        }
        self.closed.extend(reports);
        let new = told.into_iter().skip(closed_before);
        self.told.extend(new.map(|told| (told, on)));
        Ok(())
    }

    /// What the second opinion tells of the quarters up to one, for a day.
    pub fn told(&self, to: i64, as_of: Day) -> Vec<Told> {
        let closed = self.told.iter().filter(|(_, on)| *on <= as_of);
        let closed: Vec<(Told, Day)> = closed.cloned().collect();
        self.books(as_of, &closed, |books| books.told(to))
    }

    pub fn books<T>(
        &self,
        as_of: Day,
        closed: &[(Told, Day)],
        ask: impl FnOnce(&Books<'_>) -> T,
    ) -> T {
        ask(&Books {
            giving: &self.records.giving,
            later: &self.later,
            as_of,
            now: &self.records.now,
            past: &|on| self.records.evening(on),
            closed,
        })
    }

    /// The reports of the open quarters up to the one after that of a day.
    pub fn open(&self, as_of: Day) -> Vec<QuarterReport> {
        let first = match self.closed_to() {
            Some((last, _)) => last + 1,
            None => self.quarter_of(Day::constant(2022, 11, 1)),
        };
        let quarters = first..=self.quarter_of(as_of) + 1;
        let report = |quarter| self.records.try_report(named(quarter), as_of);
        quarters.map(|quarter| report(quarter).unwrap()).collect()
    }
}

/// Day 0 of the strategies for books is 400 days before today. Every fifth of
/// the days is moved on to the last of its quarter.
fn moved(day: Day, today: Day, starts: u8) -> Day {
    let since = day - Day::constant(2023, 2, 1);
    let on = today.saturating_sub(400.days()).saturating_add(since);
    if since.get_days() % 5 == 0 {
        return end_of(quarter_of(on, starts), starts);
    }
    on
}

/// Hands something back of the sale that stands, on a day that has no refund yet.
pub fn back(sale: &mut Sale, on: Day, refund: Money, whole: bool) {
    let free = sale.returns.iter().all(|one| one.on < on);
    if let Some(sold) = sale.sold.filter(|sold| free && sold.on <= on) {
        sale.returns.push(Return {
            bike: sale.id.clone(),
            on,
            refund,
            back: whole.then_some(sold),
        });
        sale.sold = sale.sold.filter(|_| !whole);
    }
}

fn change(now: &mut Entries, today: Day, starts: u8, deed: &Deed) {
    let new_cost = |cost: &Cost| Cost {
        on: moved(cost.on, today, starts),
        ..cost.clone()
    };
    let new_gift = |gift: &Gift| Gift {
        on: moved(gift.on, today, starts),
        ..gift.clone()
    };
    match deed {
        Deed::Bike(sale) => {
            let mut sale = Sale::clone(sale);
            each_day(&mut sale, |day| moved(day, today, starts));
            now.sales.retain(|known| known.id != sale.id);
            now.sales.push(sale);
        }
        Deed::Unsell(bike) => {
            if !now.sales.is_empty() {
                bike.get_mut(&mut now.sales).sold = None;
            }
        }
        Deed::Forget(bike) => {
            // A bike with costs stays, as in the record book.
            let with_costs = |id: &String| now.costs.iter().any(|c| c.bike.as_ref() == Some(id));
            if !now.sales.is_empty() && !with_costs(&bike.get(&now.sales).id) {
                now.sales.remove(bike.index(now.sales.len()));
            }
        }
        Deed::Price(bike, price) => {
            if !now.sales.is_empty()
                && let Some(sold) = &mut bike.get_mut(&mut now.sales).sold
            {
                sold.price = *price;
            }
        }
        Deed::Back(bike, refund, whole) => {
            if !now.sales.is_empty() {
                back(bike.get_mut(&mut now.sales), today, *refund, *whole);
            }
        }
        Deed::Leave(bike, how) => {
            if !now.sales.is_empty() {
                let sale = bike.get_mut(&mut now.sales);
                let last = sale.returns.iter().map(|one| one.on).max();
                if sale.sold.is_none() && last.is_none_or(|last| last <= today) {
                    sale.left = Some(Left {
                        on: today,
                        how: *how,
                        box_value: None,
                        box_item: None,
                    });
                }
            }
        }
        Deed::Cost(cost) => now.costs.push(new_cost(cost)),
        Deed::ChangeCost(row, cost) => {
            if !now.costs.is_empty() {
                *row.get_mut(&mut now.costs) = new_cost(cost);
            }
        }
        Deed::TakeCost(row) => {
            if !now.costs.is_empty() {
                now.costs.remove(row.index(now.costs.len()));
            }
        }
        Deed::Gift(gift) => now.gifts.push(new_gift(gift)),
        Deed::ChangeGift(row, gift) => {
            if !now.gifts.is_empty() {
                *row.get_mut(&mut now.gifts) = new_gift(gift);
            }
        }
        Deed::TakeGift(row) => {
            if !now.gifts.is_empty() {
                now.gifts.remove(row.index(now.gifts.len()));
            }
        }
        Deed::Close(_) | Deed::Rule(..) => {}
    }
    // A cost names a bike that the book knows.
    let known = now.sales.iter().map(|sale| sale.id.clone());
    let known: Vec<String> = known.collect();
    let there = |cost: &Cost| cost.bike.as_ref().is_none_or(|id| known.contains(id));
    now.costs.retain(there);
}
