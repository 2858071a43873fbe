//! A quarter's report as text, JSON, CSV and a page.

pub mod audience;
pub mod caution_words;
pub mod csv;
pub mod json;
pub(super) mod lines;
pub mod page;
pub mod text;
pub(super) mod text_tables;
pub(super) mod words;
