//! `bikes.csv`: bikes to price.

use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::file::columns::Field;
use crate::intake::file::reader::Kind;
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
}

const BIKE: usize = 0;
const STYLE: usize = 1; // the six features follow one another
const COST: usize = 7;
const HOURS: usize = 8;

impl Kind for Bikes {
    type Record = BikeToPrice;
    const NAME: &'static str = "bikes";
    const FIELDS: &'static [Field] = &[
        Field::required("bike", "your id of the bike"),
        Field::required("style", "what it is built for"),
        Field::optional("made", "model year, or the years it may be of: 2010..2013"),
        Field::optional("condition", "condition, 1 to 5 or a word"),
        Field::optional("tier", "component tier, 1 to 5 or a word"),
        Field::optional("seat_tube", "seat-tube length"),
        Field::optional("new_price", "what the nearest bike costs new today").of_money(),
        Field::optional("cost", "direct cost so far").of_money(),
        Field::optional("hours", "unpaid hours so far"),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<BikeToPrice> {
        let bike = row.id(BIKE);
        let features = row.features(STYLE);
        let cost = row.money(COST, Zero::Allowed);
        let hours = row.hours(HOURS);
        Some(BikeToPrice {
            bike: bike?,
            features: features?,
            cost,
            hours,
        })
    }
}
