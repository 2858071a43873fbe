//! The shed as text and JSON.

pub mod json;
pub mod text;
pub mod words;
