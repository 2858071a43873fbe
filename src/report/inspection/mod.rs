//! An inspection: as text and as JSON; a sheet to be filled in: [`blank`].

pub mod blank;
pub mod json;
mod notes;
pub mod text;
pub mod words;
