//! `asks.csv`: price changes of the user's own listings.

use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::trade::AskChange;

/// The kind of `asks.csv`. Whether the bike is known and was listed on that
/// day is for somebody who knows the sales.
#[derive(Clone, Copy, Debug)]
pub struct Asks;

const BIKE: usize = place(Asks::FIELDS, "bike");
const ON: usize = place(Asks::FIELDS, "on");
const ASK: usize = place(Asks::FIELDS, "ask");

impl Kind for Asks {
    type Record = AskChange;
    const NAME: &'static str = "asks";
    const COMMAND: &'static str = "wheelworth import asks";
    const FIELDS: &'static [Field] = &[
        Field::required("bike", "your id of the bike, as in the sales"),
        Field::required("on", "first day of the new ask"),
        Field::required("ask", "the new ask").of_money(),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<AskChange> {
        let bike = row.id(BIKE);
        row.require(ON);
        let on = row.day(ON);
        row.require(ASK);
        let ask = row.money(ASK, Zero::Refused);
        Some(AskChange {
            bike: bike?,
            on: on?,
            ask: ask?,
        })
    }
}
