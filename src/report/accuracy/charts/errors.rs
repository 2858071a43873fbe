//! Errors over time, as an SVG picture.

use crate::pricing::accuracy::Accuracy;
use crate::pricing::accuracy::errors::{ToldSale, running_means, told_sales};
use crate::report::chart_style::{
    Area, BELIEF, COMPS, DrawingError, GRID, INK, OWN, RANGE, letters, plain, signed_percent, svg,
};
use crate::trade::Day;
use crate::trade::calendar::days_between;
use jiff::ToSpan as _;
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

const HEIGHT: u32 = 540;
/// Sales in the running mean.
const RUNNING: usize = 7;
/// An error beyond this is drawn on the edge: a slipped decimal would flatten all others.
const EDGE: f64 = 1.0;

/// Draws it.
///
/// # Errors
/// What the drawing library says, as text.
pub fn draw(found: &Accuracy) -> Result<String, String> {
    svg(HEIGHT, |root| paint(root, found))
}

/// A sale in the picture: its day, what it brought against what was told, and the
/// range told, as fractions.
struct Point {
    on: Day,
    error: f64,
    low: f64,
    high: f64,
}

impl Point {
    fn of(sale: &ToldSale<'_>) -> Self {
        let seen = |fraction: f64| fraction.clamp(-0.9, EDGE);
        let (low, high) = sale.range();
        Self {
            on: sale.on,
            error: seen(sale.error()),
            low: seen(low),
            high: seen(high),
        }
    }
}

fn paint(root: &Area<'_>, found: &Accuracy) -> Result<(), DrawingError> {
    let points: Vec<Point> = told_sales(found).iter().map(Point::of).collect();
    let start = points.first().map_or(found.question.as_of, |p| p.on);
    let at = |day: Day| days_between(start, day) as f64;
    let last = points.last().map_or(0.0, |p| at(p.on)).max(30.0);
    let ends = points.iter().flat_map(|p| [p.error, p.low, p.high]);
    let (low, high) = ends.fold((-0.2_f64, 0.2_f64), |(l, h), e| (l.min(e), h.max(e)));
    let margin = 0.02 * last;
    let (main, key) = root.split_vertically(HEIGHT - 84);
    let mut plot = ChartBuilder::on(&main)
        .caption("Actual against predicted, sale by sale", ("sans-serif", 20))
        .margin(12)
        .margin_right(24)
        .x_label_area_size(42)
        .y_label_area_size(78)
        .build_cartesian_2d(-margin..last + margin, low * 1.08..high * 1.08)?;
    plot.configure_mesh()
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .disable_x_mesh()
        .x_desc("day of sale")
        .y_desc("actual above (+) or below (-) predicted")
        .label_style(("sans-serif", 14))
        .x_labels(7)
        .x_label_formatter(&|days| {
            let day = start.checked_add((days.round() as i64).days());
            day.map_or(String::new(), |day| day.strftime("%Y-%m").to_string())
        })
        .y_label_formatter(&|v| signed_percent(*v))
        .draw()?;
    if let Some(moved) = &found.drift.moved {
        let (from, to) = (at(moved.since), at(moved.clear_on));
        let area = [
            (from - margin / 2.0, low * 1.08),
            (to + margin / 2.0, high * 1.08),
        ];
        plot.draw_series([Rectangle::new(area, BELIEF.mix(0.2).filled())])?;
        let name = Text::new("the market moved", (0, 10), letters(12, INK, HPos::Center));
        let place = (f64::midpoint(from, to), high * 1.08);
        plot.draw_series(std::iter::once(EmptyElement::at(place) + name))?;
    }
    let zero = vec![(-margin, 0.0), (last + margin, 0.0)];
    plot.draw_series([PathElement::new(zero, INK.mix(0.5).stroke_width(1))])?;
    for p in &points {
        let colour = if p.low <= p.error && p.error <= p.high {
            OWN
        } else {
            COMPS
        };
        let range = vec![(at(p.on), p.low), (at(p.on), p.high)];
        plot.draw_series([PathElement::new(
            range,
            BELIEF.mix(RANGE * 2.0).stroke_width(2),
        )])?;
        plot.draw_series([Circle::new((at(p.on), p.error), 4, colour.filled())])?;
    }
    let errors: Vec<f64> = points.iter().map(|p| p.error).collect();
    let means = running_means(&errors, RUNNING);
    let ends = points.iter().skip(errors.len() - means.len());
    let running = ends.zip(means).map(|(p, mean)| (at(p.on), mean));
    plot.draw_series(LineSeries::new(running, INK.stroke_width(2)))?;
    key_of(&key)
}

fn key_of(area: &Area<'_>) -> Result<(), DrawingError> {
    area.draw(&Circle::new((90, 10), 4, OWN.filled()))?;
    let words = "a sale in its range (the grey line is the range predicted before listing)";
    area.draw(&Text::new(words, (120, 10), plain(14)))?;
    area.draw(&Circle::new((90, 34), 4, COMPS.filled()))?;
    let words = "a sale outside its range; beyond +100 % it is drawn on the edge";
    area.draw(&Text::new(words, (120, 34), plain(14)))?;
    area.draw(&PathElement::new(
        vec![(78, 58), (104, 58)],
        INK.stroke_width(2),
    ))?;
    let words = format!(
        "mean of {RUNNING} sales: where it stays away from 0, the market has moved or your sales run to one side"
    );
    area.draw(&Text::new(words, (120, 58), plain(14)))?;
    Ok(())
}
