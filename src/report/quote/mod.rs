//! Prices: as text, as JSON and as pictures; the plan of what to ask: `plan`.

pub mod caution_words;
pub mod charts;
pub mod json;
pub(in crate::report) mod own_eye;
pub(super) mod plan;
pub mod short;
pub mod text;
