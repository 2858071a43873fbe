//! What changed in closed quarters since they were closed.
//!
//! A closed quarter's figures stand. What its records say later is held against
//! what was counted, and the difference belongs to the open quarter in which
//! the change was made (whether a cost counts in it is the closed quarter's rule; the
//! share and who receives it are the open one's); a cost of a bike dated after its quarter was closed, in
//! a quarter that is open, belongs to the quarter of its day.

use super::closed::{Boxed, Closed, Figures, Given};
use super::events::Event;
use super::figures::{Correction, Counted, GiftLine, What};
use super::ledger::{AccountsProblem, Entries, Ledger};
use super::lines::sum;
use crate::accounts::direct_cost::by_bike;
use crate::trade::{Cost, Day, Gift, Give, Money, Quarter, Rules};
use std::collections::{BTreeMap, HashMap};

/// Of which quarter, and which bike (`None`: the workshop's costs); what of it, and
/// which of several.
type Subject = (Quarter, Option<String>, What, usize);

/// What closed quarters and corrections have counted so far.
pub(in crate::accounts) struct Accounted {
    counted: BTreeMap<Subject, Counted>,
    gifts: HashMap<Given, i64>,
    from_box: HashMap<Boxed, i64>,
    last: Option<Day>,
    /// The end of what was looked through; later quarters have nothing more
    /// when the answer is for this day.
    up_to: Option<Day>,
}

/// What belongs to an open quarter of closed ones.
#[derive(Default)]
pub(in crate::accounts) struct Changes {
    pub corrections: Vec<Correction>,
    pub gifts: Vec<GiftLine>,
    pub from_box: Vec<Cost>,
}

impl Accounted {
    pub(in crate::accounts) fn of(closed: &[Closed]) -> Self {
        let mut accounted = Self {
            counted: BTreeMap::new(),
            gifts: HashMap::new(),
            from_box: HashMap::new(),
            last: None,
            up_to: None,
        };
        for closed in closed {
            accounted.take(&closed.figures);
            accounted.last = accounted.last.max(Some(closed.closed_on));
        }
        accounted
    }

    fn take(&mut self, figures: &Figures) {
        for line in &figures.counted {
            let Some(of) = Quarter::read(&line.of) else {
                continue; // written by `Closed::of`
            };
            let subject = (of, line.bike.clone(), line.what, line.nth);
            match line.now {
                Some((price, cost)) => self.counted.insert(subject, Counted { price, cost }),
                None => self.counted.remove(&subject),
            };
        }
        for given in figures.gifts.iter().filter(|g| g.amount != Money::ZERO) {
            let one = given.amount.minor().signum();
            let amount = Money::from_minor(given.amount.minor().abs());
            let key = Given {
                amount,
                ..given.clone()
            };
            *self.gifts.entry(key).or_insert(0) += one;
        }
        for boxed in &figures.from_box {
            *self.from_box.entry(boxed.clone()).or_insert(0) += 1;
        }
    }

    /// What belongs to the open quarter `quarter`; it is accounted for then.
    pub(in crate::accounts) fn changes(
        &mut self,
        ledger: &Ledger<'_>,
        quarter: Quarter,
    ) -> Result<Changes, AccountsProblem> {
        let (Some(last), Some(last_closed)) = (self.last, ledger.closed.last()) else {
            return Ok(Changes::default());
        };
        let starts = ledger.rules.year_starts();
        let closed_to = last_closed.quarter.last_day(starts);
        let up_to = quarter.last_day(starts).min(ledger.as_of);
        if self.up_to.replace(up_to) == Some(up_to) {
            return Ok(Changes::default());
        }
        let then = (ledger.past)(up_to.max(last)).map_err(AccountsProblem::Past)?;
        let now = counted(ledger, &then, closed_to, up_to);
        Ok(Changes {
            corrections: self.differences(now, ledger.rules),
            gifts: self.gifts(&then, closed_to, starts),
            from_box: self.boxed(&then, closed_to),
        })
    }

    /// Gifts of closed quarters that were recorded afterwards, then those that were
    /// taken out of the records, below 0.
    fn gifts(&mut self, then: &Entries, closed_to: Day, year_starts: u8) -> Vec<GiftLine> {
        let of_closed = |gift: &Gift| Some(Quarter::of(gift.on, year_starts));
        let mut lines = Vec::new();
        let mut missing = self.gifts.clone();
        // A gift of nothing cannot be told from one taken out, and changes nothing.
        let counts = |gift: &&Gift| gift.on <= closed_to && gift.amount != Money::ZERO;
        for gift in then.gifts.iter().filter(counts) {
            let key = Given::of(gift);
            let there = missing.entry(key.clone()).or_insert(0);
            if *there > 0 {
                *there -= 1;
                continue;
            }
            *self.gifts.entry(key).or_insert(0) += 1;
            lines.push(GiftLine {
                gift: gift.clone(),
                amount: gift.amount,
                of_closed: of_closed(gift),
            });
        }
        let mut gone: Vec<(Given, i64)> = missing.into_iter().filter(|(_, n)| *n > 0).collect();
        gone.sort_by(|(a, _), (b, _)| a.cmp(b));
        for (given, count) in gone {
            let Some(gift) = given.gift() else {
                continue; // written by `Closed::of`
            };
            let line = GiftLine {
                amount: Money::from_minor(-gift.amount.minor()),
                of_closed: of_closed(&gift),
                gift,
            };
            lines.extend((0..count).map(|_| line.clone()));
            *self.gifts.entry(given).or_insert(0) -= count;
        }
        lines
    }

    /// What was taken from the parts box in closed quarters and recorded afterwards.
    fn boxed(&mut self, then: &Entries, closed_to: Day) -> Vec<Cost> {
        let mut costs = Vec::new();
        let mut told = self.from_box.clone();
        let counts = |cost: &&Cost| cost.from_box && cost.on <= closed_to;
        for cost in then.costs.iter().filter(counts) {
            let there = told.entry(Boxed::of(cost)).or_insert(0);
            *there -= 1;
            if *there < 0 {
                *self.from_box.entry(Boxed::of(cost)).or_insert(0) += 1;
                costs.push(cost.clone());
            }
        }
        costs
    }

    fn differences(&mut self, now: BTreeMap<Subject, Counted>, rules: &Rules) -> Vec<Correction> {
        let mut subjects: Vec<&Subject> = now.keys().chain(self.counted.keys()).collect();
        subjects.sort_by_key(|(of, bike, what, nth)| {
            (*of, bike.is_none(), bike.as_deref(), *what, *nth)
        });
        subjects.dedup();
        let weigh = |give: Give, counted: Option<&Counted>| {
            let Counted { price, cost } = counted.copied().unwrap_or_default();
            match give {
                Give::Price => price.minor(),
                Give::Net => price.minor().saturating_sub(cost.minor()),
            }
        };
        let mut corrections = Vec::new();
        for subject in subjects {
            let (before, after) = (self.counted.get(subject), now.get(subject));
            let nothing = |counted: Option<&Counted>| {
                counted.is_none_or(|c| subject.1.is_none() && *c == Counted::default())
            };
            if before == after || (nothing(before) && nothing(after)) {
                continue;
            }
            let give = rules.of(subject.0).give;
            let amount = weigh(give, after).saturating_sub(weigh(give, before));
            corrections.push(Correction {
                of: subject.0,
                bike: subject.1.clone(),
                what: subject.2,
                nth: subject.3,
                before: before.copied(),
                after: after.copied(),
                give,
                amount: Money::from_minor(amount),
            });
        }
        self.counted = now;
        corrections
    }
}

/// What the closed quarters would count by the records `then`, with costs dated
/// up to `up_to` of bikes sold before. Costs dated in a closed quarter, or up to
/// the day on which their bike's was closed, are as they were known then.
fn counted(
    ledger: &Ledger<'_>,
    then: &Entries,
    closed_to: Day,
    up_to: Day,
) -> BTreeMap<Subject, Counted> {
    let starts = ledger.rules.year_starts();
    let closed_on = |quarter: Quarter| {
        let closing = ledger
            .closed
            .iter()
            .find(|closed| closed.quarter >= quarter);
        closing.map_or(closed_to, |closing| closing.closed_on)
    };
    let (known, later) = (by_bike(&then.costs), by_bike(&ledger.now.costs));
    let mut counted = BTreeMap::new();
    for sale in &then.sales {
        let id = sale.id.as_str();
        let mut events = Event::all(sale, closed_to);
        events.sort_by_key(|event| event.on);
        let mut so_far: HashMap<(Quarter, What), usize> = HashMap::new();
        for event in events {
            let of = Quarter::of(event.on, starts);
            let settled = closed_to.max(closed_on(of));
            let early = known.get(id).into_iter().flatten();
            let late = later.get(id).into_iter().flatten();
            let costs: Vec<&Cost> = early
                .filter(|cost| cost.on <= settled)
                .chain(late.filter(|cost| cost.on > settled && cost.on <= up_to))
                .copied()
                .collect();
            let nth = so_far.entry((of, event.what())).or_insert(0);
            let subject = (of, Some(sale.id.clone()), event.what(), *nth);
            *nth += 1;
            counted.insert(subject, event.counted(sale, &costs, ledger.rules));
        }
    }
    let mut workshop: BTreeMap<Quarter, Vec<Money>> = BTreeMap::new();
    let of_none = |cost: &&Cost| cost.bike.is_none() && !cost.from_box && cost.on <= closed_to;
    for cost in then.costs.iter().filter(of_none) {
        let of = Quarter::of(cost.on, starts);
        workshop.entry(of).or_default().push(cost.amount);
    }
    for closed in ledger.closed {
        workshop.entry(closed.quarter).or_default();
    }
    for (of, amounts) in workshop {
        let cost = i64::try_from(sum(amounts.into_iter())).unwrap_or(i64::MAX);
        let counts = Counted {
            price: Money::ZERO,
            cost: Money::from_minor(cost),
        };
        counted.insert((of, None, What::Sale, 0), counts);
    }
    counted
}
