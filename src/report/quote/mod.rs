//! Prices and plans as text, JSON and pictures.

pub mod caution_words;
pub mod json;
pub mod plan_chart;
pub(super) mod plan_json;
pub(super) mod plan_text;
pub mod text;
pub mod value_chart;
