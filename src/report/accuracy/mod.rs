//! How prices held up: as text, as JSON and as pictures; what is said of it in
//! sentences: [`words`].

pub mod charts;
pub mod json;
pub mod text;
pub mod words;
