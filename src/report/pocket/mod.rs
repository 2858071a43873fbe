//! One page for the phone: what a bike is worth and the most to pay for it, worked out
//! on the page from the fitted models, without a network.
//!
//! * the models as the page takes them: [`model`]; the page: [`page()`]; the same as a
//!   folder for a web space: [`site()`]
//! * its parts are in `assets`: `value.js` works the numbers out, `answer.js` puts them
//!   into words, `notes.js` keeps what is noted, `page.html`, `page.css` and `page.js` are
//!   the screens, `worker.js` and `manifest.webmanifest` keep the site on the phone

pub mod model;
mod page;
mod site;

pub use model::Pocket;
pub use page::{MODEL_STARTS, page};
pub use site::{SITE_MARKS, site};
