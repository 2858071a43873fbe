//! Wheelworth prices refurbished bicycles from a few own sales and many
//! comparable asks, with an honest range. README is for its users; the [`guide`]
//! has all of it: jobs, words, formulas, measurements, decisions.
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
//! - THE price formula: [`pricing::value::fitted`]; how rows are weighed: [`pricing::value::reduce`]
//! - the range, the waterfall, the margin: [`mod@pricing::quote`]
//! - what to pay for a bike, which jobs pay: [`mod@pricing::offer`]
//! - how well the prices have held up: [`mod@pricing::accuracy`]
//! - least squares, QR, Student t, scores: [`statistics`]
//! - what a bike cost, what is due, given and owed: [`accounts`]; closed quarters: [`accounts::quarter::closed`]
//! - what the shed holds and needs: [`accounts::stock`]
//! - texts, JSON, pages and pictures: [`report`]
//! - commands, exit codes, error messages: [`cli`]
//!
//! The long list is in [`guide::architecture`]; all formulas with their sources are in
//! [`guide::formulas`].

#![cfg_attr(test, allow(clippy::pedantic))] // likewise in tests/suite.rs

pub mod accounts;
pub mod book;
pub mod cli;
pub mod intake;
pub mod pricing;
pub mod report;
pub mod statistics;
pub mod trade;

/// The guide, a chapter a module. For users: the [`tour`](guide::tour), [your own
/// files](guide::files), the [`words`](guide::words) on the screens. For whoever wants
/// to know how it works and how well: the [way of one price](guide::one_price),
/// [`formulas`](guide::formulas), [`simulations`](guide::simulations),
/// [`speed`](guide::speed), [`decisions`](guide::decisions),
/// [`architecture`](guide::architecture).
pub mod guide {
    #[doc = include_str!("guide/tour.md")]
    pub mod tour {}
    #[doc = include_str!("guide/files.md")]
    pub mod files {}
    #[doc = include_str!("guide/words.md")]
    pub mod words {}
    #[doc = include_str!("guide/one_price.md")]
    pub mod one_price {}
    #[doc = include_str!("guide/formulas.md")]
    pub mod formulas {}
    #[doc = include_str!("guide/simulations.md")]
    pub mod simulations {}
    #[doc = include_str!("guide/speed.md")]
    pub mod speed {}
    #[doc = include_str!("guide/decisions.md")]
    pub mod decisions {}
    #[doc = include_str!("guide/architecture.md")]
    pub mod architecture {}
}
