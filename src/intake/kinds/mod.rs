//! The kinds of file: their columns, and how a row of each becomes a record.
//!
//! * imported: `sales`, `asks`, `comps`, `costs`, `gifts`, `returns`, `offers`, `inspections`
//! * read for an answer: `bikes`, `jobs`, `parts`, `date_codes`, `inspection_sheet`
//! * of inspections: `inspection_measures` and `like_items`, the items that were meant

pub(super) mod asks;
#[cfg(test)]
pub(super) mod asks_tests;
pub(super) mod bikes;
pub(super) mod comps;
pub(super) mod costs;
#[cfg(test)]
pub(super) mod costs_tests;
pub(super) mod date_codes;
pub(super) mod gifts;
#[cfg(test)]
pub(super) mod gifts_tests;
pub(super) mod inspection_measures;
pub(super) mod inspection_sheet;
#[cfg(test)]
pub(super) mod inspection_sheet_tests;
pub(super) mod inspections;
pub(super) mod jobs;
#[cfg(test)]
pub(super) mod jobs_tests;
pub(super) mod like_items;
pub(super) mod offers;
pub(super) mod parts;
pub(super) mod returns;
#[cfg(test)]
pub(super) mod rows_tests;
pub(super) mod sales;
