//! How well the prices have held up on the user's own bikes. Never in-sample.
//!
//! Each own sale is priced twice without itself: once by everything else that is
//! known on the day of the question (leave-one-out), and once by what was known
//! on the day before it was listed (back-test: no later sale, no later comp, no
//! later state of a comp). Known goes by the dates in the records, not by the day
//! on which they were typed in. Both are whole fits, with their own weights and
//! variances. Beside them stand three rules of thumb with the same knowledge.
//!
//! * the question: [`question`]; the answer: [`Accuracy`]
//! * one bike priced without itself: [`trial`]; rules of thumb: [`rules`], [`rule_study`]
//! * figures: [`study`] (IAAO, *Standard on Ratio Studies*, 2013); days: [`days`]
//! * the user's own eye beside them: [`eye_study`], [`eye_trial`]
//! * whether errors drift or lean: [`drift`]; the worst: [`worst`]
//! * errors sale by sale: [`errors`]; what it all comes to: [`verdict`]

mod answer;
pub mod days;
pub mod drift;
pub mod errors;
pub mod eye_study;
pub mod eye_trial;
pub mod question;
pub mod rule_study;
pub mod rules;
pub mod study;
pub mod trial;
pub mod verdict;
pub mod worst;

pub use answer::{Accuracy, MOST, accuracy};
pub use question::{AccuracyQuestion, Open};
