//! Chances of a sale told beforehand against what happened, as an SVG picture.

use crate::pricing::accuracy::Accuracy;
use crate::pricing::accuracy::trial::WITHIN;
use crate::report::chart_style::{
    Area, BELIEF, COMPS, DrawingError, GRID, INK, OWN, letters, plain, svg,
};
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

const HEIGHT: u32 = 620;
/// A colour for each of 14, 30 and 60 days.
const COLOURS: [RGBColor; WITHIN.len()] = [COMPS, OWN, BELIEF];

/// Draws it.
///
/// # Errors
/// What the drawing library says, as text.
pub fn draw(found: &Accuracy) -> Result<String, String> {
    svg(HEIGHT, |root| paint(root, found))
}

fn paint(root: &Area<'_>, found: &Accuracy) -> Result<(), DrawingError> {
    let (main, key) = root.split_vertically(HEIGHT - 84);
    let mut plot = ChartBuilder::on(&main)
        .caption(
            "Predicted chances of a sale, and what happened",
            ("sans-serif", 20),
        )
        .margin(12)
        .margin_right(24)
        .x_label_area_size(42)
        .y_label_area_size(78)
        .build_cartesian_2d(0.0..1.0, 0.0..1.02)?;
    let percent = |v: &f64| format!("{:.0} %", 100.0 * v);
    plot.configure_mesh()
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .x_desc("predicted chance")
        .y_desc("share sold")
        .label_style(("sans-serif", 14))
        .x_label_formatter(&percent)
        .y_label_formatter(&percent)
        .draw()?;
    plot.draw_series([PathElement::new(
        vec![(0.0, 0.0), (1.0, 1.0)],
        INK.mix(0.5).stroke_width(1),
    )])?;
    if found.days.steps.is_empty() {
        let words = Text::new(
            "too few bikes were listed long enough ago",
            (0, 0),
            letters(16, INK, HPos::Center),
        );
        plot.draw_series(std::iter::once(EmptyElement::at((0.5, 0.6)) + words))?;
    }
    for step in &found.days.steps {
        let place = WITHIN
            .iter()
            .position(|days| *days == step.days)
            .unwrap_or(0);
        let colour = COLOURS[place];
        let (low, high) = step.interval;
        let line = vec![(step.expected, low), (step.expected, high)];
        plot.draw_series([PathElement::new(line, colour.mix(0.6).stroke_width(2))])?;
        plot.draw_series([Circle::new(
            (step.expected, step.observed),
            6,
            colour.filled(),
        )])?;
        let count = Text::new(step.bikes.to_string(), (9, 0), letters(12, INK, HPos::Left));
        plot.draw_series(std::iter::once(
            EmptyElement::at((step.expected, step.observed)) + count,
        ))?;
    }
    for ((days, colour), x) in WITHIN.iter().zip(COLOURS).zip([90, 280, 470]) {
        key.draw(&Circle::new((x, 10), 6, colour.filled()))?;
        key.draw(&Text::new(
            format!("within {days:.0} days"),
            (x + 14, 10),
            plain(14),
        ))?;
    }
    let words = "bikes in up to three groups by the predicted chance, with their number; on the line predictions came true";
    key.draw(&Text::new(words, (84, 34), plain(14)))?;
    let words = "upright: 95 % interval of the share, which is wide for few bikes";
    key.draw(&Text::new(words, (84, 58), plain(14)))?;
    Ok(())
}
