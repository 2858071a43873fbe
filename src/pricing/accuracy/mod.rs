//! How well the prices have held up on the user's own bikes. Never in-sample.
//!
//! Each own sale is priced twice without itself: once by everything else that is
//! known on the day of the question (leave-one-out), and once by what was known
//! on the day before it was listed (back-test: no later sale, no later comp, no
//! later state of a comp). Known goes by the dates in the records, not by the day
//! on which they were typed in. Both are whole fits, with their own weights and
//! variances. Beside them stand three rules of thumb with the same knowledge.
//!
//! * one bike priced without itself: [`trial`]; rules of thumb: [`rules`]
//! * figures: [`study`] (IAAO, *Standard on Ratio Studies*, 2013); days: [`days`]
//! * whether errors drift or lean: [`drift`]; the worst: [`worst`]
//! * errors sale by sale: [`errors`]; what it all comes to: [`verdict`]

pub mod days;
pub mod drift;
pub mod errors;
pub mod rules;
pub mod study;
pub mod trial;
pub mod verdict;
pub mod worst;

use super::in_parallel;
use super::prior::priors::Priors;
use super::records::observation::{Records, RecordsError};
use super::value::fitted::NoFit;
use crate::trade::{Currency, Day, Sale};
use days::DaysHeldUp;
use drift::Drift;
use jiff::ToSpan as _;
use rules::{RULES, RuleStudy};
use study::Study;
use trial::{OwnBike, Trial};
use worst::Worst;

/// Own bikes that are tried at most, the latest: what was sold longer ago says
/// little of today's prices, and each takes two fits of the whole book.
pub const MOST: usize = 200;

/// The worst that are named.
const NAMED: usize = 5;

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct Question {
    /// The day of the answer; nothing later is used.
    pub as_of: Day,
    /// The book's currency.
    pub currency: Currency,
    /// Probability of the ranges, above 0 and below 1.
    pub level: f64,
}

/// The records, opened anew for every day: [`Records`] as they are known to the
/// book on the day of the question; double listings as known on the day given.
pub type Open<'a> = dyn Fn(Day) -> Result<Box<dyn Records + 'a>, RecordsError> + Sync + 'a;

/// The answer.
#[derive(Clone, Debug)]
pub struct Accuracy {
    /// What was asked.
    pub question: Question,
    /// Every bike tried, in the order of sale; listed and unsold ones last.
    pub bikes: Vec<OwnBike>,
    /// Sold bikes older than those tried.
    pub older: usize,
    /// Each sale priced by all others.
    pub leave_one_out: Study,
    /// Each sale priced by what was known the day before it was listed.
    pub back_test: Study,
    /// The rules of thumb, in the order of [`rules::RULES`].
    pub rules: Vec<RuleStudy>,
    /// Days on market, told from all other records.
    pub days_left_out: DaysHeldUp,
    /// Days on market, told from what was known on the day before.
    pub days: DaysHeldUp,
    /// What the running errors say.
    pub drift: Drift,
    /// The largest errors, worst first.
    pub worst: Vec<Worst>,
}

/// Tries the prices on every own bike.
///
/// # Errors
/// When the records cannot be read or a fit is refused.
pub fn accuracy(open: &Open<'_>, priors: &Priors, question: &Question) -> Result<Accuracy, NoFit> {
    let as_of = question.as_of;
    let records = open(as_of)?;
    let mut sales: Vec<Sale> = records
        .sales()
        .iter()
        .filter_map(|sale| sale.as_known_on(as_of))
        .filter(|sale| day_asked(sale).is_some())
        .collect();
    drop(records);
    // By sale, unsold ones last; then by listing and id, so that rows may come in
    // any order.
    let key = |s: &Sale| {
        (
            s.sold.map_or(Day::MAX, |sold| sold.on),
            s.listed_on,
            s.id.clone(),
        )
    };
    sales.sort_by_key(key);
    let older = sales.len().saturating_sub(MOST);
    let sales = sales.split_off(older);
    let tried = in_parallel::each(&sales, |sale| OwnBike::of(sale, open, priors, question));
    let mut bikes = Vec::with_capacity(tried.len());
    for bike in tried {
        bikes.push(bike?);
    }
    let by: [fn(&OwnBike) -> Option<&Trial>; 2] =
        [|bike| bike.left_out.as_ref(), |bike| bike.before.as_ref()];
    let [leave_one_out, back_test] = by.map(|pick| Study::of(&bikes, pick, question.level));
    let [days_left_out, days] = by.map(|pick| DaysHeldUp::of(&bikes, pick, as_of));
    Ok(Accuracy {
        question: *question,
        older,
        leave_one_out,
        back_test,
        rules: RULES
            .iter()
            .enumerate()
            .map(|(rule, name)| RuleStudy::of(name, rule, &bikes))
            .collect(),
        days_left_out,
        days,
        drift: Drift::of(&bikes, as_of, question.level),
        worst: worst::worst(&bikes, &question.currency, NAMED),
        bikes,
    })
}

impl Accuracy {
    /// Sales that were tried.
    pub fn sold(&self) -> usize {
        self.bikes.iter().filter(|b| b.brought.is_some()).count()
    }
}

/// The day for which a bike was to be priced: its listing, or its sale where
/// that is all that is known; `None` for one that is neither, or was given away.
fn day_asked(sale: &Sale) -> Option<Day> {
    match sale.sold {
        Some(sold) if sold.price.minor() <= 0 => None,
        Some(_) => sale.priced_on(),
        None => sale.listed_on,
    }
}

/// The day before.
fn before(day: Day) -> Day {
    day.saturating_sub(1.day())
}
