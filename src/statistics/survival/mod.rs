//! Durations, some of which had not ended.
//!
//! * who was under watch when: [`risk_sets`]; the curve: [`kaplan_meier`]
//! * shares ended by either of two causes: [`incidence`]
//! * Weibull regression: [`weibull`], its rows `episodes`, its result `weibull_fit`
//! * what is refused: [`problem`]

pub(super) mod episodes;
pub mod incidence;
pub mod kaplan_meier;
pub mod problem;
pub mod risk_sets;
pub mod weibull;
pub(super) mod weibull_fit;
