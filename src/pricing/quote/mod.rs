//! A bike's value with its range, where it comes from, and the margin.
//!
//! * the question and the answer: [`PriceQuestion`], [`Quote`]; the price: `price`
//! * by the records: `from_records`; by the new price alone: `from_new_price`
//! * what the owner's guess does: `looked_at`
//! * before it is rounded: `unrounded`; what to doubt: `doubts`, [`caution`]
//! * many bikes on hand: [`on_hand`]

mod answer;
pub mod caution;
mod doubts;
pub(super) mod from_new_price;
mod from_records;
mod looked_at;
pub mod on_hand;
mod price;
pub mod priced;
pub(super) mod repaired;
mod unrounded;

pub use super::asking::Selling;
pub use answer::{Contribution, EyeQuote, Margin, PriceQuestion, Quote, Source, ValueRange};
pub(super) use price::{UPPER_END, one_sale};
pub use price::{quote, quotes};
pub use unrounded::logarithmic_mean_split;
pub(super) use unrounded::{LARGEST_VARIANCE, MOST_DOUBT, MOST_DOUBT_WITHOUT_RECORDS, mean_sale};
