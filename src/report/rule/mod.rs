//! The rule of giving, its changes, and what money does by the beneficiaries' figures.

pub mod json;
pub mod text;
