//! What to pay for a bike as found, and which jobs pay.
//!
//! * the question: [`OfferQuestion`]; the answer: [`Offer`]; step by step: `working`
//! * what a set of jobs makes of a bike, the rule: [`reach`]; of every set: `outcomes`
//! * every set is tried: [`sets`]; each bike that comes of it is priced as `price`
//!   would price it, with its asking plan; sums over sets: `counting`
//! * what a job adds, with its range: `effects`, `uplifts`; safety jobs come first,
//!   then those towards one condition after another, and jobs that reach a condition
//!   only together share what it adds (`statistics::shapley`)
//! * most to pay, chance of a loss: [`sale`]; taking it apart: [`parts`]
//! * what earlier offers teach: [`learning`]; what to doubt: `doubts`, [`caution`]
//!
//! An uplift of a grade is what better-kept bikes bring more in the records, not
//! what a repair has been seen to add: bikes in better condition have had better
//! care in ways that no job makes up for. Nothing here corrects for that; the
//! answer says so.

mod answer;
pub mod caution;
mod counting;
mod doubts;
mod effects;
pub mod gain;
pub mod learning;
pub mod missing;
mod outcomes;
pub mod parts;
mod question;
pub mod reach;
pub mod sale;
pub mod sets;
mod uplifts;
mod working;

pub use answer::{Bar, BestSet, JobWorth, MostToPay, Offer, OfferVerdict, TakeApart, Uplift, Why};
pub use caution::OfferCaution;
pub use counting::NO_REPAIR;
pub use learning::OfferCorrection;
pub use question::{OfferQuestion, Terms};
pub use working::offer;
