//! `gifts.csv`: money handed to a beneficiary.

use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::trade::Gift;

/// The kind of `gifts.csv`. Whether the book names the beneficiary is for
/// somebody who knows the book.
#[derive(Clone, Copy, Debug)]
pub struct Gifts;

const ON: usize = place(Gifts::FIELDS, "on");
const BENEFICIARY: usize = place(Gifts::FIELDS, "beneficiary");
const AMOUNT: usize = place(Gifts::FIELDS, "amount");
const REFERENCE: usize = place(Gifts::FIELDS, "reference");

const HANDED_BACK: &str = "Money that was handed back is no gift: take the gift back with \
    wheelworth import --undo N, or correct its amount.";

impl Kind for Gifts {
    type Record = Gift;
    const NAME: &'static str = "gifts";
    const COMMAND: &'static str = "wheelworth import gifts";
    const FIELDS: &'static [Field] = &[
        Field::required("on", "day on which it was handed over"),
        Field::required("beneficiary", "who received it"),
        Field::required("amount", "how much").of_money(),
        Field::optional(
            "reference",
            "your own or the beneficiary's mark of it, unique",
        ),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<Gift> {
        row.require(ON);
        let on = row.day(ON);
        let beneficiary = row.id(BENEFICIARY);
        row.require(AMOUNT);
        let amount = row.money_or(AMOUNT, Zero::Refused, HANDED_BACK);
        let reference = row.id_if_given(REFERENCE);
        Some(Gift {
            on: on?,
            beneficiary: beneficiary?,
            amount: amount?,
            reference,
        })
    }
}
