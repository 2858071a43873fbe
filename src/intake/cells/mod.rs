//! Cells as people write them.
//!
//! * `row`: the cells of a row, read by field
//! * `money`, with `currency_signs`, and `decimal_sign` and `decimals` for what stands
//!   before cents; `dates`; `features` of a bike; `number`
//! * `guard`: apostrophes against spreadsheets; `invisible`: what nobody sees
//! * `did_you_mean`: the word that was meant; `meanings`: what words of others mean;
//!   `own_words`: what needs no meaning

pub(super) mod around;
pub(super) mod currency_signs;
pub(super) mod dates;
#[cfg(test)]
pub(super) mod dates_tests;
pub(super) mod decimal_sign;
pub(super) mod decimals;
pub(super) mod did_you_mean;
pub(super) mod features;
#[cfg(test)]
pub(super) mod features_tests;
pub(super) mod guard;
pub(super) mod id;
pub(super) mod invisible;
pub(super) mod meanings;
pub(super) mod money;
#[cfg(test)]
pub(super) mod money_tests;
pub(super) mod number;
pub(super) mod own_words;
pub(super) mod part_words;
pub(super) mod row;
