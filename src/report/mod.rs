//! Results to text, JSON, CSV, HTML and SVG. Computes nothing.
//!
//! A folder for each kind of answer, with the same names in each: `text`, `json`,
//! `charts` for its forms, `words` and `caution_words` for its sentences.
//!
//! * prices: [`quote`]; the market: [`market`]; how prices held up: [`accuracy`];
//!   what is believed before any record: [`priors`]
//! * offers: [`offer`]; inspections: [`inspection`]; the shed: [`stock`]; a quarter's
//!   books: [`quarter`]; the rule of giving: [`rule`]
//! * the text to post for a bike: [`advert`]; a page for the phone: [`pocket`]
//! * own bikes, a line each, and all of one: [`bikes`]
//! * files that can be read again: [`export`]
//! * what all texts are made of, tables and broken lines too: [`text`]; all pictures:
//!   `chart_style`

pub mod accuracy;
pub mod advert;
pub mod bikes;
mod chart_style;
pub mod export;
pub mod inspection;
pub mod market;
pub mod offer;
pub mod pocket;
pub mod priors;
pub mod quarter;
pub mod quote;
pub mod rule;
pub mod stock;
pub mod text;
