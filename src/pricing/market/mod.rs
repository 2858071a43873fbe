//! What the comps and the own sales say of the market, as known on one day.
//!
//! The value model is fitted to all records. Then the comps are streamed once
//! more, into rows of a few numbers each: none is kept whole.
//!
//! * the question and the answer: [`MarketQuestion`], [`Market`]; how it is made: `survey`
//! * the tables by style, condition, tier and class of age: [`tables`], [`places`]
//! * one row a bike, however often it was listed: `counted`
//! * days on market: [`spells`] (from when until when), [`days`] (the curves)
//! * from ask to sale price: [`haggling`]
//! * how prices moved, and the season: [`movement`]
//! * prices far from their value: [`far_asks`]; what to doubt: `doubts`, [`cautions`]
//! * what a seller should take from each part: [`takeaways`]

mod answer;
pub mod cautions;
mod counted;
pub mod days;
mod doubts;
pub mod far_asks;
pub(in crate::pricing) mod groups;
pub mod haggling;
pub mod movement;
pub mod places;
mod reading;
pub mod spells;
mod survey;
pub mod tables;
pub mod takeaways;

pub use answer::{CompCounts, GroupRow, Market, MarketQuestion, SaleCounts};
pub use survey::{MarketProblem, market};
