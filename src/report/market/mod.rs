//! The market as text, JSON and pictures.

pub mod asks_chart;
pub mod caution_words;
pub mod course_chart;
pub mod days_chart;
pub(super) mod days_text;
pub mod json;
pub(super) mod tables_text;
pub mod takeaways;
pub mod text;
pub(super) mod unusual_text;
pub mod words;
