//! The records of a small workshop as they grow day by day, for tests of the
//! quarterly books. It keeps how they stood at the end of each day, as the
//! record book does.

use crate::support::records;
pub use crate::support::records::day;
use std::collections::BTreeMap;
use wheelworth::accounts::{
    AccountsProblem, Closed, Entries, Inspected, Ledger, QuarterReport, quarter_report,
    reports_to_close,
};
use wheelworth::trade::{
    Beneficiary, Cost, CostKind, Day, Gift, Give, Giving, Means, Money, Quarter, RuleChange, Rules,
    Sale, sale::Sold,
};

/// A workshop's records, today's and earlier ones.
#[derive(Clone, Debug)]
pub struct Records {
    pub giving: Giving,
    /// Later rules.
    pub changes: Vec<RuleChange>,
    pub means: Vec<Means>,
    pub minor_per_unit: i64,
    pub today: Day,
    pub now: Entries,
    pub inspections: Vec<Inspected>,
    pub closed: Vec<Closed>,
    evenings: BTreeMap<Day, Entries>,
}

/// `150.00` in a currency of two decimals, `150` where there are none: the
/// digits are the minor units.
pub fn money(text: &str) -> Money {
    Money::from_minor(text.replace('.', "").parse().unwrap())
}

/// `2026-Q2`.
pub fn quarter(text: &str) -> Quarter {
    Quarter::read(text).unwrap()
}

/// A bike sold, of which no cost is known.
pub fn sale(id: &str, on: &str, price: &str) -> Sale {
    let (on, price) = (day(on), money(price));
    Sale {
        sold: Some(Sold { on, price }),
        ..records::sale(id)
    }
}

/// The same with what was paid for it.
pub fn bought_and_sold(id: &str, purchase: &str, on: &str, price: &str) -> Sale {
    Sale {
        purchase: Some(money(purchase)),
        ..sale(id, on, price)
    }
}

/// A cost of a bike, or of the workshop where `bike` is empty.
pub fn cost(bike: &str, on: &str, kind: CostKind, amount: &str) -> Cost {
    Cost {
        bike: (!bike.is_empty()).then(|| bike.to_string()),
        on: day(on),
        kind,
        item: None,
        amount: money(amount),
        from_box: false,
    }
}

/// Money handed over.
pub fn gift(on: &str, to: &str, amount: &str) -> Gift {
    Gift {
        on: day(on),
        beneficiary: to.to_string(),
        amount: money(amount),
        reference: None,
    }
}

impl Records {
    /// An empty book in a currency of two decimals, a year from January and
    /// nobody named.
    pub fn new(give: Give, share: u16) -> Self {
        Self {
            giving: Giving {
                give,
                share,
                year_starts: 1,
                beneficiaries: vec![],
            },
            changes: vec![],
            means: vec![],
            minor_per_unit: 100,
            today: day("2026-01-01"),
            now: Entries::default(),
            inspections: vec![],
            closed: vec![],
            evenings: BTreeMap::new(),
        }
    }

    pub fn named(mut self, name: &str, weight: u32) -> Self {
        let name = name.to_string();
        self.giving.beneficiaries.push(Beneficiary { name, weight });
        self
    }

    /// A change of the records on a day; days go on only.
    pub fn change(&mut self, on: Day, change: impl FnOnce(&mut Entries)) {
        assert!(on >= self.today, "{on} is before {}", self.today);
        self.today = on;
        change(&mut self.now);
        self.evenings.insert(on, self.now.clone());
    }

    /// As [`Self::change`], the day in words.
    pub fn on(&mut self, on: &str, change: impl FnOnce(&mut Entries)) {
        self.change(day(on), change);
    }

    /// The bike of an id, to be changed.
    pub fn bike<'a>(entries: &'a mut Entries, id: &str) -> &'a mut Sale {
        entries.sales.iter_mut().find(|sale| sale.id == id).unwrap()
    }

    /// How the records stood at the end of `on`.
    pub fn evening(&self, on: Day) -> Entries {
        let before = self.evenings.range(..=on).next_back();
        before.map_or_else(Entries::default, |(_, entries)| entries.clone())
    }

    /// The same records in another order, on every day.
    pub fn rearrange(&mut self, arrange: impl Fn(&mut Entries)) {
        self.evenings.values_mut().for_each(&arrange);
        arrange(&mut self.now);
    }

    /// Asks a ledger of today's records and the quarters closed up to `as_of`.
    pub fn ask<T>(&self, as_of: Day, ask: impl FnOnce(&Ledger<'_>) -> T) -> T {
        let closed = self.closed.iter().filter(|one| one.closed_on <= as_of);
        let closed: Vec<Closed> = closed.cloned().collect();
        let rules = Rules::new(self.giving.clone(), self.changes.clone());
        ask(&Ledger {
            rules: &rules,
            means: &self.means,
            minor_per_unit: self.minor_per_unit,
            as_of,
            now: &self.now,
            inspections: &self.inspections,
            closed: &closed,
            past: &|on| Ok(self.evening(on)),
        })
    }

    pub fn try_report(
        &self,
        quarter: Quarter,
        as_of: Day,
    ) -> Result<QuarterReport, AccountsProblem> {
        self.ask(as_of, |ledger| quarter_report(ledger, quarter))
    }

    /// The report of an open quarter.
    pub fn report(&self, name: &str, as_of: &str) -> QuarterReport {
        self.try_report(quarter(name), day(as_of)).unwrap()
    }

    /// Closes a quarter and the open ones before it on a day. What is kept goes
    /// through its text and back.
    pub fn close(&mut self, quarter: Quarter, on: Day) -> Vec<QuarterReport> {
        self.change(on, |_| {});
        let reports = self.ask(on, |ledger| reports_to_close(ledger, quarter).unwrap());
        for report in &reports {
            let closed = Closed::of(report, on);
            let text = closed.figures_text().unwrap();
            let read = Closed::read(report.quarter, on, &text).unwrap();
            assert_eq!(read, closed);
            self.closed.push(read);
        }
        reports
    }
}
