//! `returns.csv`: money handed back to the buyers of own bikes.

use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::Return;
use crate::trade::sale::Sold;

/// The kind of `returns.csv`. Whether the bike was sold is for somebody who knows
/// the sales.
#[derive(Clone, Copy, Debug)]
pub struct Returns;

const BIKE: usize = place(Returns::FIELDS, "bike");
const ON: usize = place(Returns::FIELDS, "on");
const REFUND: usize = place(Returns::FIELDS, "refund");
const SOLD_ON: usize = place(Returns::FIELDS, "sold_on");
const SOLD_PRICE: usize = place(Returns::FIELDS, "sold_price");

impl Kind for Returns {
    type Record = Return;
    const NAME: &'static str = "returns";
    const COMMAND: &'static str = "wheelworth import returns";
    const FIELDS: &'static [Field] = &[
        Field::required("bike", "your id of the bike"),
        Field::required("on", "day on which the money was handed back"),
        Field::required("refund", "how much was handed back").of_money(),
        Field::optional(
            "sold_on",
            "day of the sale, where the bike came back; empty where the buyer keeps it",
        ),
        Field::optional(
            "sold_price",
            "what the buyer had paid, where the bike came back",
        )
        .of_money(),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<Return> {
        let bike = row.id(BIKE);
        row.require(ON);
        let on = row.day(ON);
        row.require(REFUND);
        let refund = row.money(REFUND, Zero::Allowed);
        let sold_on = row.day(SOLD_ON);
        let sold_price = row.money(SOLD_PRICE, Zero::Allowed);
        for (filled, empty) in [(SOLD_ON, SOLD_PRICE), (SOLD_PRICE, SOLD_ON)] {
            if !row.cell(filled).is_empty() && row.cell(empty).is_empty() {
                let (filled_name, empty_name) = (row.name(filled), row.name(empty));
                let expected = format!("{empty_name} beside {filled_name}: a sale has both");
                let mend = format!(
                    "Fill in {empty_name}, or empty {filled_name} if the buyer keeps the bike."
                );
                row.refuse(filled, CellProblem::new(expected, mend));
            }
        }
        row.in_order((SOLD_ON, sold_on), (ON, on));
        if refund
            .zip(sold_price)
            .is_some_and(|(back, paid)| back > paid)
        {
            let expected = "at most sold_price, what the buyer had paid";
            let mend = "Correct the one that is wrong.";
            row.refuse(REFUND, CellProblem::new(expected, mend));
        }
        let back = sold_on
            .zip(sold_price)
            .map(|(on, price)| Sold { on, price });
        Some(Return {
            bike: bike?,
            on: on?,
            refund: refund?,
            back,
        })
    }
}
