//! Sizes, colours and letters of the market's pictures. The colours differ in
//! lightness too, so that they survive a grey printer.

use plotters::prelude::*;
use plotters::style::TextStyle;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// Width of a picture.
pub(super) const WIDTH: u32 = 900;
/// Own bikes.
pub(super) const OWN: RGBColor = RGBColor(31, 78, 121);
/// Comps.
pub(super) const COMPS: RGBColor = RGBColor(217, 130, 20);
/// What rests on belief.
pub(super) const BELIEF: RGBColor = RGBColor(150, 150, 150);
/// Letters.
pub(super) const INK: RGBColor = RGBColor(40, 40, 40);
/// Lines of the grid.
pub(super) const GRID: RGBColor = RGBColor(225, 225, 225);
/// How much of a colour a range keeps.
pub(super) const RANGE: f64 = 0.25;

/// Why a picture could not be drawn.
pub(super) type DrawingError = Box<dyn std::error::Error>;

/// A part of a picture.
pub(super) type Area<'a> = DrawingArea<SVGBackend<'a>, plotters::coord::Shift>;

/// Letters of a size, hung up at a point.
pub(super) fn letters(size: u32, colour: RGBColor, across: HPos) -> TextStyle<'static> {
    ("sans-serif", size)
        .into_font()
        .color(&colour)
        .pos(Pos::new(across, VPos::Center))
}

/// The same, to the right of the point and in plain ink.
pub(super) fn plain(size: u32) -> TextStyle<'static> {
    letters(size, INK, HPos::Left)
}

/// Draws with `paint` into a text. The text is the same for the same input.
pub(super) fn svg(
    height: u32,
    paint: impl FnOnce(&Area<'_>) -> Result<(), DrawingError>,
) -> Result<String, String> {
    let mut text = String::new();
    let drawn = || -> Result<(), DrawingError> {
        let root = SVGBackend::with_string(&mut text, (WIDTH, height)).into_drawing_area();
        root.fill(&WHITE)?;
        paint(&root)?;
        root.present()?;
        Ok(())
    };
    drawn().map_err(|e| e.to_string())?;
    Ok(text)
}

/// Percentages on an axis: `+5 %`; 0 has no sign.
pub(super) fn signed_percent(fraction: f64) -> String {
    let percent = (100.0 * fraction).round();
    if percent == 0.0 {
        "0 %".into()
    } else {
        format!("{percent:+.0} %")
    }
}

/// Room above and below 1 that holds these factors, in hundredths: at least 5.
pub(super) fn room(factors: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = factors
        .filter(|factor| factor.is_finite())
        .fold((0.95_f64, 1.05_f64), |(low, high), factor| {
            (low.min(factor), high.max(factor))
        });
    ((low - 1.0) * 1.08, (high - 1.0) * 1.08)
}

/// A line of the key: a band with a line of this width through it, and words.
pub(super) fn band_key(
    area: &Area<'_>,
    y: i32,
    (colour, width): (RGBColor, u32),
    words: &str,
) -> Result<(), DrawingError> {
    let band = [(84, y - 7), (110, y + 7)];
    area.draw(&Rectangle::new(band, colour.mix(RANGE).filled()))?;
    let line = vec![(84, y), (110, y)];
    area.draw(&PathElement::new(line, colour.stroke_width(width)))?;
    area.draw(&Text::new(words, (120, y), plain(14)))?;
    Ok(())
}
