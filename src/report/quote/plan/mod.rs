//! What to ask, when to cut it, and what comes of it: as text and as JSON.

pub(in crate::report) mod json;
pub(in crate::report) mod text;
