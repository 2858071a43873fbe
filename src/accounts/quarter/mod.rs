//! A quarter from records: its lines, what is due, what closing froze and what
//! changed since.
//!
//! * what a report is made from: [`ledger`]; the report: [`figures`]
//! * one quarter after the other: [`quarters`]; the lines of one: `lines`;
//!   what happens to a bike that is counted: `events`
//! * what closing froze: [`closed`]; what changed afterwards: `corrections`
//! * what there is to doubt: [`caution`], found by `doubts`
//! * what the money given does, by the beneficiaries' figures: [`meant`]
//! * each bike's part of the due by the rule alone: [`by_rule`]
//! * sums, rates, ranks and how the due comes about: [`sums`]

pub mod by_rule;
pub mod caution;
pub mod closed;
mod corrections;
mod doubts;
mod events;
pub mod figures;
pub mod ledger;
mod lines;
pub mod meant;
pub mod quarters;
pub mod sums;
