//! Gates: while one is open, nobody rides the bike.

use super::grade::is_open;
use super::judging::{Judged, Overruled};
use crate::trade::inspection::{CheckResult, Item, Measure, Sheet};

/// A gate that has not passed.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenGate {
    /// The item.
    pub item: &'static Item,
    /// `fail`, `unchecked` or `not_fitted`.
    pub state: CheckResult,
    /// Its measure, where it has one.
    pub measure: Option<Measure>,
    /// Why the tick was not taken as it stands.
    pub overruled: Option<Overruled>,
}

/// The open gates in the order of the walk.
pub fn open_gates(judged: &[Judged], sheet: &Sheet) -> Vec<OpenGate> {
    let open = judged.iter().filter(|one| is_open(one));
    open.map(|one| OpenGate {
        item: one.item,
        state: match (one.ticked, one.has_failed()) {
            (CheckResult::NotFitted, true) => CheckResult::NotFitted,
            (_, true) => CheckResult::Fail,
            (_, false) => CheckResult::Unchecked,
        },
        measure: sheet.measure(one.item.name).cloned(),
        overruled: one.overruled,
    })
    .collect()
}
