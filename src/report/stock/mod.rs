//! The shed: as text and as JSON; what to do and what to doubt in words: [`words`].

pub mod json;
pub mod shed;
pub mod text;
pub mod words;
