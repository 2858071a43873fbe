//! What is looked at on a bicycle, how, and what a filled-in sheet says. Where a
//! standard has a number or a rule its clause is cited; the rest is common
//! practice. The list is our own.
//!
//! 16 CFR 1512 was read in its public text, except .5(a), .6(a), .7 and .13, which
//! are from memory. Of ISO 4210-2 the table of contents was read up to 4.13 (clause
//! numbers; the later ones but 4.16.2 are from memory), of its text only what is
//! publicly quoted. Both are rules for new bicycles: a check list shows no
//! conformity with them.

mod catalogue;
pub mod item;
pub mod kept;
pub mod limit;
pub mod measure;
pub mod sheet;
pub mod tyre;

pub use item::{Check, Fact, FactWord, Group, Holds, Item, Wear, Weight};
pub use kept::Inspection;
pub use limit::{Bound, Degree, Limit, Unit};
pub use measure::Measure;
pub use sheet::{CheckResult, Finding, Sheet};
pub use tyre::TyreSize;

/// Every item in the order of the walk round the bike.
const WALK: [&[Item]; 12] = [
    catalogue::general::THE_BIKE,
    &catalogue::wheels::FRONT,
    &catalogue::brakes::FRONT,
    catalogue::frame::STEERING,
    catalogue::frame::FRAME,
    catalogue::frame::SADDLE,
    &catalogue::wheels::REAR,
    &catalogue::brakes::REAR,
    catalogue::drive::DRIVE,
    catalogue::general::FITTINGS,
    catalogue::general::FINISH,
    catalogue::general::ROAD,
];

/// Every item, front to back as one walks round the bike.
pub fn items() -> impl Iterator<Item = &'static Item> {
    WALK.into_iter().flatten()
}

/// The item of this name: case does not matter, and a blank, a hyphen and an
/// underscore are the same.
pub fn item(name: &str) -> Option<&'static Item> {
    let name = plain(name);
    items().find(|item| item.name == name)
}

/// A name or word as the tables have it: small letters, one blank between words.
pub fn plain(text: &str) -> String {
    let parts = text.split(|c: char| c.is_whitespace() || c == '-' || c == '_');
    let parts: Vec<String> = parts
        .filter(|part| !part.is_empty())
        .map(str::to_lowercase)
        .collect();
    parts.join(" ")
}
