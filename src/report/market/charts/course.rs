//! The market's movement and its season as SVG pictures.

use crate::pricing::market::Market;
use crate::report::chart_style::{
    Area, BELIEF, DrawingError, GRID, INK, OWN, RANGE, band_key, letters, plain, room,
    signed_percent, svg,
};
use crate::report::market::takeaways;
use crate::report::text::dates::MONTHS;
use crate::report::text::shares::level_percent;
use crate::trade::calendar::{quarter_number, year_fraction};
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

const HEIGHT: u32 = 480;

/// Quarters whose names fit below the picture.
const QUARTERS_NAMED: i32 = 12;

/// Draws the market's level back in time against today's.
///
/// # Errors
/// What the drawing library says, as text.
pub fn movement(market: &Market) -> Result<String, String> {
    svg(HEIGHT, |root| paint_movement(root, market))
}

/// Draws the season against the mean of the year.
///
/// # Errors
/// What the drawing library says, as text.
pub fn season(market: &Market) -> Result<String, String> {
    svg(HEIGHT, |root| paint_season(root, market))
}

fn paint_movement(root: &Area<'_>, market: &Market) -> Result<(), DrawingError> {
    let as_of = market.question.as_of;
    let today = f64::from(as_of.year()) + year_fraction(as_of);
    let start = |quarter: i32| f64::from(quarter) / 4.0;
    let now = quarter_number(as_of);
    let oldest = market.movement.last().map_or(now, |period| period.from);
    let levels = market.movement.iter().map(|period| period.level);
    let (low, high) = room(levels.flat_map(|level| [level.low, level.high]));
    let (main, key) = root.split_vertically(HEIGHT - 62);
    let mut plot = ChartBuilder::on(&main)
        .caption(
            format!("How prices of like bikes moved, all styles, against {as_of}"),
            ("sans-serif", 20),
        )
        .margin(12)
        .margin_right(24)
        .x_label_area_size(42)
        .y_label_area_size(76)
        .build_cartesian_2d(start(oldest)..start(now + 1), low..high)?;
    plot.configure_mesh()
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .disable_x_mesh()
        .x_labels(0)
        .x_desc("year and quarter")
        .y_desc("price level against today's")
        .label_style(("sans-serif", 14))
        .y_label_formatter(&|v| signed_percent(*v))
        .draw()?;
    plot.draw_series(std::iter::once(PathElement::new(
        vec![(start(oldest), 0.0), (today, 0.0)],
        INK.stroke_width(1),
    )))?;
    // As many names of quarters as there is room for.
    let each = usize::try_from((now - oldest) / QUARTERS_NAMED + 1).unwrap_or(1);
    for quarter in (oldest..=now).rev().step_by(each) {
        let line = vec![(start(quarter), low), (start(quarter), high)];
        plot.draw_series([PathElement::new(line, GRID.stroke_width(1))])?;
        let name = format!("{} Q{}", quarter.div_euclid(4), quarter.rem_euclid(4) + 1);
        let place = (start(quarter) + 0.125, low);
        let name = Text::new(name, (0, 14), letters(13, INK, HPos::Center));
        plot.draw_series([EmptyElement::at(place) + name])?;
    }
    for period in &market.movement {
        let colour = if period.rests_on_prior() { BELIEF } else { OWN };
        let (from, to) = (start(period.from), start(period.to + 1).min(today));
        let level = &period.level;
        let corners = [(from, level.low - 1.0), (to, level.high - 1.0)];
        plot.draw_series([Rectangle::new(corners, colour.mix(RANGE).filled())])?;
        let line = vec![(from, level.factor - 1.0), (to, level.factor - 1.0)];
        plot.draw_series([PathElement::new(line, colour.stroke_width(3))])?;
    }
    let level = level_percent(market.question.level);
    band_key(
        &key,
        12,
        (OWN, 3),
        &format!("level in a quarter, with its {level} range"),
    )?;
    let few = "fewer than five prices: rests on our assumption that markets move slowly";
    band_key(&key, 36, (BELIEF, 3), few)
}

fn paint_season(root: &Area<'_>, market: &Market) -> Result<(), DrawingError> {
    let curve = market.season.iter().flat_map(|season| &season.curve);
    let curve: Vec<(f64, crate::pricing::market::movement::Factor)> = curve.copied().collect();
    let (low, high) = room(curve.iter().flat_map(|(_, level)| [level.low, level.high]));
    let (main, key) = root.split_vertically(HEIGHT - 62);
    let mut plot = ChartBuilder::on(&main)
        .caption(
            "Season: prices of like bikes through the year, all styles",
            ("sans-serif", 20),
        )
        .margin(12)
        .margin_right(24)
        .x_label_area_size(42)
        .y_label_area_size(76)
        .build_cartesian_2d(0.0..12.0, low..high)?;
    plot.configure_mesh()
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .x_labels(13)
        .x_desc("month")
        .y_desc("price against the year's mean")
        .label_style(("sans-serif", 14))
        .x_label_formatter(&|_| String::new())
        .y_label_formatter(&|v| signed_percent(*v))
        .draw()?;
    let names = MONTHS.iter().zip(0_u32..).map(|(name, month)| {
        let short: String = name.chars().take(3).collect();
        let place = (f64::from(month) + 0.5, low);
        EmptyElement::at(place) + Text::new(short, (0, 12), letters(14, INK, HPos::Center))
    });
    plot.draw_series(names)?;
    plot.draw_series(std::iter::once(PathElement::new(
        vec![(0.0, 0.0), (12.0, 0.0)],
        INK.stroke_width(1),
    )))?;
    let place = |fraction: f64, factor: f64| (12.0 * fraction, factor - 1.0);
    let lower = curve.iter().map(|(at, level)| place(*at, level.low));
    let upper = curve.iter().rev().map(|(at, level)| place(*at, level.high));
    let band: Vec<(f64, f64)> = lower.chain(upper).collect();
    if !band.is_empty() {
        plot.draw_series([Polygon::new(band, OWN.mix(RANGE).filled())])?;
    }
    let line = curve.iter().map(|(at, level)| place(*at, level.factor));
    plot.draw_series(LineSeries::new(line, OWN.stroke_width(2)))?;
    let level = level_percent(market.question.level);
    band_key(
        &key,
        12,
        (OWN, 3),
        &format!("effect of the season, with its {level} range"),
    )?;
    key.draw(&Text::new(
        takeaways::of_season(market),
        (84, 36),
        plain(13),
    ))?;
    Ok(())
}
