//! The advert as plain text to paste.

use super::lines::Advert;
use std::fmt::Write as _;

/// The text.
pub fn text(advert: &Advert) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{}\n", advert.title());
    for line in advert.lines() {
        let _ = writeln!(out, "{line}");
    }
    if let Some(price) = advert.price() {
        let _ = writeln!(out, "\nPrice: {price}");
    }
    out
}
