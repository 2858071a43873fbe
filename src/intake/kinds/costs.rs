//! `costs.csv`: money spent on a bike or on the workshop.

use crate::intake::cells::features::not_a_word;
use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::{Cost, CostKind};

/// The kind of `costs.csv`. Whether the bike is known is for somebody who knows
/// the sales.
#[derive(Clone, Copy, Debug)]
pub struct Costs;

const BIKE: usize = place(Costs::FIELDS, "bike");
const ON: usize = place(Costs::FIELDS, "on");
const KIND: usize = place(Costs::FIELDS, "kind");
const ITEM: usize = place(Costs::FIELDS, "item");
const AMOUNT: usize = place(Costs::FIELDS, "amount");
const FROM_BOX: usize = place(Costs::FIELDS, "from_box");

const REFUND: &str =
    "Money that came back makes the cost smaller: correct the amount of the cost itself.";

impl Kind for Costs {
    type Record = Cost;
    const NAME: &'static str = "costs";
    const COMMAND: &'static str = "wheelworth import costs";
    const FIELDS: &'static [Field] = &[
        Field::optional("bike", "your id of the bike; empty for the whole workshop"),
        Field::required("on", "day on which the money was spent"),
        Field::required(
            "kind",
            "what it was spent on: purchase, part, supply, fee, travel or other",
        ),
        Field::optional("item", "what was got for it"),
        Field::required(
            "amount",
            "what was paid, or what a part from the box is worth",
        )
        .of_money(),
        Field::optional("from_box", "yes if it was taken from the parts box"),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<Cost> {
        let bike = row.id_if_given(BIKE);
        row.require(ON);
        let on = row.day(ON);
        row.require(KIND);
        let kind = row.read(KIND, parse_cost_kind);
        let item = row.text(ITEM);
        row.require(AMOUNT);
        let amount = row.money_or(AMOUNT, Zero::Allowed, REFUND);
        let from_box = match row.cell(FROM_BOX) {
            "" => Some(false),
            _ => row.read(FROM_BOX, parse_yes_or_no),
        };
        Some(Cost {
            bike,
            on: on?,
            kind: kind?,
            item,
            amount: amount?,
            from_box: from_box?,
        })
    }
}

/// Reads a kind of cost by its word; case does not matter.
fn parse_cost_kind(text: &str) -> Result<CostKind, CellProblem> {
    let words = CostKind::ALL.iter().map(|kind| kind.word());
    CostKind::from_word(text).ok_or_else(|| not_a_word("kind", text, "a kind of cost", words))
}

/// Reads `yes` or `no` as people and spreadsheets write them, in any case.
pub(in crate::intake) fn parse_yes_or_no(text: &str) -> Result<bool, CellProblem> {
    match text.trim().to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" => Ok(true),
        "no" | "n" | "false" | "0" => Ok(false),
        _ => Err(CellProblem::new(
            "yes or no (or y, n, true, false, 1, 0)",
            "Write one of these words, or leave the cell empty for no.",
        )),
    }
}
