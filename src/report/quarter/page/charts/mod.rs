//! What was given, and the margin of each bike; how a picture stands in a page:
//! [`picture`].

pub(super) mod given;
pub(super) mod margin;
mod picture;
