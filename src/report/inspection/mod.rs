//! An inspection as text, JSON and a blank sheet.

pub mod blank;
pub mod json;
pub(super) mod notes;
pub mod text;
pub mod words;
