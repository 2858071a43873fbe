//! The margin of each bike as a picture.

use super::picture::{LETTERS, WIDTH, picture};
use crate::accounts::QuarterReport;
use crate::accounts::quarter::figures::SaleLine;
use crate::report::chart_style::{DrawingError, GRID, INK, OWN, letters};
use crate::report::text::amounts::exact;
use crate::report::text::wrap::cut;
use crate::trade::Currency;
use maud::Markup;
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

/// The largest and the smallest that are drawn where there are more than twice
/// as many bikes.
pub(in crate::report) const ENDS: usize = 20;

/// Height of a bar with its gap.
const ROW: u32 = 21;

/// Letters of an id that fit.
const ID: usize = 12;

/// Where the bars may stand, between the ids and the amounts.
const FROM: i32 = 108;
const TO: i32 = WIDTH as i32 - 92;

/// The bikes that are drawn, largest margin first, and how many lie between the
/// two ends and are not.
pub(in crate::report) fn drawn(report: &QuarterReport) -> (Vec<&SaleLine>, usize) {
    let mut lines: Vec<&SaleLine> = report.sales.iter().collect();
    lines.sort_by_key(|line| std::cmp::Reverse(line.margin));
    let between = lines.len().saturating_sub(2 * ENDS);
    lines.drain(ENDS.min(lines.len())..(ENDS.min(lines.len()) + between));
    (lines, between)
}

/// Draws them.
///
/// # Errors
/// What the drawing library says, as text.
pub(in crate::report) fn draw(
    report: &QuarterReport,
    currency: &Currency,
) -> Result<Markup, String> {
    let (lines, between) = drawn(report);
    let rows = lines.len() + usize::from(between > 0);
    let height = ROW * u32::try_from(rows.max(1)).unwrap_or(1) + 4;
    let name = format!(
        "Bars: margin of {} {}, largest first. The table of bikes has the numbers.",
        lines.len(),
        if lines.len() == 1 { "bike" } else { "bikes" }
    );
    let units = |line: &SaleLine| currency.units(line.margin);
    let low = lines.iter().map(|line| units(line)).fold(0.0, f64::min);
    let high = lines.iter().map(|line| units(line)).fold(0.0, f64::max);
    let span = if high > low { high - low } else { 1.0 };
    let across = |units: f64| FROM + (f64::from(TO - FROM) * (units - low) / span).round() as i32;
    picture(height, &name, |root| -> Result<(), DrawingError> {
        let bottom = height as i32;
        let zero = across(0.0);
        let mut y = 2 + ROW as i32 / 2;
        for (place, line) in lines.iter().enumerate() {
            if between > 0 && place == ENDS {
                let words = format!("{between} between them");
                let style = letters(LETTERS - 1, INK, HPos::Left);
                root.draw(&Text::new(words, (FROM + 4, y), style))?;
                y += ROW as i32;
            }
            let end = across(units(line));
            let bar = [(zero.min(end), y - 6), (zero.max(end), y + 6)];
            root.draw(&Rectangle::new(bar, OWN.filled()))?;
            let id = letters(LETTERS, INK, HPos::Right);
            root.draw(&Text::new(cut(&line.id, ID), (FROM - 6, y), id))?;
            let amount = letters(LETTERS, INK, HPos::Right);
            let place = (WIDTH as i32 - 2, y);
            root.draw(&Text::new(exact(line.margin, currency), place, amount))?;
            y += ROW as i32;
        }
        let grey = if low < 0.0 { INK } else { GRID };
        let axis = vec![(zero, 0), (zero, bottom)];
        root.draw(&PathElement::new(axis, grey.stroke_width(1)))?;
        Ok(())
    })
}
