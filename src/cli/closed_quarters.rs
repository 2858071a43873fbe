//! What a change does to quarters that are closed, told when it is made.

use super::accounts::Books;
use super::failure::Failure;
use crate::accounts::QuarterReport;
use crate::accounts::quarter::figures::{Counted, What};
use crate::book::Book;
use crate::report::text::amounts;
use crate::trade::{Currency, Day, Money, Quarter};
use std::collections::BTreeMap;

/// A bike, the workshop's costs or a gift of a closed quarter.
type Subject = (Quarter, String);

/// What the open quarter corrects of one: what it counts now, and by how much that
/// moves what is shared out.
type Corrected = (Option<Counted>, Money);

/// What the quarter that is open corrects of closed ones, before a change.
pub(crate) struct ClosedQuarters {
    before: BTreeMap<Subject, Corrected>,
    as_of: Day,
}

impl ClosedQuarters {
    /// As it is now; nothing in a book without closed quarters.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(crate) fn of(book: &Book, as_of: Day) -> Result<Self, Failure> {
        let report = open_report(book, as_of)?;
        Ok(Self {
            before: report.map_or_else(BTreeMap::new, |report| corrected(&report)),
            as_of,
        })
    }

    /// What has changed since, a sentence for each closed quarter.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(crate) fn changed(&self, book: &Book) -> Result<Vec<String>, Failure> {
        let Some(report) = open_report(book, self.as_of)? else {
            return Ok(Vec::new());
        };
        let currency = book.settings().currency;
        let now = corrected(&report);
        let mut by_quarter: BTreeMap<Quarter, Vec<String>> = BTreeMap::new();
        let nothing = (None, Money::ZERO);
        let mut subjects: Vec<&Subject> = self.before.keys().chain(now.keys()).collect();
        subjects.sort();
        subjects.dedup();
        for subject in subjects {
            let before = self.before.get(subject).unwrap_or(&nothing);
            let after = now.get(subject).unwrap_or(&nothing);
            if before != after {
                let by = after.1.minor() - before.1.minor();
                let words = by_how_much(&subject.1, by, &currency);
                by_quarter.entry(subject.0).or_default().push(words);
            }
        }
        let told = by_quarter.into_iter().map(|(quarter, what)| {
            format!(
                "{quarter} is closed and its report stays as it is; what this changes of it \
                 counts as a correction in {}: {}",
                report.quarter,
                what.join(", ")
            )
        });
        Ok(told.collect())
    }
}

fn by_how_much(subject: &str, by: i64, currency: &Currency) -> String {
    let amount = amounts::exact(Money::from_minor(by.abs()), currency);
    match by {
        0 => format!("{subject} (nothing due changes)"),
        1.. => format!("{subject}: {amount} {currency} more"),
        _ => format!("{subject}: {amount} {currency} less"),
    }
}

/// The report of the quarter in which a change of this day is counted; `None` where no
/// quarter is closed.
fn open_report(book: &Book, as_of: Day) -> Result<Option<QuarterReport>, Failure> {
    let starts = book.settings().giving.year_starts;
    if book.closings(as_of)?.is_empty() {
        return Ok(None);
    }
    let books = Books::of(book, as_of)?;
    let Some(last) = books.closed.last() else {
        return Ok(None);
    };
    let open = Quarter::of(as_of, starts).max(last.quarter.next());
    books.ledger(book).quarter(open).map(Some)
}

/// What a report corrects of closed quarters.
fn corrected(report: &QuarterReport) -> BTreeMap<Subject, Corrected> {
    let mut corrected = BTreeMap::new();
    for one in &report.corrections {
        let name = match (&one.bike, one.what) {
            (None, _) => "the workshop's costs".to_string(),
            (Some(bike), What::Sale) => bike.clone(),
            (Some(bike), What::Back) => format!("{bike}, which came back"),
            (Some(bike), What::Refund) => format!("the refund for {bike}"),
            (Some(bike), What::Leave) => format!("{bike}, which left without a sale"),
        };
        let several = (one.nth > 0).then(|| format!(" ({})", one.nth + 1));
        let subject = (one.of, name + &several.unwrap_or_default());
        corrected.insert(subject, (one.after, one.amount));
    }
    for line in &report.gifts {
        let Some(quarter) = line.of_closed else {
            continue;
        };
        let name = format!("gifts to {}", line.gift.beneficiary);
        let sum = corrected
            .entry((quarter, name))
            .or_insert((None, Money::ZERO));
        sum.1 = Money::from_minor(sum.1.minor() + line.amount.minor());
    }
    corrected
}
