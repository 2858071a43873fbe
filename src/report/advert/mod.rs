//! The text to post for a bike: from the records alone.
//!
//! * what it says: [`Advert`]; as text to paste: [`text()`]; as a sheet to hang on the
//!   bike: [`html()`]

mod lines;
mod html;
mod text;

pub use lines::{Advert, Ready};
pub use html::html;
pub use text::text;
