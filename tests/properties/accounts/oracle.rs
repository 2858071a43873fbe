//! A second opinion on the quarterly books: what each report should say, counted
//! again from the rules in the plainest way.

use super::plain::{
    BikeCost, Happened, Kind, cost_by, end_of, happened, parts_of, quarter_of, rows_by, share_of,
};
use wheelworth::accounts::Entries;
use wheelworth::trade::{Cost, Day, Gift, Give, Giving, Money, Sale};

/// What the books are made of.
pub struct Books<'a> {
    pub giving: &'a Giving,
    /// Later rules, each from a quarter on; of one quarter the last counts.
    pub later: &'a [(i64, Giving)],
    pub as_of: Day,
    pub now: &'a Entries,
    /// The records at the end of a day.
    pub past: &'a dyn Fn(Day) -> Entries,
    /// What was told of closed quarters, and the day of each closing.
    pub closed: &'a [(Told, Day)],
}

/// What a report should say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Told {
    pub quarter: i64,
    pub sales: Vec<SaleTold>,
    pub returns: Vec<ReturnTold>,
    pub left: Vec<LeftTold>,
    pub workshop: Vec<Cost>,
    pub workshop_costs: i128,
    pub from_box: Vec<Cost>,
    pub corrections: Vec<Corrected>,
    pub brought: i128,
    /// Of `give net`, where `give price` begins.
    pub ended: i128,
    pub due: i128,
    pub carried: i128,
    pub gifts: Vec<GiftTold>,
    pub opening: i128,
    pub given: i128,
    pub closing: i128,
    /// Name; opening, due, given, closing.
    pub people: Vec<(String, [i128; 4])>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct SaleTold {
    pub id: String,
    pub on: Day,
    pub price: i128,
    pub cost: BikeCost,
    /// What the bike cost whatever its sale counts.
    pub in_all: BikeCost,
    pub due: i128,
}

#[derive(Clone, Debug, PartialEq)]
pub struct ReturnTold {
    pub id: String,
    pub on: Day,
    pub came_back: bool,
    pub sold_on: Option<Day>,
    pub refund: i128,
    pub cost_back: i128,
}

#[derive(Clone, Debug, PartialEq)]
pub struct LeftTold {
    pub id: String,
    pub on: Day,
    pub cost: i128,
    pub counts: i128,
}

/// Price and cost of a bike in a quarter, or 0 and the workshop's costs.
pub type Counted = (i128, i128);

#[derive(Clone, Debug, PartialEq)]
pub struct Corrected {
    pub of: i64,
    pub bike: Option<String>,
    pub kind: Kind,
    pub nth: usize,
    pub before: Option<Counted>,
    pub after: Option<Counted>,
    pub amount: i128,
}

#[derive(Clone, Debug, PartialEq)]
pub struct GiftTold {
    pub gift: Gift,
    pub taken_out: bool,
    pub of_closed: Option<i64>,
}

impl GiftTold {
    pub fn counts(&self) -> i128 {
        let amount = i128::from(self.gift.amount.minor());
        if self.taken_out { -amount } else { amount }
    }
}

impl Told {
    /// What was handed back of a sale in its own quarter, and what of its cost came back.
    pub fn refunds(&self, sale: &SaleTold) -> (i128, i128) {
        let mut sums = (0, 0);
        for one in &self.returns {
            if one.id == sale.id && one.sold_on == Some(sale.on) {
                sums.0 += one.refund;
                sums.1 += one.cost_back;
            }
        }
        sums
    }
}

pub fn minor(money: Money) -> i128 {
    i128::from(money.minor())
}

impl Books<'_> {
    /// The rule of a quarter: of those that began by then the one that began last.
    pub fn rule_of(&self, quarter: i64) -> &Giving {
        let mut rule = (i64::MIN, self.giving);
        for (from, later) in self.later {
            if *from <= quarter && *from >= rule.0 {
                rule = (*from, later);
            }
        }
        rule.1
    }

    /// Price and cost that count of something. Under `give net` a bike that comes back takes
    /// no cost back that `give price` had not taken off.
    pub fn worth(&self, one: &Happened, sale: &Sale, rows: &[&Cost]) -> Counted {
        let (price, cost) = one.worth(sale, rows);
        let give = |day: Day| self.rule_of(self.quarter_of(day)).give;
        match one.of.map(give) {
            Some(Give::Price) if one.kind == Kind::Back && give(one.on) == Give::Net => (price, 0),
            _ => (price, cost),
        }
    }

    pub fn quarter_of(&self, day: Day) -> i64 {
        quarter_of(day, self.giving.year_starts)
    }

    pub fn end_of(&self, quarter: i64) -> Day {
        end_of(quarter, self.giving.year_starts)
    }

    /// The first quarter with a record of its own, or the first open one.
    fn first(&self) -> Option<i64> {
        if let Some((last, _)) = self.closed.last() {
            return Some(last.quarter + 1);
        }
        let lives = self.now.sales.iter().flat_map(happened);
        let costs = self.now.costs.iter();
        let costs = costs.filter(|cost| cost.bike.is_none() || cost.from_box);
        let days = lives.map(|one| one.on).chain(costs.map(|cost| cost.on));
        let days = days.chain(self.now.gifts.iter().map(|gift| gift.on));
        let known = days.filter(|day| *day <= self.as_of);
        known.map(|day| self.quarter_of(day)).min()
    }

    /// The reports of the open quarters up to `to`, after the closed ones.
    pub fn told(&self, to: i64) -> Vec<Told> {
        let mut reports: Vec<Told> = self.closed.iter().map(|(told, _)| told.clone()).collect();
        if let Some(first) = self.first() {
            for quarter in first..=to {
                let next = self.one(quarter, &reports);
                reports.push(next);
            }
        }
        reports
    }

    fn one(&self, quarter: i64, before: &[Told]) -> Told {
        let mut told = Told {
            quarter,
            ..Told::default()
        };
        let here = |day: Day| day <= self.as_of && self.quarter_of(day) == quarter;
        for sale in &self.now.sales {
            let rows = rows_by(self.as_of, sale, &self.now.costs);
            for one in happened(sale).into_iter().filter(|one| here(one.on)) {
                let (price, cost) = self.worth(&one, sale, &rows);
                let (id, on) = (sale.id.clone(), one.on);
                match one.kind {
                    Kind::Sale => told.sales.push(SaleTold {
                        id,
                        on,
                        price,
                        cost: one.cost(sale, &rows),
                        in_all: cost_by(self.as_of, sale, &self.now.costs),
                        due: 0,
                    }),
                    Kind::Back | Kind::Refund => told.returns.push(ReturnTold {
                        id,
                        on,
                        came_back: one.kind == Kind::Back,
                        sold_on: one.of,
                        refund: -price,
                        cost_back: -cost,
                    }),
                    Kind::Leave => told.left.push(LeftTold {
                        id,
                        on,
                        cost: cost_by(self.as_of, sale, &self.now.costs).total,
                        counts: cost,
                    }),
                }
            }
        }
        told.returns
            .sort_by(|a, b| (a.on, a.id.as_bytes()).cmp(&(b.on, b.id.as_bytes())));
        told.left
            .sort_by(|a, b| (a.on, a.id.as_bytes()).cmp(&(b.on, b.id.as_bytes())));
        told.workshop_costs = told.left.iter().map(|line| line.counts).sum();
        told.sales
            .sort_by(|a, b| (a.on, a.id.as_bytes()).cmp(&(b.on, b.id.as_bytes())));
        if !self.closed.is_empty() {
            self.correct(&mut told, before);
        }
        for cost in self.now.costs.iter().filter(|cost| here(cost.on)) {
            if cost.from_box {
                told.from_box.push(cost.clone());
            } else if cost.bike.is_none() {
                told.workshop_costs += minor(cost.amount);
                told.workshop.push(cost.clone());
            }
        }
        told.workshop.sort_by_key(|cost| cost.on);
        told.from_box.sort_by_key(|cost| cost.on);
        for gift in self.now.gifts.iter().filter(|gift| here(gift.on)) {
            told.gifts.push(GiftTold {
                gift: gift.clone(),
                taken_out: false,
                of_closed: None,
            });
        }
        told.gifts.sort_by_key(|line| line.gift.on);
        self.share_out(&mut told, before.last());
        told
    }

    /// The sums, once the lines are there.
    fn share_out(&self, told: &mut Told, before: Option<&Told>) {
        let rule = self.rule_of(told.quarter);
        let mut whole: i128 = told.corrections.iter().map(|one| one.amount).sum();
        let weights: Vec<i128>;
        if rule.give == Give::Price {
            let carried = before.map_or(0, |before| before.carried);
            (told.brought, told.ended) = match self.rule_of(told.quarter - 1).give {
                Give::Price => (carried, 0),
                Give::Net => (0, carried),
            };
            whole += told.sales.iter().map(|line| line.price).sum::<i128>();
            // What is handed back takes away what there is, and no more; the rest waits.
            let mut waits = told.brought;
            waits += told.returns.iter().map(|line| line.refund).sum::<i128>();
            let taken = waits.min(whole.max(0));
            whole -= taken;
            told.carried = waits - taken;
            let left = |line: &SaleTold| line.price - told.refunds(line).0;
            weights = told.sales.iter().map(|line| left(line).max(0)).collect();
        } else {
            let margins: Vec<i128> = told
                .sales
                .iter()
                .map(|line| line.price - line.cost.total)
                .collect();
            told.brought = before.map_or(0, |before| before.carried);
            whole += margins.iter().sum::<i128>() - told.workshop_costs - told.brought;
            whole -= told
                .returns
                .iter()
                .map(|r| r.refund - r.cost_back)
                .sum::<i128>();
            if whole < 0 {
                told.carried = -whole;
                whole = 0;
            }
            let left = |line: &SaleTold| {
                let (refund, cost_back) = told.refunds(line);
                line.price - line.cost.total - refund + cost_back
            };
            weights = told.sales.iter().map(|line| left(line).max(0)).collect();
        }
        told.due = share_of(whole, rule.share);
        let dues = parts_of(told.due, &weights);
        for (line, due) in told.sales.iter_mut().zip(dues) {
            line.due = due;
        }
        told.given = told.gifts.iter().map(GiftTold::counts).sum();
        told.opening = before.map_or(0, |before| before.closing);
        told.closing = told.opening + told.due - told.given;
        let named = &rule.beneficiaries;
        let weights: Vec<i128> = named.iter().map(|who| i128::from(who.weight)).collect();
        let mut people: Vec<(String, i128)> = named
            .iter()
            .zip(parts_of(told.due, &weights))
            .map(|(who, due)| (who.name.clone(), due))
            .collect();
        let known = before.map_or(&[][..], |before| &before.people);
        let others = known.iter().map(|(name, _)| name);
        for name in others.chain(told.gifts.iter().map(|line| &line.gift.beneficiary)) {
            if !people.iter().any(|(known, _)| known == name) {
                people.push((name.clone(), 0));
            }
        }
        for (name, due) in people {
            let last = known.iter().find(|(known, _)| *known == name);
            let opening = last.map_or(0, |(_, [.., closing])| *closing);
            let to_them = told.gifts.iter();
            let to_them = to_them.filter(|line| line.gift.beneficiary == name);
            let given: i128 = to_them.map(GiftTold::counts).sum();
            told.people
                .push((name, [opening, due, given, opening + due - given]));
        }
    }
}
