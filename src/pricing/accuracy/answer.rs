//! Every own bike tried, and how the prices held up.

use super::days::DaysHeldUp;
use super::drift::Drift;
use super::eye_study::EyeStudy;
use super::question::{AccuracyQuestion, Open};
use super::rule_study::RuleStudy;
use super::rules::RULES;
use super::study::Study;
use super::trial::{OwnBike, Trial, day_asked};
use super::worst::{self, Worst};
use crate::pricing::in_parallel;
use crate::pricing::prior::priors::Priors;
use crate::pricing::value::recipe::NoFit;
use crate::trade::{Day, Sale};

/// Own bikes that are tried at most, the latest: what was sold longer ago says
/// little of today's prices, and each takes two fits of the whole book.
pub const MOST: usize = 200;

/// The worst that are named.
const NAMED: usize = 5;

/// The answer.
#[derive(Clone, Debug)]
pub struct Accuracy {
    /// What was asked.
    pub question: AccuracyQuestion,
    /// Every bike tried, in the order of sale; listed and unsold ones last.
    pub bikes: Vec<OwnBike>,
    /// Sold bikes older than those tried.
    pub older: usize,
    /// Each sale priced by all others.
    pub leave_one_out: Study,
    /// Each sale priced by what was known the day before it was listed.
    pub back_test: Study,
    /// The user's own eye; `None` where too little was said.
    pub eye: Option<EyeStudy>,
    /// The rules of thumb, in the order of [`RULES`].
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
pub fn accuracy(
    open: &Open<'_>,
    priors: &Priors,
    question: &AccuracyQuestion,
) -> Result<Accuracy, NoFit> {
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
        eye: EyeStudy::of(&bikes),
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
