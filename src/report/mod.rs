//! Results to text, JSON and SVG. Computes nothing.

pub mod amounts;
pub mod caution_words;
mod chart_style;
pub mod export_columns;
pub mod export_csv;
pub mod export_parquet;
pub mod market_asks_chart;
pub mod market_caution_words;
pub mod market_course_chart;
pub mod market_days_chart;
mod market_days_text;
pub mod market_json;
mod market_tables_text;
pub mod market_takeaways;
pub mod market_text;
mod market_unusual_text;
pub mod market_words;
pub mod plan_chart;
mod plan_json;
mod plan_text;
pub mod priors_text;
pub mod problem_text;
pub mod quote_json;
pub mod quote_text;
pub mod record_cells;
pub mod value_chart;
