//! `sales.csv`: the user's own bikes, sold or on hand.

use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{BikePlaces, Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::Sale;
use crate::trade::sale::Sold;

/// The kind of `sales.csv`.
#[derive(Clone, Copy, Debug)]
pub struct Sales;

const BIKE: usize = place(Sales::FIELDS, "bike");
const FEATURES: BikePlaces = BikePlaces::among(Sales::FIELDS);
const BOUGHT_ON: usize = place(Sales::FIELDS, "bought_on");
const LISTED_ON: usize = place(Sales::FIELDS, "listed_on");
const ASK: usize = place(Sales::FIELDS, "ask");
const SOLD_ON: usize = place(Sales::FIELDS, "sold_on");
const SOLD_PRICE: usize = place(Sales::FIELDS, "sold_price");
const PURCHASE: usize = place(Sales::FIELDS, "purchase");
const PARTS: usize = place(Sales::FIELDS, "parts");
const FEES: usize = place(Sales::FIELDS, "fees");
const OTHER_COST: usize = place(Sales::FIELDS, "other_cost");
const HOURS: usize = place(Sales::FIELDS, "hours");
const NOTE: usize = place(Sales::FIELDS, "note");

impl Kind for Sales {
    type Record = Sale;
    const NAME: &'static str = "sales";
    const COMMAND: &'static str = "wheelworth import sales";
    const FIELDS: &'static [Field] = &[
        Field::required("bike", "your id of the bike, unique"),
        Field::STYLE,
        Field::MADE,
        Field::CONDITION,
        Field::TIER,
        Field::SEAT_TUBE,
        Field::NEW_PRICE,
        Field::optional("bought_on", "day of purchase"),
        Field::optional("listed_on", "day on which it was first offered"),
        Field::optional("ask", "first ask").of_money(),
        Field::optional("sold_on", "day of the sale"),
        Field::optional("sold_price", "what the buyer paid").of_money(),
        Field::optional("purchase", "what you paid for it").of_money(),
        Field::optional("parts", "parts and supplies").of_money(),
        Field::optional("fees", "fees of listing and selling").of_money(),
        Field::optional("other_cost", "travel and anything else that it cost").of_money(),
        Field::optional("hours", "unpaid hours"),
        Field::optional("note", "your own remark"),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<Sale> {
        let id = row.id(BIKE);
        let bike = row.features(&FEATURES);
        let bought_on = row.day(BOUGHT_ON);
        let listed_on = row.day(LISTED_ON);
        let ask = row.money(ASK, Zero::Refused);
        let sold_on = row.day(SOLD_ON);
        let sold_price = row.money(SOLD_PRICE, Zero::Allowed); // given away
        alone(row, SOLD_ON, SOLD_PRICE);
        alone(row, SOLD_PRICE, SOLD_ON);
        row.in_order((LISTED_ON, listed_on), (SOLD_ON, sold_on));
        row.in_order((BOUGHT_ON, bought_on), (SOLD_ON, sold_on));
        let purchase = row.money(PURCHASE, Zero::Allowed);
        let parts = row.money(PARTS, Zero::Allowed);
        let fees = row.money(FEES, Zero::Allowed);
        let other_cost = row.money(OTHER_COST, Zero::Allowed);
        let hours = row.hours(HOURS);
        let note = row.text(NOTE);
        let sold = sold_on
            .zip(sold_price)
            .map(|(on, price)| Sold { on, price });
        Some(Sale {
            id: id?,
            bike: bike?,
            bought_on,
            listed_on,
            ask,
            sold,
            purchase,
            parts,
            fees,
            other_cost,
            hours,
            note,
        })
    }
}

/// Refuses a cell that is filled while its partner is empty.
fn alone(row: &mut RowCells<'_>, filled: usize, empty: usize) {
    if !row.cell(filled).is_empty() && row.cell(empty).is_empty() {
        let (filled_name, empty_name) = (row.name(filled), row.name(empty));
        let expected = format!("{empty_name} beside {filled_name}: a sale has both");
        let mend = format!("Fill in {empty_name}, or empty {filled_name} if it is not sold.");
        row.refuse(filled, CellProblem::new(expected, mend));
    }
}
