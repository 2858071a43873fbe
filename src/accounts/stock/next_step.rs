//! What a bike on hand needs next.

use super::holding::Holding;
use crate::trade::calendar::days_between;
use crate::trade::{Day, Money};

/// Days ahead within which a mark-down is due soon.
pub const SOON: i64 = 14;

/// How a bike is to be sold, as the pricing says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prospect {
    /// What it is worth: an even chance of more or less.
    pub value: Option<Money>,
    /// The ask from each day on, the first for the day of the answer; empty
    /// where there is no plan.
    pub asks: Vec<(Day, Money)>,
    /// What the plan brings on average.
    pub brings: Option<Money>,
}

/// What to do with a bike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NextStep {
    /// Cut the ask.
    MarkDown {
        /// When: the day of the answer, or later.
        on: Day,
        /// The ask until then.
        from: Money,
        /// The ask from then on.
        to: Money,
    },
    /// Offer it.
    List {
        /// At what; `None` where no ask can be said.
        at: Option<Money>,
    },
    /// Finish the work on it.
    Finish,
    /// Take it apart: it is good only for its parts.
    TakeApart,
    /// Leave it as it is.
    Wait,
}

impl NextStep {
    /// The step of a bike on the day `as_of`: of one that is listed, the cut down
    /// to the plan's ask of that day or else the plan's next cut; of one that is
    /// not, to list it at the plan's ask if it is ready, to finish it if not. While
    /// a gate is open it is to be finished, listed or not, and with a failed frame
    /// it is to be taken apart.
    pub fn of(holding: &Holding, prospect: &Prospect, as_of: Day) -> Self {
        let today = prospect.asks.first().map(|(_, ask)| *ask);
        if holding.is_only_parts() {
            return NextStep::TakeApart;
        }
        if holding.is_gated() {
            return NextStep::Finish;
        }
        if !holding.is_listed() {
            return if holding.is_ready() {
                NextStep::List { at: today }
            } else {
                NextStep::Finish
            };
        }
        let Some(from) = holding.ask else {
            return NextStep::Wait;
        };
        let due = today.filter(|ask| *ask < from).map(|ask| (as_of, ask));
        let later = || prospect.asks.iter().skip(1).copied();
        let next = due.or_else(|| later().find(|(on, ask)| *on > as_of && *ask < from));
        next.map_or(NextStep::Wait, |(on, to)| NextStep::MarkDown {
            on,
            from,
            to,
        })
    }

    /// Whether it is a mark-down that is due on the day `as_of` already.
    pub fn is_overdue(&self, as_of: Day) -> bool {
        matches!(self, NextStep::MarkDown { on, .. } if *on <= as_of)
    }
}

/// A cut is compared as a part of the ask in steps of this fraction.
const FINE: i128 = 1_000_000_000_000_000_000;

/// The less, the sooner the bike needs something: first what is on offer with an
/// open gate, then a mark-down that is due
/// (the largest cut, as a part of the ask, before the others), then not listed
/// though ready (the longest in the workshop), a mark-down within [`SOON`] days
/// (the soonest), work on the stand (the longest), nothing due. Among equals, the
/// longest listed, then by the bytes of the id. Unknown days are the shortest.
pub fn urgency<'a>(holding: &'a Holding, step: &NextStep, as_of: Day) -> (u8, i128, i64, &'a [u8]) {
    let longest_first = |days: Option<i64>| -days.unwrap_or(-1);
    let on_offer_gated = holding.is_listed() && holding.is_gated();
    let in_workshop = i128::from(longest_first(holding.days_in_workshop));
    let (kind, within) = match step {
        NextStep::MarkDown { on, from, to } => match days_between(as_of, *on) {
            ..=0 => {
                let (from, to) = (i128::from(from.minor()), i128::from(to.minor()));
                (0, -(from - to) * FINE / from.max(1))
            }
            days @ 1..=SOON => (2, i128::from(days)),
            _ => (4, 0),
        },
        NextStep::List { .. } => (1, in_workshop),
        NextStep::Finish | NextStep::TakeApart if on_offer_gated => (0, i128::MIN),
        NextStep::Finish | NextStep::TakeApart => (3, in_workshop),
        NextStep::Wait => (4, 0),
    };
    let listed = longest_first(holding.days_listed);
    (kind, within, listed, holding.sale.id.as_bytes())
}
