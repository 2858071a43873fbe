//! The trade priors beside what the records say: as text and as JSON.

mod json;
mod text;

pub use json::json;
pub use text::text;
