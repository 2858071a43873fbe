//! The fitted models as plain numbers, for a page that works without the program.
//!
//! Statistics of the models alone: no record, id, note, cost or sale of anybody is in
//! them. What the page does with them follows `value::fitted`, `quote` and `offer`
//! formula by formula; tests hold the two side by side.
//!
//! * the value of a bike and its range: [`value`]; what its best plan brings: [`plan`]

pub mod plan;
pub mod value;

pub use plan::PocketPlan;
pub use value::PocketValue;
