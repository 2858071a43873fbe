//! What a bike is worth, how sure that is, and what it is like.
//!
//! * prices seen, the ones like a bike, odd ones: [`records`]
//! * a bike as a row of numbers: [`design`]; what is believed beforehand: [`prior`]
//! * THE model of value: [`value`]; what the user's own eye adds: [`eye`]; one bike's
//!   price: [`mod@quote`]
//! * how long listings stand: [`time_on_market`]; what to ask: [`asking`]
//! * what to pay for a bike: [`mod@offer`]; what an inspection says: [`inspection`]
//! * what a page away from home needs of the models: [`pocket`]
//! * how prices held up: [`mod@accuracy`]; what the records say of the market: [`mod@market`]

pub mod accuracy;
pub mod asking;
pub mod design;
pub mod eye;
mod in_parallel;
pub mod inspection;
pub mod market;
pub mod offer;
pub mod pocket;
pub mod prior;
pub mod quote;
pub mod records;
pub mod time_on_market;
pub mod value;

pub use prior::priors::Priors;
pub use quote::{Quote, quote};
pub use records::observation::{Group, Observation, Records, RecordsError};
pub use value::recipe::{ValueModel, ValueSettings};
