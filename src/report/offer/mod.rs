//! An offer as text, JSON and a picture; kept offers against what came of them.

pub mod chart;
pub mod json;
pub mod kept_json;
pub mod kept_text;
pub(super) mod kept_words;
pub mod text;
pub mod words;
