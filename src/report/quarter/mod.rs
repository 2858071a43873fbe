//! A quarter's report: as text, JSON, CSV and as a page; who sees what: [`audience`].

pub mod audience;
pub mod caution_words;
pub mod json;
pub mod lines_csv;
pub mod page;
pub mod text;
pub(in crate::report) mod words;
