//! Wheelworth prices refurbished bicycles from a few own sales and many
//! comparable asks, with an honest range. See README for the user's side.
//!
//! ```text
//! CSV -> intake -> book -> pricing::design -> statistics -> pricing::value -> report -> cli
//!                                                              accounts ------^
//!
//!                  cli
//!                   |
//!                 report
//!               /        \
//!          pricing      accounts        intake   book
//!          /     \          |              |       |
//!  statistics    trade <----+--------------+-------+
//! ```
//! Arrows point down only: a module uses what stands below it, never above.
//!
//! # Where is …?
//! - the words of the trade (money, days, styles, grades, sizes): [`trade`]
//! - how a cell of a CSV file is read or refused: [`intake`]
//! - the `SQLite` file, its tables, history and undo: [`book`]
//! - how a bike becomes a row of numbers: [`pricing::design`]
//! - what is believed before any record: [`pricing::prior`] and `priors.toml`
//! - all formulas with their sources: [`how_prices_are_made`]
//! - how well the prices have held up: [`mod@pricing::accuracy`]
//! - THE price formula: [`pricing::value::fitted`]; how rows are weighed: [`pricing::value::reduce`]
//! - the range, the waterfall, the margin: [`mod@pricing::quote`]
//! - what to pay for a bike, which jobs pay: [`mod@pricing::offer`]
//! - least squares, QR, Student t, scores: [`statistics`]
//! - what a bike cost, what is due, given and owed: [`accounts`]; closed quarters: [`accounts::quarter::closed`]
//! - what the shed holds and needs: [`accounts::stock`]
//! - texts, JSON, pages and pictures: [`report`]
//! - commands, exit codes, error messages: [`cli`]

#![cfg_attr(test, allow(clippy::pedantic))] // likewise in tests/suite.rs

pub mod accounts;
pub mod book;
pub mod cli;
#[doc = include_str!("how_prices_are_made.md")]
pub mod how_prices_are_made {}
pub mod intake;
pub mod pricing;
pub mod report;
pub mod statistics;
pub mod trade;
