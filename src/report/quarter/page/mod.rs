//! A quarter's report as one page, with its pictures: no network, no script.
//!
//! * the page: [`html`]; its two parts: `beneficiary`, `workshop`
//! * what they share: `tables`; what the workshop alone sees: `lists`

mod beneficiary;
mod charts;
pub mod html;
mod lists;
mod style;
mod tables;
mod workshop;
