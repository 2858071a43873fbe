//! `bikes.csv`: bikes to price.

use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{BikePlaces, Field, place};
use crate::intake::kind::Kind;
use crate::trade::{Bike, Money};

/// The kind of `bikes.csv`.
#[derive(Clone, Copy, Debug)]
pub struct Bikes;

/// One row of `bikes.csv`.
#[derive(Clone, Debug, PartialEq)]
pub struct BikeToPrice {
    /// The user's id of the bike.
    pub bike: String,
    /// Its features.
    pub features: Bike,
    /// Direct cost so far.
    pub cost: Option<Money>,
    /// Unpaid hours so far, in hundredths of an hour.
    pub hours: Option<i64>,
    /// What the user expects it to bring.
    pub guess: Option<Money>,
}

const BIKE: usize = place(Bikes::FIELDS, "bike");
const FEATURES: BikePlaces = BikePlaces::among(Bikes::FIELDS);
const COST: usize = place(Bikes::FIELDS, "cost");
const HOURS: usize = place(Bikes::FIELDS, "hours");
const GUESS: usize = place(Bikes::FIELDS, "guess");

impl Kind for Bikes {
    type Record = BikeToPrice;
    const NAME: &'static str = "bikes";
    const COMMAND: &'static str = "wheelworth price --from";
    const FIELDS: &'static [Field] = &[
        Field::required("bike", "your id of the bike"),
        Field::STYLE,
        Field::MADE,
        Field::CONDITION,
        Field::TIER,
        Field::SEAT_TUBE,
        Field::NEW_PRICE,
        Field::optional("cost", "direct cost so far").of_money(),
        Field::optional("hours", "unpaid hours so far"),
        Field::optional(
            "guess",
            "what you expect it to bring, guessed before you see a price here",
        )
        .of_money(),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<BikeToPrice> {
        let bike = row.id(BIKE);
        let features = row.features(&FEATURES);
        let cost = row.money(COST, Zero::Allowed);
        let hours = row.hours(HOURS);
        let guess = row.money(GUESS, Zero::Allowed);
        Some(BikeToPrice {
            bike: bike?,
            features: features?,
            cost,
            hours,
            guess,
        })
    }
}
