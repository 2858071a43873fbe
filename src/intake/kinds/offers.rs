//! `offers.csv`: offers that were made, with what each forecast.

use crate::intake::cells::features::{parse_condition, parse_tier};
use crate::intake::cells::number::Decimal;
use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{BikePlaces, Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::KeptOffer;

/// The kind of `offers.csv`, as `export offers` writes it.
#[derive(Clone, Copy, Debug)]
pub struct Offers;

const BIKE: usize = place(Offers::FIELDS, "bike");
const ON: usize = place(Offers::FIELDS, "on");
const ASKING: usize = place(Offers::FIELDS, "asking");
const MARGIN: usize = place(Offers::FIELDS, "margin");
const MOST_MEAN: usize = place(Offers::FIELDS, "most_mean");
const MOST_CAUTIOUS: usize = place(Offers::FIELDS, "most_cautious");
const JOBS: usize = place(Offers::FIELDS, "jobs");
const COST: usize = place(Offers::FIELDS, "cost");
const HOURS: usize = place(Offers::FIELDS, "hours");
const FEES: usize = place(Offers::FIELDS, "fees");
const PRICE: usize = place(Offers::FIELDS, "price");
const DAYS: usize = place(Offers::FIELDS, "days");
const CONDITION: usize = place(Offers::FIELDS, "condition");
const TIER: usize = place(Offers::FIELDS, "tier");
const FOUND: BikePlaces = BikePlaces {
    style: place(Offers::FIELDS, "style"),
    made: place(Offers::FIELDS, "made"),
    condition: place(Offers::FIELDS, "found_condition"),
    tier: place(Offers::FIELDS, "found_tier"),
    seat_tube: place(Offers::FIELDS, "seat_tube"),
    new_price: place(Offers::FIELDS, "new_price"),
};

impl Kind for Offers {
    type Record = KeptOffer;
    const NAME: &'static str = "offers";
    const COMMAND: &'static str = "wheelworth import offers";
    const FIELDS: &'static [Field] = &[
        Field::required("bike", "the id that the bike has or will have"),
        Field::required("on", "day of the offer"),
        Field::optional("asking", "what the seller wanted").of_money(),
        Field::required("margin", "margin that was to be left").of_money(),
        Field::required("most_mean", "the most to pay that was given, on average").of_money(),
        Field::required(
            "most_cautious",
            "the most to pay that was given, to be cautious",
        )
        .of_money(),
        Field::optional("jobs", "jobs of the best set, semicolons between them"),
        Field::required("cost", "money forecast for the jobs").of_money(),
        Field::required("hours", "hours forecast for the jobs"),
        Field::required("fees", "what selling was forecast to cost").of_money(),
        Field::required("price", "the sale price that was forecast").of_money(),
        Field::required("days", "the days on market that were forecast"),
        Field::optional("condition", "condition after the jobs, 1 to 5 or a word"),
        Field::optional("tier", "component tier after the jobs"),
        Field::optional(
            "style",
            "what it is built for, as it was found; the next five too",
        ),
        Field::MADE,
        Field::optional("found_condition", "condition as it was found"),
        Field::optional("found_tier", "component tier as it was found"),
        Field::SEAT_TUBE,
        Field::NEW_PRICE,
    ];

    fn read(row: &mut RowCells<'_>) -> Option<KeptOffer> {
        let bike = row.id(BIKE);
        row.require(ON);
        let on = row.day(ON);
        let asking = row.money(ASKING, Zero::Allowed);
        let mut amount = |field| {
            row.require(field);
            row.money(field, Zero::Allowed)
        };
        let [margin, most_mean, most_cautious] =
            [MARGIN, MOST_MEAN, MOST_CAUTIOUS].map(&mut amount);
        let [cost, fees, price] = [COST, FEES, PRICE].map(&mut amount);
        row.require(HOURS);
        let hours = row.hours(HOURS);
        row.require(DAYS);
        let days = row.read(DAYS, parse_days);
        let jobs = row.text(JOBS).map_or(Vec::new(), |text| jobs(&text));
        let condition = row.read(CONDITION, parse_condition);
        let tier = row.read(TIER, parse_tier);
        let told = [
            FOUND.style,
            FOUND.made,
            FOUND.condition,
            FOUND.tier,
            FOUND.seat_tube,
            FOUND.new_price,
        ];
        let told = told.iter().any(|field| !row.cell(*field).is_empty());
        let found = told.then(|| row.features(&FOUND));
        Some(KeptOffer {
            bike: bike?,
            on: on?,
            asking,
            margin: margin?,
            most_mean: most_mean?,
            most_cautious: most_cautious?,
            jobs,
            cost: cost?,
            hours: hours?,
            fees: fees?,
            price: price?,
            days: days?,
            condition,
            tier,
            found: match found {
                Some(bike) => Some(bike?),
                None => None,
            },
        })
    }
}

/// The names with semicolons between them; one that is part of a name stands twice.
fn jobs(text: &str) -> Vec<String> {
    let names = text.replace(";;", "\u{1}");
    let names = names
        .split(';')
        .map(|name| name.trim().replace('\u{1}', ";"));
    names.filter(|name| !name.is_empty()).collect()
}

/// Days with at most one decimal, in tenths.
fn parse_days(text: &str) -> Result<i64, CellProblem> {
    let tenths = Decimal::read(text.trim()).map(|number| number.times(10));
    match tenths {
        Some((tenths, true)) => Ok(tenths),
        _ => Err(CellProblem::new(
            "days as a number with at most one decimal, such as 13.1",
            "Write the number alone.",
        )),
    }
}
