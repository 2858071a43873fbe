//! The offer: which jobs pay, what is left, what to pay.

use super::caution::OfferCaution;
use super::learning::OfferCorrection;
use super::parts::PartWorth;
use super::question::Terms;
use super::sale::Risk;
use crate::pricing::asking::Plan;
use crate::pricing::quote::{Quote, ValueRange};
use crate::trade::{Bike, Job, Money};

/// What a job adds to the value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uplift {
    /// Its share; all shares add up to the value when done less that as found.
    pub median: Money,
    /// Low end of its range.
    pub low: Money,
    /// High end.
    pub high: Money,
}

/// A job and what it does.
#[derive(Clone, Debug, PartialEq)]
pub struct JobWorth {
    /// The job.
    pub job: Job,
    /// Whether it is not optional.
    pub safety: bool,
    /// What it adds.
    pub uplift: Uplift,
    /// The uplift less the money spent, an hour, in units; `None` without hours.
    pub per_hour: Option<f64>,
    /// What the best set with it leaves more than the best set without it; `None` for
    /// safety jobs, which are never weighed against not doing them.
    pub net_gain: Option<Money>,
    /// An optional job: whether it is in the best set. A safety job: whether its
    /// uplift covers it.
    pub pays: bool,
    /// Whether the best set has it.
    pub in_best: bool,
}

/// The best set of jobs and what follows.
#[derive(Clone, Debug, PartialEq)]
pub struct BestSet {
    /// Names of its jobs.
    pub jobs: Vec<String>,
    /// The bike after them.
    pub bike: Bike,
    /// Its value.
    pub value: ValueRange,
    /// Money spent on them.
    pub cost: Money,
    /// What the parts from the box are worth.
    pub from_box: Money,
    /// Hours in hundredths; jobs of unknown hours count as none.
    pub hours: i64,
    /// Mean sale price under the plan.
    pub expected_sale: Money,
    /// What the weeks until then cost.
    pub waiting: Money,
    /// What is left before the bike is paid for.
    pub net: Money,
    /// What to ask.
    pub plan: Plan,
}

/// The most to pay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MostToPay {
    /// On average; 0 where even a gift would not leave the margin.
    pub mean: Money,
    /// At the quantile of the sale.
    pub cautious: Money,
    /// By how much a gift would miss the margin on average; 0 if it does not.
    pub missing: Money,
}

/// Taking it apart.
#[derive(Clone, Debug, PartialEq)]
pub struct TakeApart {
    /// The parts, in the order of their names.
    pub parts: Vec<PartWorth>,
    /// What they bring on average, before the bike is paid for.
    pub expected: Money,
    /// The most to pay for them.
    pub most_to_pay: MostToPay,
    /// Whether that is more than the best set leaves, or the only way.
    pub better: bool,
    /// The check of the frame or fork that has failed and that no job mends.
    pub only_way: Option<&'static str>,
}

/// Why to buy or to leave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// Even a poor sale leaves the margin.
    Cautious,
    /// The margin is left on average only.
    OnAverage,
    /// The margin is not left on average.
    TooDear,
    /// It must not change hands, or not whole, whatever it brings.
    Barred,
}

/// What speaks against buying a bike at any price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bar {
    /// Its number is missing, scratched out or on a list of stolen bikes: it may be stolen.
    Number,
    /// A recall that no job settles.
    Recall,
    /// Frame or fork (the check) has failed for good, and no parts are listed.
    OnlyParts(&'static str),
}

/// What to say to the seller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OfferVerdict {
    /// What the seller wants.
    pub asking: Money,
    /// Buy it for that.
    pub buy: bool,
    /// Why.
    pub why: Why,
    /// The most to pay, of the better of the two ways.
    pub most: MostToPay,
    /// Whether that is the way of taking it apart.
    pub apart: bool,
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Offer {
    /// The bike as found, as it counts.
    pub as_found: Quote,
    /// The bike with all jobs done.
    pub done: Quote,
    /// The jobs in the order of doing them: safety, then condition by condition.
    pub jobs: Vec<JobWorth>,
    /// The best set; `None` when there is nothing to go on.
    pub best: Option<BestSet>,
    /// What earlier offers teach.
    pub learnt: OfferCorrection,
    /// By how much that lowers the most to pay when it is sold whole.
    pub held_back: Money,
    /// The most to pay when it is sold whole.
    pub most_to_pay: Option<MostToPay>,
    /// The price for which the risk is told, and the risk.
    pub risk: Option<(Money, Risk)>,
    /// Taking it apart; `None` without parts.
    pub take_apart: Option<TakeApart>,
    /// Buy or leave; `None` unless the seller's price is known.
    pub verdict: Option<OfferVerdict>,
    /// What speaks against it at any price; nothing is then to be paid.
    pub bar: Option<Bar>,
    /// Open gates that no job clears.
    pub left_open: Vec<&'static str>,
    /// Gates that are open as found.
    pub open: Vec<&'static str>,
    /// Whether the conditions come from the sheet.
    pub regraded: bool,
    /// How the user counts.
    pub terms: Terms,
    /// Doubts.
    pub cautions: Vec<OfferCaution>,
}
