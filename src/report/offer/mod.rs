//! An offer: as text, as JSON and as a picture; kept offers against what came of them:
//! [`kept`].

pub mod charts;
pub mod json;
pub mod kept;
pub mod text;
pub mod words;
