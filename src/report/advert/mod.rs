//! The text to post for a bike: from the records alone.
//!
//! * what it says: [`Advert`]; as text to paste: [`text()`]; as a sheet to hang on the
//!   bike: [`html()`]

mod html;
mod lines;
mod text;

pub use html::html;
pub use lines::{Advert, Ready};
pub use text::text;
