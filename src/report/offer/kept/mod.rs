//! Kept offers against what came of them: as text and as JSON.

pub mod json;
pub mod text;
pub(in crate::report) mod words;
