//! `comps.csv`: other people's bikes offered for sale.

use crate::intake::cells::features::parse_outcome;
use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{BikePlaces, Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::{Comparable, Outcome};

/// The kind of `comps.csv`.
#[derive(Clone, Copy, Debug)]
pub struct Comps;

const LISTING: usize = place(Comps::FIELDS, "listing");
const SOURCE: usize = place(Comps::FIELDS, "source");
const FEATURES: BikePlaces = BikePlaces::among(Comps::FIELDS);
const LISTED_ON: usize = place(Comps::FIELDS, "listed_on");
const FIRST_SEEN: usize = place(Comps::FIELDS, "first_seen");
const LAST_SEEN: usize = place(Comps::FIELDS, "last_seen");
const ASK: usize = place(Comps::FIELDS, "ask");
const LAST_ASK: usize = place(Comps::FIELDS, "last_ask");
const OUTCOME: usize = place(Comps::FIELDS, "outcome");
const ENDED_ON: usize = place(Comps::FIELDS, "ended_on");
const SOLD_PRICE: usize = place(Comps::FIELDS, "sold_price");

impl Kind for Comps {
    type Record = Comparable;
    const NAME: &'static str = "comps";
    const COMMAND: &'static str = "wheelworth import comps";
    const OTHERS_BIKES: bool = true;
    const FIELDS: &'static [Field] = &[
        Field::required("listing", "id of the listing, unique within its source"),
        Field::optional("source", "where it was seen"),
        Field::STYLE,
        Field::MADE,
        Field::CONDITION,
        Field::TIER,
        Field::SEAT_TUBE,
        Field::NEW_PRICE,
        Field::optional("listed_on", "day of listing"),
        Field::optional("first_seen", "first day on which you saw it"),
        Field::optional("last_seen", "last day on which you saw it in any state"),
        Field::required("ask", "ask when first seen").of_money(),
        Field::optional("last_ask", "ask when last seen").of_money(),
        Field::optional("outcome", "listed, sold, withdrawn or gone"),
        Field::optional("ended_on", "day on which it ended"),
        Field::optional("sold_price", "what the buyer paid").of_money(),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<Comparable> {
        let listing = row.id(LISTING);
        let source = row.text(SOURCE).unwrap_or_default();
        row.refuse_long(SOURCE);
        row.note_invisible(SOURCE);
        let bike = row.features(&FEATURES);
        let listed_on = row.day(LISTED_ON);
        let first_seen = row.day(FIRST_SEEN);
        let last_seen = row.day(LAST_SEEN);
        row.require(ASK);
        let ask = row.money(ASK, Zero::Refused);
        let last_ask = row.money(LAST_ASK, Zero::Refused);
        let outcome = match row.cell(OUTCOME) {
            "" => Some(Outcome::Listed),
            _ => row.read(OUTCOME, parse_outcome),
        };
        let ended_on = row.day(ENDED_ON);
        let sold_price = row.money(SOLD_PRICE, Zero::Refused);

        row.in_order((LISTED_ON, listed_on), (FIRST_SEEN, first_seen));
        row.in_order((FIRST_SEEN, first_seen), (LAST_SEEN, last_seen));
        if first_seen.is_none() {
            row.in_order((LISTED_ON, listed_on), (LAST_SEEN, last_seen));
        }
        row.in_order((LISTED_ON, listed_on), (ENDED_ON, ended_on));
        if let Some(outcome) = outcome {
            fits_outcome(row, outcome);
        }
        Some(Comparable {
            listing: listing?,
            source,
            bike: bike?,
            listed_on,
            first_seen,
            last_seen,
            ask: ask?,
            last_ask,
            outcome: outcome?,
            ended_on,
            sold_price,
        })
    }
}

/// Refuses an end of a listing that still stands, and a sale price where the
/// listing was not sold.
fn fits_outcome(row: &mut RowCells<'_>, outcome: Outcome) {
    if outcome == Outcome::Listed && !row.cell(ENDED_ON).is_empty() {
        row.refuse(
            ENDED_ON,
            CellProblem::new(
                "no day, as the outcome is listed (which an empty outcome means too)",
                "Set outcome to sold, withdrawn or gone, or empty ended_on.",
            ),
        );
    }
    if outcome != Outcome::Sold && !row.cell(SOLD_PRICE).is_empty() {
        row.refuse(
            SOLD_PRICE,
            CellProblem::new(
                format!("no sale price, as the outcome is {outcome}"),
                "Set outcome to sold, or empty sold_price.",
            ),
        );
    }
}
