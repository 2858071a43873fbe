//! Results to text, JSON and SVG. Computes nothing.

pub mod amounts;
pub mod caution_words;
mod plan_json;
mod plan_text;
pub mod priors_text;
pub mod problem_text;
pub mod quote_json;
pub mod quote_text;
pub mod value_chart;
