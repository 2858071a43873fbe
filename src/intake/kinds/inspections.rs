//! `inspections.csv`: inspections of own bikes, one row a finding. An inspection is
//! the rows of one bike and day.

use super::inspection_sheet::{Places, parse_item};
use crate::intake::cells::row::RowCells;
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::Day;
use crate::trade::inspection::{Finding, Item};

/// The kind of `inspections.csv`. Whether the bike is known, and whether an item
/// stands twice, is for somebody who knows more than one row.
#[derive(Clone, Copy, Debug)]
pub struct Inspections;

/// A finding, and whose it is.
#[derive(Clone, Debug, PartialEq)]
pub struct InspectionRow {
    /// The bike's id.
    pub bike: String,
    /// Day of the inspection.
    pub on: Day,
    /// The item.
    pub item: &'static Item,
    /// What was found.
    pub finding: Finding,
    /// Which of the bike's inspections of that day, from 1.
    pub number: u32,
}

const BIKE: usize = place(Inspections::FIELDS, "bike");
const ON: usize = place(Inspections::FIELDS, "on");
const ITEM: usize = place(Inspections::FIELDS, "item");
const FOUND: Places = Places::among(Inspections::FIELDS);
const NUMBER: usize = place(Inspections::FIELDS, "number");

/// Most inspections of a bike on one day; more are a slip of the pen.
const MOST: u32 = 99;

impl Kind for Inspections {
    type Record = InspectionRow;
    const NAME: &'static str = "inspections";
    const COMMAND: &'static str = "wheelworth import inspections";
    const FIELDS: &'static [Field] = &[
        Field::required("bike", "your id of the bike, as in the sales"),
        Field::required("on", "day of the inspection"),
        Field::required("item", "what was looked at, as in the inspection sheet"),
        Field::required(
            "result",
            "pass, fail, unchecked or not_fitted; empty for a fact",
        ),
        Field::optional("measure", "what was measured, or the fact"),
        Field::optional("note", "what else was seen"),
        Field::optional(
            "number",
            "which of several of one bike and day; empty for the first",
        ),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<InspectionRow> {
        let bike = row.id(BIKE);
        row.require(ON);
        let on = row.day(ON);
        row.require(ITEM);
        let item = row.read(ITEM, parse_item);
        let finding = item.and_then(|item| FOUND.finding(row, item));
        let number = match row.cell(NUMBER) {
            "" => Some(1),
            _ => row.read(NUMBER, parse_number),
        };
        Some(InspectionRow {
            bike: bike?,
            on: on?,
            item: item?,
            finding: finding?,
            number: number?,
        })
    }
}

fn parse_number(text: &str) -> Result<u32, CellProblem> {
    let number = text.parse().ok().filter(|n| (1..=MOST).contains(n));
    number.ok_or_else(|| {
        CellProblem::new(
            format!("a whole number from 1 to {MOST}"),
            "Leave it empty unless the bike was inspected more than once that day.",
        )
    })
}
