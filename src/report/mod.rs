//! Results to text, JSON and SVG. Computes nothing.

pub mod amounts;
pub mod caution_words;
mod chart_style;
pub mod market_asks_chart;
pub mod market_course_chart;
pub mod market_days_chart;
pub mod market_json;
pub mod market_text;
pub mod market_words;
pub mod priors_text;
pub mod problem_text;
pub mod quote_json;
pub mod quote_text;
pub mod value_chart;
