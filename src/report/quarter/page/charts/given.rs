//! What was given per quarter, and in all, as a picture.

use super::picture::{LETTERS, picture};
use crate::accounts::QuarterReport;
use crate::accounts::quarter::figures::CourseLine;
use crate::report::chart_style::{Area, DrawingError, GRID, INK, OWN, letters};
use crate::report::text::amounts;
use crate::trade::{Currency, Money};
use maud::Markup;
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

const HEIGHT: u32 = 330;

/// Height of the bars; the running total stands below them.
const BARS: u32 = 180;

/// Quarters whose names fit below the picture.
const NAMED: usize = 6;

/// Quarters whose bars have room for their amounts.
const WRITTEN: usize = 6;

/// Draws the quarters up to the report's.
///
/// # Errors
/// What the drawing library says, as text.
pub(in crate::report) fn draw(
    report: &QuarterReport,
    currency: &Currency,
) -> Result<Markup, String> {
    let (first, last) = match report.course.as_slice() {
        [first, .., last] => (first, last),
        [one] => (one, one),
        [] => return Ok(Markup::default()),
    };
    let name = format!(
        "Bars: given in each quarter from {} to {}. Line below: given in all, {} {currency} at the end. The table below \
         has the numbers.",
        first.quarter,
        last.quarter,
        amounts::exact(last.given_so_far, currency)
    );
    picture(HEIGHT, &name, |root| {
        let (upper, lower) = root.split_vertically(BARS);
        bars(&upper, &report.course, currency)?;
        running(&lower, &report.course, currency)
    })
}

fn bars(area: &Area<'_>, course: &[CourseLine], currency: &Currency) -> Result<(), DrawingError> {
    let given = |line: &CourseLine| currency.units(line.given);
    let (low, high) = room(course.iter().map(given));
    let across = 0.0..course.len() as f64;
    let mut plot = ChartBuilder::on(area)
        .caption("Given per quarter", ("sans-serif", LETTERS))
        .margin_right(30)
        .y_label_area_size(66)
        .build_cartesian_2d(across.clone(), low..high)?;
    plot.configure_mesh()
        .disable_x_mesh()
        .x_labels(0)
        .y_labels(5)
        .max_light_lines(1)
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .label_style(("sans-serif", LETTERS))
        .y_label_formatter(&|units| whole(*units, currency))
        .draw()?;
    let zero = vec![(0.0, 0.0), (across.end, 0.0)];
    plot.draw_series([PathElement::new(zero, INK.stroke_width(1))])?;
    for (place, line) in course.iter().enumerate() {
        let (from, to) = (place as f64 + 0.15, place as f64 + 0.85);
        if line.given == Money::ZERO {
            continue;
        }
        plot.draw_series([Rectangle::new(
            [(from, 0.0), (to, given(line))],
            OWN.filled(),
        )])?;
        if course.len() <= WRITTEN {
            let amount = amounts::plain(line.given, currency);
            let style = letters(LETTERS - 1, INK, HPos::Center);
            let middle = (place as f64 + 0.5, given(line).max(0.0));
            plot.draw_series([EmptyElement::at(middle) + Text::new(amount, (0, -8), style)])?;
        }
    }
    Ok(())
}

fn running(
    area: &Area<'_>,
    course: &[CourseLine],
    currency: &Currency,
) -> Result<(), DrawingError> {
    let so_far = |line: &CourseLine| currency.units(line.given_so_far);
    let (low, high) = room(course.iter().map(so_far));
    let mut plot = ChartBuilder::on(area)
        .caption("Given in all", ("sans-serif", LETTERS))
        .margin_right(30)
        .x_label_area_size(24)
        .y_label_area_size(66)
        .build_cartesian_2d(0.0..course.len() as f64, low..high)?;
    plot.configure_mesh()
        .disable_x_mesh()
        .x_labels(0)
        .y_labels(5)
        .max_light_lines(1)
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .label_style(("sans-serif", LETTERS))
        .y_label_formatter(&|units| whole(*units, currency))
        .draw()?;
    let point = |(place, line): (usize, &CourseLine)| (place as f64 + 0.5, so_far(line));
    let points: Vec<(f64, f64)> = course.iter().enumerate().map(point).collect();
    plot.draw_series(LineSeries::new(points.iter().copied(), OWN.stroke_width(2)))?;
    let dot = |at: &(f64, f64)| Circle::new(*at, 3, OWN.filled());
    plot.draw_series(points.iter().map(dot))?;
    // As many names as there is room for, the last quarter's among them.
    let each = course.len().div_ceil(NAMED).max(1);
    for (place, line) in course.iter().enumerate().rev().step_by(each) {
        let style = letters(LETTERS - 1, INK, HPos::Center);
        let name = Text::new(line.quarter.to_string(), (0, 13), style);
        plot.draw_series([EmptyElement::at((place as f64 + 0.5, low)) + name])?;
    }
    Ok(())
}

/// From 0, or below it, to a little above the highest.
fn room(amounts: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = amounts.fold((0.0_f64, 0.0_f64), |(low, high), amount| {
        (low.min(amount), high.max(amount))
    });
    match (low, high) {
        (low, high) if low == high => (0.0, 1.0),
        (low, high) => (low * 1.15, if high > 0.0 { high * 1.18 } else { 0.0 }),
    }
}

/// Units on an axis, without decimals unless they are small.
fn whole(units: f64, currency: &Currency) -> String {
    currency
        .round(units)
        .map_or(String::new(), |amount| amounts::plain(amount, currency))
}
