//! `parts.csv`: what a bike could be taken apart into.

use crate::intake::cells::number::Decimal;
use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::Part;

/// The kind of `parts.csv`. Two rows of one name are two parts.
#[derive(Clone, Copy, Debug)]
pub struct Parts;

const PART: usize = place(Parts::FIELDS, "part");
const PRICE: usize = place(Parts::FIELDS, "price");
const CHANCE: usize = place(Parts::FIELDS, "chance");

impl Kind for Parts {
    type Record = Part;
    const NAME: &'static str = "parts";
    const COMMAND: &'static str = "wheelworth offer … --parts";
    const FIELDS: &'static [Field] = &[
        Field::required("part", "the part: wheels, crankset, frame"),
        Field::required("price", "what it brings by itself when it is sold").of_money(),
        Field::required(
            "chance",
            "chance that it is sold within three months: 0.6 or 60 %",
        ),
        Field::optional("note", "anything else; left out"),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<Part> {
        let name = row.id(PART);
        row.require(PRICE);
        let price = row.money(PRICE, Zero::Allowed);
        row.require(CHANCE);
        let chance = row.read(CHANCE, parse_chance);
        Some(Part {
            name: name?,
            price: price?,
            chance: chance?,
        })
    }
}

/// Reads a chance as a fraction from 0 to 1 or as a percentage with its sign.
fn parse_chance(text: &str) -> Result<f64, CellProblem> {
    let text = text.trim();
    let (number, whole) = match text.strip_suffix('%') {
        Some(number) => (number.trim_end(), 100),
        None => (text, 1),
    };
    let problem = |mend: &str| CellProblem::new("a chance from 0 to 1, or from 0 % to 100 %", mend);
    let read = Decimal::read(number)
        .ok_or_else(|| problem("Write one chance in two as 0.5 or as 50 %."))?;
    if read.digits > whole * read.scale() {
        return Err(problem(match whole {
            1 => "Write the % behind it if a percentage is meant.",
            _ => "Nothing is surer than 100 %: correct the number.",
        }));
    }
    Ok(read.digits as f64 / (read.scale() * whole) as f64)
}
