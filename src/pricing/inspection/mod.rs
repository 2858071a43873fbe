//! What an inspection sheet says of a bike: condition, tier, size, gates, jobs.
//!
//! Condition is a grade of our own, from the trade's common practice: points are
//! lost by classes of wear, and faults put a lid on the grade. It depends on the
//! findings alone, never on the order of the rows or on who reads them, so that a
//! grade means the same thing each time.
//!
//! ```
//! use wheelworth::pricing::inspection::assess;
//! use wheelworth::trade::inspection::{CheckResult, Finding, Sheet, item};
//!
//! let mut sheet = Sheet::new();
//! sheet.put(item("front tyre").unwrap(), Finding::of(CheckResult::Fail));
//! let found = assess(&sheet);
//! assert!(!found.ready);
//! assert!(found.condition.unwrap().grade() <= 2);
//! assert_eq!(found.jobs[0].job, "new tyres");
//! ```
//!
//! * the steps: `assess`; the answer: [`Assessment`]
//! * tick against measure: [`judging`]; points and lids: [`grade`]; [`gates`], [`jobs`]
//! * [`tier`] and [`size`] from what is written; what to doubt: `doubts`, [`caution`]
//! * what a kept inspection lets a bike count as: [`verdict`]

mod assess;
mod assessment;
pub mod caution;
mod doubts;
pub mod gates;
pub mod grade;
pub mod jobs;
pub mod judging;
pub mod size;
pub mod tier;
pub mod verdict;

pub use assess::assess;
pub use assessment::{Assessment, SERIAL_NUMBER};
pub use caution::InspectionCaution;
pub use gates::OpenGate;
pub use grade::{Grade, Lid, Lost};
pub use jobs::Job;
pub use judging::{Judged, State, judged};
pub use size::{Method, Size};
pub use tier::{Vote, tier_of};
pub use verdict::InspectionVerdict;
