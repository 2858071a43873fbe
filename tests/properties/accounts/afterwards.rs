//! A second opinion on what belongs to an open quarter of the closed ones.
//!
//! Where the rules leave room it reads them so: a change counts as made at the
//! end of its day, and one made on the day of a closing or before it shows in
//! the first open quarter; of a bike in a closed quarter, costs dated up to the
//! end of the last closed quarter, or up to the day on which the bike's own was
//! closed, are part of what was closed, and changes of them show when they are
//! made; later ones show where they are dated. Whether costs count in a correction is the
//! rule of the quarter that is corrected.

use super::oracle::{Books, Corrected, Counted, GiftTold, Told, minor};
use super::plain::{Kind, happened};
use std::cmp::Ordering;
use std::collections::BTreeMap;
use wheelworth::accounts::Entries;
use wheelworth::trade::{Cost, Day, Gift, Give, Money};

impl Books<'_> {
    /// What belongs to an open quarter of the closed ones.
    pub fn correct(&self, told: &mut Told, before: &[Told]) {
        let last = self.closed.iter().map(|(told, _)| told.quarter).max();
        let last = last.unwrap_or(i64::MIN);
        let last_day = self.closed.iter().map(|(_, on)| *on).max();
        let up_to = self.end_of(told.quarter).min(self.as_of);
        let then = (self.past)(last_day.map_or(up_to, |on| on.max(up_to)));
        let (was, is) = (so_far(before), self.held(&then, up_to, last));
        let mut subjects: Vec<&Subject> = was.keys().chain(is.keys()).collect();
        subjects.retain(|subject| subject.of <= last);
        subjects.sort();
        subjects.dedup();
        for subject in subjects {
            let (was, is) = (
                was.get(subject).copied().flatten(),
                is.get(subject).copied(),
            );
            let workshop = subject.bike.is_none();
            if was == is || (workshop && worth(was) == worth(is)) {
                continue;
            }
            let amount =
                |counted: Option<Counted>| match (self.rule_of(subject.of).give, worth(counted)) {
                    (Give::Price, (price, _)) => price,
                    (Give::Net, (price, cost)) => price - cost,
                };
            told.corrections.push(Corrected {
                of: subject.of,
                bike: subject.bike.clone(),
                kind: subject.kind,
                nth: subject.nth,
                before: was,
                after: is,
                amount: amount(is) - amount(was),
            });
        }
        let closed = |day: Day| self.quarter_of(day) <= last;
        self.correct_gifts(told, before, &then, &closed);
        let mut known: Vec<&Cost> = before.iter().flat_map(|r| &r.from_box).collect();
        for row in then.costs.iter().filter(|c| c.from_box && closed(c.on)) {
            match known.iter().position(|one| *one == row) {
                Some(place) => {
                    known.remove(place);
                }
                None => told.from_box.push(row.clone()),
            }
        }
    }

    fn correct_gifts(
        &self,
        told: &mut Told,
        before: &[Told],
        then: &Entries,
        closed: &dyn Fn(Day) -> bool,
    ) {
        let counts = |gift: &Gift| closed(gift.on) && gift.amount != Money::ZERO;
        let mut known: Vec<&Gift> = Vec::new();
        for line in before.iter().flat_map(|report| &report.gifts) {
            if !line.taken_out {
                known.push(&line.gift);
            } else if let Some(place) = known.iter().position(|one| **one == line.gift) {
                known.remove(place);
            }
        }
        let mut add = |gift: &Gift, taken_out| {
            told.gifts.push(GiftTold {
                gift: gift.clone(),
                taken_out,
                of_closed: Some(self.quarter_of(gift.on)),
            });
        };
        for gift in then.gifts.iter().filter(|gift| counts(gift)) {
            match known.iter().position(|one| *one == gift) {
                Some(place) => {
                    known.remove(place);
                }
                None => add(gift, false),
            }
        }
        for gift in known.into_iter().filter(|gift| counts(gift)) {
            add(gift, true);
        }
    }

    /// What the closed quarters hold by the records `then`; no workshop where there is
    /// nothing and was never a report.
    fn held(&self, then: &Entries, up_to: Day, last: i64) -> BTreeMap<Subject, Counted> {
        let mut held = BTreeMap::new();
        for sale in &then.sales {
            let id = sale.id.as_str();
            for one in happened(sale) {
                let of = self.quarter_of(one.on);
                if of > last {
                    continue;
                }
                let closing = self.closed.iter().find(|(told, _)| told.quarter >= of);
                let settled = closing.map(|(_, on)| *on).max(Some(self.end_of(last)));
                let settled = settled.unwrap();
                let mut rows: Vec<&Cost> = Vec::new();
                for row in &then.costs {
                    if row.bike.as_deref() == Some(id) && row.on <= settled {
                        rows.push(row);
                    }
                }
                for row in &self.now.costs {
                    if row.bike.as_deref() == Some(id) && row.on > settled && row.on <= up_to {
                        rows.push(row);
                    }
                }
                let worth = self.worth(&one, sale, &rows);
                held.insert(next(&held, of, Some(id), one.kind), worth);
            }
        }
        for (told, _) in self.closed {
            held.insert(workshop(told.quarter), (0, 0));
        }
        for cost in then.costs.iter().filter(|cost| !cost.from_box) {
            if cost.bike.is_none() {
                let sum = held.entry(workshop(self.quarter_of(cost.on)));
                sum.or_insert((0, 0)).1 += minor(cost.amount);
            }
        }
        held
    }
}

/// Of which quarter; which bike, or the workshop; what of it, and which of several.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Subject {
    of: i64,
    bike: Option<String>,
    kind: Kind,
    nth: usize,
}

impl Ord for Subject {
    /// By quarter, its bikes by the bytes of their ids, then its workshop.
    fn cmp(&self, other: &Self) -> Ordering {
        let key = |one: &Self| {
            (
                one.of,
                one.bike.is_none(),
                one.bike.clone(),
                one.kind,
                one.nth,
            )
        };
        key(self).cmp(&key(other))
    }
}

impl PartialOrd for Subject {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

fn workshop(of: i64) -> Subject {
    Subject {
        of,
        bike: None,
        kind: Kind::Sale,
        nth: 0,
    }
}

/// The next of its kind of a bike in a quarter.
fn next<T>(all: &BTreeMap<Subject, T>, of: i64, bike: Option<&str>, kind: Kind) -> Subject {
    let like = |one: &&Subject| (one.of, one.bike.as_deref(), one.kind) == (of, bike, kind);
    Subject {
        of,
        bike: bike.map(String::from),
        kind,
        nth: all.keys().filter(like).count(),
    }
}

fn worth(counted: Option<Counted>) -> Counted {
    counted.unwrap_or((0, 0))
}

/// What the reports have told: the last word counts.
fn so_far(reports: &[Told]) -> BTreeMap<Subject, Option<Counted>> {
    let mut said: BTreeMap<Subject, Option<Counted>> = BTreeMap::new();
    for report in reports {
        let of = report.quarter;
        let left: i128 = report.left.iter().map(|line| line.counts).sum();
        said.insert(workshop(of), Some((0, report.workshop_costs - left)));
        let mut say = |id: &str, kind, counted| {
            said.insert(next(&said, of, Some(id), kind), Some(counted));
        };
        for line in &report.sales {
            say(&line.id, Kind::Sale, (line.price, line.cost.total));
        }
        for line in &report.returns {
            let kind = if line.came_back {
                Kind::Back
            } else {
                Kind::Refund
            };
            say(&line.id, kind, (-line.refund, -line.cost_back));
        }
        for line in &report.left {
            say(&line.id, Kind::Leave, (0, line.counts));
        }
        for one in &report.corrections {
            let subject = Subject {
                of: one.of,
                bike: one.bike.clone(),
                kind: one.kind,
                nth: one.nth,
            };
            said.insert(subject, one.after);
        }
    }
    said
}
