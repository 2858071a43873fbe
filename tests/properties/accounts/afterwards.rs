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
use super::plain::bike_cost;
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
        let mut subjects: Vec<(i64, Option<String>)> = Vec::new();
        let mut add = |subject: (i64, Option<String>)| {
            if subject.0 <= last && !subjects.contains(&subject) {
                subjects.push(subject);
            }
        };
        for report in before {
            add((report.quarter, None));
            for line in &report.sales {
                add((report.quarter, Some(line.id.clone())));
            }
            for one in &report.corrections {
                add((one.of, one.bike.clone()));
            }
        }
        for sale in &then.sales {
            if let Some(sold) = sale.sold {
                add((self.quarter_of(sold.on), Some(sale.id.clone())));
            }
        }
        for cost in then.costs.iter().filter(|cost| cost.bike.is_none()) {
            add((self.quarter_of(cost.on), None));
        }
        // By quarter, its bikes by the bytes of their ids, then its workshop.
        subjects.sort_by_key(|(of, bike)| (*of, bike.is_none(), bike.clone()));
        for (of, bike) in subjects {
            let was = so_far(before, of, bike.as_deref());
            let is = match &bike {
                Some(id) => self.bike_now(of, id, &then, up_to, last),
                None => self.workshop_now(of, &then),
            };
            if was == is || (bike.is_none() && worth(was) == worth(is)) {
                continue;
            }
            let amount = |counted: Option<Counted>| match (self.rule_of(of).give, worth(counted)) {
                (Give::Price, (price, _)) => price,
                (Give::Net, (price, cost)) => price - cost,
            };
            told.corrections.push(Corrected {
                of,
                bike,
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

    fn bike_now(
        &self,
        of: i64,
        id: &str,
        then: &Entries,
        up_to: Day,
        last: i64,
    ) -> Option<Counted> {
        let sale = then.sales.iter().find(|sale| sale.id == id)?;
        let sold = sale.sold.filter(|sold| self.quarter_of(sold.on) == of)?;
        let closing = self.closed.iter().find(|(told, _)| told.quarter >= of);
        let settled = closing.map(|(_, on)| *on).max(Some(self.end_of(last)))?;
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
        Some((minor(sold.price), bike_cost(sale, &rows).total))
    }

    /// `None` where there is nothing and was never a report.
    fn workshop_now(&self, of: i64, then: &Entries) -> Option<Counted> {
        let mut found = self.closed.iter().any(|(told, _)| told.quarter == of);
        let mut sum = 0;
        for cost in &then.costs {
            if cost.bike.is_none() && !cost.from_box && self.quarter_of(cost.on) == of {
                found = true;
                sum += minor(cost.amount);
            }
        }
        found.then_some((0, sum))
    }
}

fn worth(counted: Option<Counted>) -> Counted {
    counted.unwrap_or((0, 0))
}

/// What the reports have told of a bike (or the workshop) in a quarter: the last
/// word counts.
fn so_far(reports: &[Told], of: i64, bike: Option<&str>) -> Option<Counted> {
    let mut said = None;
    for report in reports {
        if report.quarter == of {
            said = match bike {
                None => Some((0, report.workshop_costs)),
                Some(id) => {
                    let line = report.sales.iter().find(|line| line.id == id);
                    line.map(|line| (line.price, line.cost.total))
                }
            };
        }
        for one in &report.corrections {
            if one.of == of && one.bike.as_deref() == bike {
                said = one.after;
            }
        }
    }
    said
}
