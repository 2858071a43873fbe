//! Quarters from records, one after the other from the first record on.

use super::corrections::{Accounted, Changes};
use super::doubts;
use super::figures::{Balance, CourseLine, LeftLine, QuarterReport, ReturnLine};
use super::ledger::{AccountsProblem, Ledger};
use super::lines::{self, Indexed};
use super::meant;
use crate::accounts::share;
use crate::trade::money::split;
use crate::trade::{Give, Giving, Money, Quarter};

/// What goes from one quarter into the next.
struct Running {
    opening: i128,
    shortfall: i128,
    /// The rule under which it came about.
    give: Option<Give>,
    given_so_far: i128,
    /// Those whom the rule names, then others, each with what is owed.
    owed: Vec<(String, i128)>,
    course: Vec<CourseLine>,
}

/// The report of a quarter that is not closed; all zeros before the first
/// record, also where later quarters are closed.
///
/// `give price`: due = share of (sale prices + corrections - money handed back -
/// shortfall brought forward). What is handed back takes nothing below 0: the rest of
/// it is carried forward as a shortfall, which is 0 where nothing ever came back. (A
/// correction of a closed quarter may take the due below 0: what was shared out too
/// much is taken back.) `give net`: due = share of (margins + corrections - money handed
/// back + the cost of the bikes that came back - workshop costs - shortfall brought
/// forward), where the workshop's costs hold those of bikes that were given,
/// scrapped or stolen; when that is below 0, due is 0 and the whole of it is
/// carried forward. Each quarter goes by the rule that is in force in it: a shortfall
/// goes from one quarter into the next, and one of `give net` ends where `give price`
/// begins, because no cost counts there; what is owed to those whom a new rule does not
/// name stays owed. The share is taken once, of the whole, and rounded half
/// up; beneficiaries and bikes split the whole by largest remainder. The
/// definitions are the workshop's own rule, not a standard's.
///
/// # Errors
/// The quarter is closed, sums are too large, or the records of an earlier
/// day cannot be told.
pub fn quarter_report(
    ledger: &Ledger<'_>,
    quarter: Quarter,
) -> Result<QuarterReport, AccountsProblem> {
    let first_closed = ledger.closed.first().map(|closed| closed.quarter);
    let (mut reports, course) = match first_closed {
        Some(first) if quarter < first => (vec![], vec![]),
        _ => open_up_to(ledger, quarter)?,
    };
    let mut report = reports.pop().unwrap_or_else(|| nothing(ledger, quarter));
    report.course = course;
    report.cautions = doubts::of(&report, ledger);
    report.meant = meant::of(&report, ledger);
    Ok(report)
}

/// The reports of all open quarters from the first with a record (or the
/// first after a closed one) up to `quarter`, in order: what closing it
/// closes.
///
/// # Errors
/// Those of [`quarter_report`], and that it lies before the first closed one.
pub fn reports_to_close(
    ledger: &Ledger<'_>,
    quarter: Quarter,
) -> Result<Vec<QuarterReport>, AccountsProblem> {
    let first_closed = ledger.closed.first().map(|closed| closed.quarter);
    if let Some(first) = first_closed.filter(|first| quarter < *first) {
        return Err(AccountsProblem::BeforeClosed { quarter, first });
    }
    let (mut reports, course) = open_up_to(ledger, quarter)?;
    if reports.is_empty() {
        reports.push(nothing(ledger, quarter));
    }
    for (place, report) in reports.iter_mut().enumerate() {
        let up_to_it = course.iter().take(ledger.closed.len() + place + 1);
        report.course = up_to_it.cloned().collect();
        report.cautions = doubts::of(report, ledger);
        report.meant = meant::of(report, ledger);
    }
    Ok(reports)
}

/// Reports without their course, and the course up to the last of them;
/// empty for a quarter before the first record.
fn open_up_to(
    ledger: &Ledger<'_>,
    quarter: Quarter,
) -> Result<(Vec<QuarterReport>, Vec<CourseLine>), AccountsProblem> {
    if ledger.closed.iter().any(|closed| closed.quarter == quarter) {
        return Err(AccountsProblem::Closed(quarter));
    }
    let index = Indexed::of(ledger);
    let last_closed = ledger.closed.last().map(|closed| closed.quarter);
    let mut running = Running::new(ledger)?;
    let Some(mut next) = last_closed.map(Quarter::next).or(index.first) else {
        return Ok((vec![], vec![]));
    };
    let mut accounted = Accounted::of(ledger.closed);
    let mut reports = Vec::new();
    while next <= quarter {
        let changes = accounted.changes(ledger, next)?;
        reports.push(one(ledger, next, &index, changes, &mut running)?);
        next = next.next();
    }
    Ok((reports, running.course))
}

fn one(
    ledger: &Ledger<'_>,
    quarter: Quarter,
    index: &Indexed<'_>,
    changes: Changes,
    running: &mut Running,
) -> Result<QuarterReport, AccountsProblem> {
    let mut report = nothing(ledger, quarter);
    let found = index.lines(quarter, ledger);
    report.sales = found.sales;
    report.returns = found.returns;
    report.left = found.left;
    report.workshop = found.workshop;
    report.from_box = changes.from_box;
    report.from_box.extend(found.from_box);
    report.corrections = changes.corrections;
    report.gifts = changes.gifts;
    report.gifts.extend(found.gifts);

    let workshop = lines::sum(report.workshop.iter().map(|cost| cost.amount))
        + lines::sum(report.left.iter().map(LeftLine::counts));
    let corrected = lines::sum(report.corrections.iter().map(|c| c.amount));
    let (brought, ended) = match (running.give, report.giving.give) {
        (Some(Give::Net), Give::Price) => (0, running.shortfall),
        _ => (running.shortfall, 0),
    };
    running.give = Some(report.giving.give);
    let due = match report.giving.give {
        Give::Price => {
            let prices = lines::sum(report.sales.iter().map(|line| line.sold_price));
            let back = brought + lines::sum(report.returns.iter().map(|line| line.refund));
            let before = prices + corrected;
            running.shortfall = (back - before.max(0)).max(0);
            share::of(before - back + running.shortfall, report.giving.share)
        }
        Give::Net => {
            let margins = lines::sum(report.sales.iter().map(|line| line.margin));
            let back = lines::sum(report.returns.iter().map(ReturnLine::change));
            let left = margins + corrected + back - workshop - brought;
            running.shortfall = (-left).max(0);
            share::of(left.max(0), report.giving.share)
        }
    };
    report.workshop_costs = held(workshop)?;
    report.brought_forward = held(brought)?;
    report.ended = held(ended)?;
    report.carried_forward = held(running.shortfall)?;
    report.due = held(due)?;
    for (line, due) in report
        .sales
        .iter_mut()
        .zip(split(report.due.minor(), &found.weights))
    {
        line.due = Money::from_minor(due);
    }
    report.gifts.sort_by_key(|line| line.gift.on);
    report.from_box.sort_by_key(|cost| cost.on);
    running.close(&mut report)?;
    Ok(report)
}

/// All zeros.
fn nothing(ledger: &Ledger<'_>, quarter: Quarter) -> QuarterReport {
    let starts = ledger.rules.year_starts();
    let giving = ledger.rules.of(quarter);
    let zero = Money::ZERO;
    let balances = giving.beneficiaries.iter().map(|who| Balance {
        name: who.name.clone(),
        opening: zero,
        due: zero,
        given: zero,
        closing: zero,
    });
    QuarterReport {
        quarter,
        from: quarter.first_day(starts),
        to: quarter.last_day(starts),
        as_of: ledger.as_of,
        closed_on: None,
        giving: giving.clone(),
        sales: vec![],
        returns: vec![],
        left: vec![],
        workshop: vec![],
        workshop_costs: zero,
        from_box: vec![],
        corrections: vec![],
        brought_forward: zero,
        ended: zero,
        due: zero,
        carried_forward: zero,
        gifts: vec![],
        opening: zero,
        given: zero,
        closing: zero,
        beneficiaries: balances.collect(),
        meant: vec![],
        course: vec![],
        cautions: vec![],
    }
}

impl Running {
    /// As the closed quarters left it.
    fn new(ledger: &Ledger<'_>) -> Result<Self, AccountsProblem> {
        let mut running = Self {
            opening: 0,
            shortfall: 0,
            give: None,
            given_so_far: 0,
            owed: vec![],
            course: vec![],
        };
        for closed in ledger.closed {
            let figures = &closed.figures;
            running.opening = i128::from(figures.closing.minor());
            running.shortfall = i128::from(figures.carried_forward.minor());
            running.give = Some(ledger.rules.of(closed.quarter).give);
            running.given_so_far += i128::from(figures.given.minor());
            // Nobody who was ever named or given to is left out of the balances.
            let balances = figures.balances.iter();
            running.owed = balances
                .map(|(name, closing)| (name.clone(), i128::from(closing.minor())))
                .collect();
            running.course.push(CourseLine {
                quarter: closed.quarter,
                sold: figures.sold,
                due: figures.due,
                given: figures.given,
                given_so_far: held(running.given_so_far)?,
                closing: figures.closing,
            });
        }
        Ok(running)
    }

    fn owed_to(&mut self, name: &str) -> &mut i128 {
        let known = self.owed.iter().position(|(who, _)| who == name);
        let place = known.unwrap_or_else(|| {
            self.owed.push((name.to_string(), 0));
            self.owed.len() - 1
        });
        &mut self.owed[place].1
    }

    /// Those whom a rule names come first, in its order, and the others as they stood.
    fn put_first(&mut self, giving: &Giving) {
        for who in giving.beneficiaries.iter().rev() {
            let known = self.owed.iter().position(|(name, _)| *name == who.name);
            let owed = match known {
                Some(place) => self.owed.remove(place),
                None => (who.name.clone(), 0),
            };
            self.owed.insert(0, owed);
        }
    }

    /// Balances of the whole and of each beneficiary.
    fn close(&mut self, report: &mut QuarterReport) -> Result<(), AccountsProblem> {
        self.put_first(&report.giving);
        let given = lines::sum(report.gifts.iter().map(|line| line.amount));
        for line in &report.gifts {
            self.owed_to(&line.gift.beneficiary);
        }
        let weights: Vec<u64> = report
            .giving
            .beneficiaries
            .iter()
            .map(|who| u64::from(who.weight))
            .collect();
        let dues = split(report.due.minor(), &weights);
        let dues = dues.into_iter().chain(std::iter::repeat(0));
        report.beneficiaries.clear();
        for ((name, owed), due) in self.owed.iter_mut().zip(dues) {
            let to_them = report.gifts.iter().filter(|g| g.gift.beneficiary == *name);
            let given = lines::sum(to_them.map(|line| line.amount));
            let opening = *owed;
            *owed += i128::from(due) - given;
            report.beneficiaries.push(Balance {
                name: name.clone(),
                opening: held(opening)?,
                due: Money::from_minor(due),
                given: held(given)?,
                closing: held(*owed)?,
            });
        }
        report.opening = held(self.opening)?;
        report.given = held(given)?;
        self.opening += i128::from(report.due.minor()) - given;
        self.given_so_far += given;
        report.closing = held(self.opening)?;
        self.course.push(CourseLine {
            quarter: report.quarter,
            sold: report.sold(),
            due: report.due,
            given: report.given,
            given_so_far: held(self.given_so_far)?,
            closing: report.closing,
        });
        Ok(())
    }
}

fn held(minor: i128) -> Result<Money, AccountsProblem> {
    i64::try_from(minor)
        .map(Money::from_minor)
        .map_err(|_| AccountsProblem::TooLarge)
}
