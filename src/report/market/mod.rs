//! The market: as text, as JSON and as pictures; what a seller should take from it:
//! [`takeaways`].

pub mod caution_words;
pub mod charts;
pub mod double_listings;
pub mod json;
pub mod takeaways;
pub mod text;
pub mod words;
