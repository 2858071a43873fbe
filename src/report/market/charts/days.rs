//! Days on market as an SVG picture: what is not sold yet, day by day.

use crate::pricing::market::Market;
use crate::pricing::market::days::OnMarket;
use crate::report::chart_style::{
    Area, COMPS, DrawingError, GRID, INK, OWN, RANGE, band_key, letters, plain, svg,
};
use crate::report::market::words::days;
use crate::report::text::shares::level_percent;
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

const HEIGHT: u32 = 560;

/// Days shown at most: what stands longer than half a year is no plan.
const LONGEST: f64 = 180.0;

/// A curve's share below which the rest of it is not worth the room.
const TAIL: f64 = 0.05;

/// Draws it.
///
/// # Errors
/// What the drawing library says, as text.
pub fn draw(market: &Market) -> Result<String, String> {
    svg(HEIGHT, |root| paint(root, market))
}

fn paint(root: &Area<'_>, market: &Market) -> Result<(), DrawingError> {
    let found = &market.days;
    let curves = [
        ("own bikes", &found.own, OWN),
        ("comps", &found.comps, COMPS),
    ];
    let longest = shown(curves.iter().filter_map(|(_, of, _)| of.as_ref()));
    let style = market
        .question
        .style
        .map_or(String::new(), |style| format!(", {style} bikes"));
    let (main, key) = root.split_vertically(HEIGHT - 82);
    let mut plot = ChartBuilder::on(&main)
        .caption(
            format!(
                "Days on market{style}: share not sold yet, as known on {}",
                market.question.as_of
            ),
            ("sans-serif", 20),
        )
        .margin(12)
        .margin_right(24)
        .x_label_area_size(42)
        .y_label_area_size(70)
        .build_cartesian_2d(0.0..longest, 0.0..1.0)?;
    plot.configure_mesh()
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .x_desc("days since it was listed")
        .y_desc("share not sold yet")
        .label_style(("sans-serif", 14))
        .x_label_formatter(&|v| format!("{v:.0}"))
        .y_label_formatter(&|v| format!("{:.0} %", 100.0 * v))
        .draw()?;
    plot.draw_series(std::iter::once(PathElement::new(
        vec![(0.0, 0.5), (longest, 0.5)],
        INK.mix(0.5).stroke_width(1),
    )))?;
    let half = Text::new("half sold", (-4, -9), letters(12, INK, HPos::Right));
    plot.draw_series(std::iter::once(EmptyElement::at((longest, 0.5)) + half))?;
    for (_, of, colour) in &curves {
        let Some(of) = of else { continue };
        let end = of.longest.min(longest);
        let mut band = stairs(of, end, |step| step.low);
        band.extend(stairs(of, end, |step| step.high).into_iter().rev());
        plot.draw_series(std::iter::once(Polygon::new(
            band,
            colour.mix(RANGE).filled(),
        )))?;
    }
    for (_, of, colour) in &curves {
        let Some(of) = of else { continue };
        let end = of.longest.min(longest);
        let line = stairs(of, end, |step| step.survival);
        plot.draw_series(LineSeries::new(line, colour.stroke_width(2)))?;
    }
    for ((name, of, colour), row) in curves.iter().zip(0_i32..) {
        let words = of.as_ref().map_or(format!("{name}: none to show"), |of| {
            followed(name, of, found.level)
        });
        band_key(&key, 12 + 24 * row, (*colour, 2), &words)?;
    }
    let rule = "withdrawn and still listed bikes count as not sold up to then; four in five of the gone count as sold";
    key.draw(&Text::new(rule, (84, 60), plain(13)))?;
    Ok(())
}

/// What a curve rests on.
fn followed(name: &str, of: &OnMarket, level: f64) -> String {
    let half = of.median.map_or("half sold: not reached".into(), |m| {
        format!("half sold within {} days", days(m))
    });
    let few = if of.is_enough() {
        ""
    } else {
        "; too few to go by"
    };
    format!(
        "{name}: {:.0} followed, {half}; the band holds the {} limits{few}",
        of.followed,
        level_percent(level)
    )
}

/// The days that are worth the room.
fn shown<'a>(curves: impl Iterator<Item = &'a OnMarket>) -> f64 {
    let worth = |of: &OnMarket| {
        let tail = of.steps.iter().find(|step| step.survival < TAIL);
        tail.map_or(of.longest, |step| step.time)
    };
    curves.map(worth).fold(14.0, f64::max).min(LONGEST)
}

/// The corners of a curve from day 0 to `end`, one of its three lines.
fn stairs(
    of: &OnMarket,
    end: f64,
    line: impl Fn(&crate::statistics::survival::kaplan_meier::Step) -> f64,
) -> Vec<(f64, f64)> {
    let mut corners = vec![(0.0, 1.0)];
    let mut height = 1.0;
    for step in of.steps.iter().take_while(|step| step.time <= end) {
        corners.push((step.time, height));
        height = line(step);
        corners.push((step.time, height));
    }
    corners.push((end, height));
    corners
}
