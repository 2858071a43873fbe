//! Ask against days and against present value, the suggestion marked, below the
//! picture of value by age.

use crate::report::chart_style::{Area, DrawingError, GRID, INK, OWN, WIDTH, letters, plain, svg};
use crate::report::text::amounts::on_axis;
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

/// Height of the two panels.
const HEIGHT: u32 = 430;
/// Height of what is said below them.
const FOOT: u32 = 34;
const HERE: RGBColor = RGBColor(200, 30, 30);

/// What the picture shows; money in units of the currency.
#[derive(Clone, Debug, Default)]
pub struct PlanChart {
    /// Currency code for the axes.
    pub currency: String,
    /// Single asks: ask, expected days, present value; lowest ask first.
    pub curve: Vec<(f64, f64, f64)>,
    /// The suggested first ask.
    pub suggested: f64,
    /// Expected days and present value of the plan with its mark-downs.
    pub plan: (f64, f64),
}

/// Draws the two panels.
///
/// # Errors
/// What the drawing library says, as text.
pub fn draw(chart: &PlanChart) -> Result<String, String> {
    svg(HEIGHT, |root| {
        let (panels, foot) = root.split_vertically(HEIGHT - FOOT);
        let (left, right) = panels.split_horizontally(WIDTH / 2);
        let money = format!("worth today, {}", chart.currency);
        let days = Panel {
            title: "How long it takes",
            axis: "expected days",
            points: chart.curve.iter().map(|c| (c.0, c.1)).collect(),
            plan: chart.plan.0,
        };
        let worth = Panel {
            title: "What the sale is worth today",
            axis: &money,
            points: chart.curve.iter().map(|c| (c.0, c.2)).collect(),
            plan: chart.plan.1,
        };
        days.paint(&left, chart)?;
        worth.paint(&right, chart)?;
        let words = "Line: one ask, never changed. Point: the plan with its price cuts. Worth today: the sale price less \
                     what the weeks until then cost.";
        foot.draw(&Text::new(words, (24, 12), plain(13).color(&INK)))?;
        Ok(())
    })
}

/// A measure of single asks, and the plan's.
struct Panel<'a> {
    title: &'a str,
    axis: &'a str,
    /// Ask and measure, lowest ask first.
    points: Vec<(f64, f64)>,
    plan: f64,
}

impl Panel<'_> {
    fn paint(&self, area: &Area<'_>, chart: &PlanChart) -> Result<(), DrawingError> {
        let (points, plan) = (&self.points, self.plan);
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return Ok(());
        };
        let span =
            |pick: fn(f64, f64) -> f64, start: f64| points.iter().map(|p| p.1).fold(start, pick);
        let (low, high) = (span(f64::min, plan), span(f64::max, plan));
        let room = 0.08 * (high - low).max(1e-9 * high.abs()).max(f64::MIN_POSITIVE);
        // The plan's ask and its mark stand within the frame, wherever the line ends.
        let from = first.0.min(chart.suggested);
        let to = last.0.max(chart.suggested).max(from * 1.01);
        let beside = 0.05 * (to - from);
        let (from, to) = ((from - beside).max(0.0), to + beside);
        let mut plot = ChartBuilder::on(area)
            .caption(self.title, ("sans-serif", 17))
            .margin(12)
            .x_label_area_size(42)
            .y_label_area_size(62)
            .build_cartesian_2d(from..to, (low - room).max(0.0)..high + 3.0 * room)?;
        plot.configure_mesh()
            .light_line_style(WHITE)
            .bold_line_style(GRID)
            .x_desc(format!("ask, {}", chart.currency))
            .y_desc(self.axis)
            .label_style(("sans-serif", 13))
            .x_labels(8)
            .x_label_formatter(&|v| on_axis(*v))
            .y_label_formatter(&|v| on_axis(*v))
            .draw()?;
        plot.draw_series(LineSeries::new(points.iter().copied(), OWN.stroke_width(2)))?;
        let at = (chart.suggested, plan);
        plot.draw_series(std::iter::once(Circle::new(at, 7, HERE.filled())))?;
        // The words stand on the side where there is room.
        let words = format!("ask {:.0}, with its price cuts", chart.suggested);
        let (side, across) = if chart.suggested > f64::midpoint(from, to) {
            (HPos::Right, -12)
        } else {
            (HPos::Left, 12)
        };
        plot.draw_series(std::iter::once(
            EmptyElement::at(at) + Text::new(words, (across, -18), letters(14, HERE, side)),
        ))?;
        Ok(())
    }
}

/// One picture with `below` under `above`, which is `height` high.
pub fn stacked(above: &str, below: &str, height: u32) -> String {
    let all = height + HEIGHT;
    let lower = below.replacen("<svg ", &format!("<svg y=\"{height}\" "), 1);
    format!(
        "<svg width=\"{WIDTH}\" height=\"{all}\" viewBox=\"0 0 {WIDTH} {all}\" \
         xmlns=\"http://www.w3.org/2000/svg\">\n{above}{lower}</svg>\n"
    )
}
