//! The inspection sheet: one row an item, in any order. What is not in the file is
//! unchecked.

use super::inspection_measures::{measure_of_check, read_fact};
use super::like_items::{like_items, or};
use crate::intake::cells::did_you_mean::nearest;
use crate::intake::cells::row::RowCells;
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::inspection::{
    CheckResult, Fact, Finding, Holds, Item, Measure, item as item_called, plain,
};

/// The kind of an inspection sheet. Whether an item stands twice is for somebody
/// who knows more than one row.
#[derive(Clone, Copy, Debug)]
pub struct InspectionSheet;

/// A row of the sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum SheetRow {
    /// A heading: an item that starts with `#`, left out.
    Heading,
    /// An item and what was found.
    Item {
        /// The item.
        item: &'static Item,
        /// What was found.
        finding: Finding,
    },
}

const ITEM: usize = place(InspectionSheet::FIELDS, "item");
const SHEET: Places = Places::among(InspectionSheet::FIELDS);

/// Where in a row a finding stands.
pub(in crate::intake) struct Places {
    pub(in crate::intake) result: usize,
    pub(in crate::intake) measure: usize,
    pub(in crate::intake) note: usize,
}

/// What begins a heading.
const HEADING: char = '#';

impl Kind for InspectionSheet {
    type Record = SheetRow;
    const NAME: &'static str = "inspection";
    const COMMAND: &'static str = "wheelworth inspect";
    const FIELDS: &'static [Field] = &[
        Field::required(
            "item",
            "what is looked at; a row that starts with # is a heading",
        ),
        Field::optional("how to look", "left out when the sheet is read"),
        Field::required("result", "pass, fail, unchecked or not_fitted"),
        Field::optional(
            "measure",
            "what was measured, or the fact: 2 mm, 40-622, touring",
        ),
        Field::optional("note", "what else was seen"),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<SheetRow> {
        row.require(ITEM);
        if row.cell(ITEM).starts_with(HEADING) {
            for field in [SHEET.result, SHEET.measure] {
                if !row.cell(field).is_empty() {
                    let expected = "an empty cell: a row that starts with # is a heading";
                    let mend = "Take the # away if an item is meant, or leave the cell empty.";
                    row.refuse(field, CellProblem::new(expected, mend));
                }
            }
            return Some(SheetRow::Heading);
        }
        let item = row.read(ITEM, parse_item)?;
        let finding = SHEET.finding(row, item)?;
        Some(SheetRow::Item { item, finding })
    }
}

impl Places {
    /// Those among `fields`, which have them all.
    pub(in crate::intake) const fn among(fields: &[Field]) -> Self {
        Self {
            result: place(fields, "result"),
            measure: place(fields, "measure"),
            note: place(fields, "note"),
        }
    }

    /// What is said of an item. `None` when the result cannot be read.
    pub(in crate::intake) fn finding(
        &self,
        row: &mut RowCells<'_>,
        item: &'static Item,
    ) -> Option<Finding> {
        let note = row.text(self.note);
        let result = self.result(row)?;
        let measure = match item.holds {
            Holds::Check(check) => {
                let measure = row.read(self.measure, |text| measure_of_check(item, &check, text));
                if result == CheckResult::NotFitted && measure.is_some() {
                    let expected = "an empty cell: what is not fitted has no measure";
                    let mend = "Take the measure away, or write pass or fail as the result.";
                    row.refuse(self.measure, CellProblem::new(expected, mend));
                }
                measure
            }
            Holds::Fact(fact) => {
                if matches!(result, CheckResult::Fail | CheckResult::NotFitted) {
                    let expected = format!(
                        "an empty cell: {} is a fact, and stands in the measure column",
                        item.name
                    );
                    let mend = "Take the result away; leave the measure empty if it is not known.";
                    row.refuse(self.result, CellProblem::new(expected, mend));
                }
                match fact {
                    Fact::Name => row.text(self.measure).map(Measure::Name),
                    _ => row.read(self.measure, |text| read_fact(item, fact, text)),
                }
            }
        };
        let result = match item.holds {
            Holds::Check(_) => result,
            Holds::Fact(_) => CheckResult::Unchecked,
        };
        Some(Finding {
            result,
            measure,
            note,
        })
    }

    /// The result; an empty cell is unchecked. `None` when it cannot be read.
    fn result(&self, row: &mut RowCells<'_>) -> Option<CheckResult> {
        match row.cell(self.result) {
            "" => Some(CheckResult::Unchecked),
            _ => row.read(self.result, parse_result),
        }
    }
}

pub(in crate::intake) fn parse_item(text: &str) -> Result<&'static Item, CellProblem> {
    item_called(text).ok_or_else(|| {
        let mend = match or(&like_items(text, |_| true)) {
            Some(meant) => format!("Did you mean {meant}?"),
            None => "Write it as in the sheet of 'wheelworth inspect --blank SHEET.csv', or put # in front \
                     to leave the row out."
                .to_string(),
        };
        CellProblem::new("an item of the inspection sheet", mend)
    })
}

/// What people write in its place. Nothing that might mean two things: `x`, `no`.
const AS_CALLED: [(&[&str], CheckResult); 4] = [
    (&["ok", "okay", "passed", "✓", "✔"], CheckResult::Pass),
    (
        &["failed", "not ok", "bad", "broken", "✗", "✘"],
        CheckResult::Fail,
    ),
    (&["not checked", "?"], CheckResult::Unchecked),
    (&["none", "n/a", "not there"], CheckResult::NotFitted),
];

fn parse_result(text: &str) -> Result<CheckResult, CellProblem> {
    let written = plain(text);
    let known = CheckResult::ALL.iter().copied();
    let mut same = known.filter(|result| plain(result.word()) == written);
    let called = || {
        let mut called = AS_CALLED.iter();
        called.find_map(|(words, result)| words.contains(&written.as_str()).then_some(*result))
    };
    same.next().or_else(called).ok_or_else(|| {
        let words = CheckResult::ALL.iter().map(|result| result.word());
        let mend = match nearest(text, words) {
            Some(word) => format!("Did you mean {word}?"),
            None => "Write one of these words; leave the cell empty for unchecked.".to_string(),
        };
        CellProblem::new("a result (pass, fail, unchecked, not_fitted)", mend)
    })
}
