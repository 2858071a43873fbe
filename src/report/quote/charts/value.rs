//! Value against age as an SVG picture.

use crate::report::chart_style::{Area, DrawingError, plain, svg};
use crate::report::text::amounts::on_axis;
use crate::report::text::shares::level_percent;
use crate::trade::Outcome;
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;

/// What the picture shows; money in units of the currency, ages in years.
#[derive(Clone, Debug, Default)]
pub struct ValueChart {
    /// Title, for example `hybrid, condition 4, tier 2, size M`.
    pub title: String,
    /// Currency code for the axis.
    pub currency: String,
    /// Age, low, median, high along the curve.
    pub curve: Vec<(f64, f64, f64, f64)>,
    /// Own sales: age and price.
    pub sales: Vec<(f64, f64)>,
    /// Comps: age, ask (or sale price) and how the listing stood.
    pub comps: Vec<(f64, f64, Outcome)>,
    /// This bike: age, low, median, high; without an age it is a line across.
    pub here: Option<(Option<f64>, f64, f64, f64)>,
    /// Probability of the range.
    pub level: f64,
}

/// Height of the picture.
pub const HEIGHT: u32 = 560;
const BAND: RGBColor = RGBColor(198, 214, 232);
const LINE: RGBColor = RGBColor(31, 78, 121);
const OWN: RGBColor = RGBColor(20, 20, 20);
const HERE: RGBColor = RGBColor(200, 30, 30);

/// Colours that differ in lightness too, so that they survive a grey printer.
const SOLD: RGBColor = RGBColor(0, 110, 80);
const ASKED: RGBColor = RGBColor(60, 150, 200);

/// What a comp is drawn as: sold, or else asked, however its listing stands.
fn mark(outcome: Outcome) -> ShapeStyle {
    match outcome {
        Outcome::Sold => SOLD.filled(),
        Outcome::Gone | Outcome::Listed | Outcome::Withdrawn => ASKED.stroke_width(1),
    }
}

/// Draws the picture. The text is the same for the same input.
///
/// # Errors
/// What the drawing library says, as text.
pub fn draw(chart: &ValueChart) -> Result<String, String> {
    svg(HEIGHT, |root| paint(root, chart))
}

type Plot<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// The comps, those beyond the scale on its edges.
fn comps(
    plot: &mut Plot<'_, '_>,
    chart: &ValueChart,
    (oldest, highest): (f64, f64),
) -> Result<(), DrawingError> {
    for (age, price, outcome) in &chart.comps {
        let place = (age.min(oldest), price.min(highest));
        plot.draw_series([Circle::new(place, 4, mark(*outcome))])?;
    }
    Ok(())
}

/// The highest price that the scale reaches, and whether some points lie beyond: the
/// range at its widest, and nine in ten of the points, fit the picture; wilder points
/// sit on the upper edge.
fn scale(chart: &ValueChart) -> (f64, bool) {
    let comps = chart.comps.iter().map(|c| c.1);
    let mut prices: Vec<f64> = comps.chain(chart.sales.iter().map(|s| s.1)).collect();
    prices.sort_by(f64::total_cmp);
    let usual = prices.get(prices.len() * 9 / 10).copied().unwrap_or(0.0);
    let ranges = chart.curve.iter().map(|c| c.3);
    let widest = ranges.chain(chart.here.map(|h| h.3)).fold(usual, f64::max);
    let highest = widest * 1.08;
    (highest, prices.iter().any(|price| *price > highest))
}

fn paint(root: &Area<'_>, chart: &ValueChart) -> Result<(), DrawingError> {
    let oldest = chart.curve.last().map_or(10.0, |c| c.0).max(1.0);
    let (highest, beyond) = scale(chart);
    // The age of this bike is no point in the picture where it is not known.
    let title = match chart.here {
        Some((Some(_), ..)) => chart.title.clone(),
        _ => format!("{}; this bike: model year unknown", chart.title),
    };
    let letters = if title.chars().count() > 80 { 15 } else { 20 };
    let (main, legend) = root.split_vertically(HEIGHT - 76);
    let mut plot = ChartBuilder::on(&main)
        .caption(&title, ("sans-serif", letters))
        .margin(12)
        .x_label_area_size(42)
        .y_label_area_size(70)
        .build_cartesian_2d(0.0..oldest, 0.0..highest)?;
    plot.configure_mesh()
        .light_line_style(WHITE)
        .bold_line_style(RGBColor(225, 225, 225))
        .x_desc("age in years")
        .y_desc(format!("price in {}", chart.currency))
        .label_style(("sans-serif", 14))
        .x_label_formatter(&|v| format!("{v:.0}"))
        .y_label_formatter(&|v| on_axis(*v))
        .draw()?;
    let lower = chart.curve.iter().map(|c| (c.0, c.1));
    let upper = chart.curve.iter().rev().map(|c| (c.0, c.3.min(highest)));
    plot.draw_series(std::iter::once(Polygon::new(
        lower.chain(upper).collect::<Vec<_>>(),
        BAND.filled(),
    )))?;
    plot.draw_series(LineSeries::new(
        chart.curve.iter().map(|c| (c.0, c.2)),
        LINE.stroke_width(2),
    ))?;
    comps(&mut plot, chart, (oldest, highest))?;
    let square = |(age, price): (f64, f64)| {
        EmptyElement::at((age.min(oldest), price.min(highest)))
            + Rectangle::new([(-4, -4), (4, 4)], OWN.filled())
    };
    plot.draw_series(chart.sales.iter().map(|s| square(*s)))?;
    if let Some((None, _, median, _)) = chart.here {
        let across = [(0.0, median), (oldest, median)];
        plot.draw_series(LineSeries::new(across, HERE.stroke_width(2)))?;
        let name = Text::new("this bike, of whatever age", (12, -18), red());
        plot.draw_series(std::iter::once(EmptyElement::at((0.0, median)) + name))?;
    }
    if let Some((Some(age), low, median, high)) = chart.here {
        plot.draw_series(LineSeries::new(
            [(age, low), (age, high)],
            HERE.stroke_width(3),
        ))?;
        plot.draw_series(std::iter::once(Circle::new(
            (age, median),
            8,
            HERE.filled(),
        )))?;
        plot.draw_series(std::iter::once(
            EmptyElement::at((age, median)) + Text::new("this bike", (12, -16), red()),
        ))?;
    }
    key(&legend, chart, beyond)
}

/// Letters of what is said of this bike.
fn red() -> TextStyle<'static> {
    ("sans-serif", 16).into_font().color(&HERE)
}

/// The key in three rows below the picture. `beyond`: some points are dearer than
/// the scale reaches.
fn key(area: &Area<'_>, chart: &ValueChart, beyond: bool) -> Result<(), DrawingError> {
    area.draw(&Rectangle::new([(80, 8), (88, 16)], OWN.filled()))?;
    area.draw(&Text::new("your own sale", (96, 12), plain(14)))?;
    area.draw(&Circle::new((250, 12), 4, mark(Outcome::Sold)))?;
    area.draw(&Text::new("another's, sold", (262, 12), plain(14)))?;
    area.draw(&Circle::new((420, 12), 4, mark(Outcome::Listed)))?;
    area.draw(&Text::new(
        "another's, what was asked",
        (432, 12),
        plain(14),
    ))?;
    let line = vec![(80, 36), (102, 36)];
    area.draw(&PathElement::new(line, LINE.stroke_width(2)))?;
    let half = "worth: half sell for more, half for less";
    area.draw(&Text::new(half, (110, 36), plain(14)))?;
    area.draw(&Rectangle::new([(420, 30), (442, 42)], BAND.filled()))?;
    let range = format!("{} of single sales", level_percent(chart.level));
    area.draw(&Text::new(range, (450, 36), plain(14)))?;
    let points = match chart.comps.is_empty() && chart.sales.is_empty() {
        true => {
            "The book knows no bike of this style with a model year: the curve is from other bikes or a guess."
        }
        false => {
            "Points are bikes of this style with a model year, moved by the model to the bike of the title and to today."
        }
    };
    let points = match beyond {
        true => format!("{points} On the upper edge: more than that."),
        false => points.to_string(),
    };
    area.draw(&Text::new(points, (80, 60), plain(13)))?;
    Ok(())
}
