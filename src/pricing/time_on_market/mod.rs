//! How long a listing stands: Weibull proportional hazards on stretches of
//! listings, and how buyers haggle.
//!
//! `H(t) = (t exp(-x'g))^(1/s)` is the cumulative hazard of a sale at age `t`
//! days, `x` the columns of [`columns`], the premium among them through
//! [`premium::thinning`]. Every stretch of a listing at one ask is an episode
//! (entry, exit]: own listings from the day of listing, comps from the day on
//! which they were first seen (left truncation), so that what stays long is not
//! counted too often. Listed and withdrawn ones are censored; a comp that is gone
//! for an unknown reason is a sale by a share. Beliefs stand beside the records
//! (penalised maximum likelihood, Laplace covariance; `statistics::weibull`), so
//! with no durations at all the answer is the belief itself.
//!
//! * learning it: `learn`; what was found: `fitted`; the columns: [`columns`]
//! * histories: `history`, `own_listings`, `seen_listings`, `seen_days`
//! * the premium and its error: [`premium`]; haggling: [`haggling`]

pub mod columns;
mod fitted;
pub mod haggling;
mod history;
mod learn;
mod own_listings;
pub mod premium;
mod seen_days;
mod seen_listings;

pub use fitted::{FittedTime, RestsOn};
pub use haggling::Haggle;
pub use history::SHORTEST;
pub(super) use history::after;
pub(super) use learn::LEAST_LN_SCALE;
pub use learn::{NoTime, TimeSystem, believed, learn, time_system};
pub use own_listings::{MarkDowns, asked, standing};
pub use seen_days::{LONGEST_GAP, Looks};
pub use seen_listings::SeenListings;
