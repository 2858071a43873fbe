//! Pictures inside a page: small enough to be read on a phone, named for those
//! who do not see them.

use crate::report::chart_style::{Area, DrawingError};
use maud::{Markup, PreEscaped, html};
use plotters::prelude::*;

/// Width of a picture, in its own units; it grows and shrinks with the page.
pub(in crate::report) const WIDTH: u32 = 460;

/// Letters; the drawing library makes them a fifth smaller than it is told.
pub(in crate::report) const LETTERS: u32 = 17;

/// Draws with `paint`; `name` says what the picture shows.
pub(in crate::report) fn picture(
    height: u32,
    name: &str,
    paint: impl FnOnce(&Area<'_>) -> Result<(), DrawingError>,
) -> Result<Markup, String> {
    let mut svg = String::new();
    let drawn = || -> Result<(), DrawingError> {
        let root = SVGBackend::with_string(&mut svg, (WIDTH, height)).into_drawing_area();
        paint(&root)?;
        root.present()?;
        Ok(())
    };
    drawn().map_err(|error| error.to_string())?;
    let name = html! { (name) }.into_string();
    // Whatever was typed is escaped by the drawing library, quotes and angle
    // brackets too, so none of these can stand in a text.
    let compact = svg
        .replacen(
            "<svg ",
            &format!("<svg role=\"img\" aria-label=\"{name}\" "),
            1,
        )
        .replace(" xmlns=\"http://www.w3.org/2000/svg\"", "")
        .replace(" opacity=\"1\"", "")
        .replace(" font-family=\"sans-serif\"", "")
        .replace(">\n", ">")
        .replace("\n<", "<");
    Ok(PreEscaped(compact))
}
