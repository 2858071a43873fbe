//! Cells as people write them: amounts, days, features, numbers, words.

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
pub(super) mod invisible;
pub(super) mod money;
#[cfg(test)]
pub(super) mod money_tests;
pub(super) mod number;
pub(super) mod row;
