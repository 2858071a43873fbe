//! Asks by style as an SVG picture, with the sale prices of own bikes.

use crate::pricing::market::Market;
use crate::pricing::market::places::By;
use crate::pricing::market::tables::Row;
use crate::report::chart_style::{
    Area, COMPS, DrawingError, GRID, INK, OWN, RANGE, letters, plain, svg,
};
use crate::trade::Money;
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

/// Height of a style's row, and of all around the rows.
const ROW: u32 = 46;
const AROUND: u32 = 190;

/// Draws it.
///
/// # Errors
/// What the drawing library says, as text.
pub fn draw(market: &Market) -> Result<String, String> {
    let rows: Vec<&Row> = market.table(By::Style).iter().map(|g| &g.row).collect();
    let height = AROUND + ROW * u32::try_from(rows.len().max(2)).unwrap_or(2);
    svg(height, |root| paint(root, market, &rows, height))
}

fn paint(root: &Area<'_>, market: &Market, rows: &[&Row], height: u32) -> Result<(), DrawingError> {
    let currency = &market.question.currency;
    let units = |money: Money| currency.units(money);
    // The boxes fit, and nine in ten of the own sales; dearer ones sit on the edge.
    let mut paid: Vec<f64> = market
        .own_prices
        .iter()
        .map(|own| units(own.price))
        .collect();
    paid.sort_by(f64::total_cmp);
    let usual = paid.get(paid.len() * 9 / 10).copied().unwrap_or(0.0);
    let boxes = rows.iter().filter_map(|row| row.asks);
    let highest = boxes.map(|asks| units(asks.high)).fold(usual, f64::max);
    let highest = if highest > 0.0 { 1.12 * highest } else { 1.0 };
    let (main, key) = root.split_vertically(height - 58);
    let count = rows.len().max(1) as f64;
    let mut plot = ChartBuilder::on(&main)
        .caption(
            format!(
                "Asks by style on {}, and what own bikes sold for",
                market.question.as_of
            ),
            ("sans-serif", 20),
        )
        .margin(12)
        .margin_right(92)
        .x_label_area_size(42)
        .y_label_area_size(90)
        .build_cartesian_2d(0.0..highest, 0.0..count)?;
    plot.configure_mesh()
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .disable_y_mesh()
        .y_labels(0)
        .x_desc(format!("price in {currency}"))
        .label_style(("sans-serif", 14))
        .x_label_formatter(&|v| format!("{v:.0}"))
        .draw()?;
    for (row, place) in rows.iter().zip(0_u32..) {
        let middle = count - f64::from(place) - 0.5;
        let name = Text::new(row.group.clone(), (-8, 0), letters(15, INK, HPos::Right));
        plot.draw_series(std::iter::once(EmptyElement::at((0.0, middle)) + name))?;
        let comps = Text::new(
            format!("{} comps", row.comps),
            (6, 0),
            letters(12, INK, HPos::Left),
        );
        plot.draw_series(std::iter::once(EmptyElement::at((highest, middle)) + comps))?;
        if let Some(asks) = row.asks {
            let (low, median, high) = (units(asks.low), units(asks.median), units(asks.high));
            let (bottom, top) = (middle - 0.06, middle + 0.34);
            plot.draw_series([
                Rectangle::new([(low, bottom), (high, top)], COMPS.mix(RANGE).filled()),
                Rectangle::new([(low, bottom), (high, top)], COMPS.stroke_width(1)),
            ])?;
            let line = vec![(median, bottom), (median, top)];
            plot.draw_series([PathElement::new(line, COMPS.stroke_width(4))])?;
        }
        if place > 0 {
            let line = vec![(0.0, middle + 0.5), (highest, middle + 0.5)];
            plot.draw_series([PathElement::new(line, GRID.stroke_width(1))])?;
        }
        let own = market.own_prices.iter();
        let own = own.filter(|own| own.style.word() == row.group);
        plot.draw_series(own.map(|own| {
            let place = (units(own.price).min(highest), middle - 0.26);
            Circle::new(place, 4, OWN.mix(0.7).filled())
        }))?;
    }
    let beyond = paid.last().is_some_and(|most| *most > highest);
    key_of(&key, beyond)
}

fn key_of(area: &Area<'_>, beyond: bool) -> Result<(), DrawingError> {
    area.draw(&Rectangle::new(
        [(104, 6), (130, 20)],
        COMPS.mix(RANGE).filled(),
    ))?;
    area.draw(&Rectangle::new(
        [(104, 6), (130, 20)],
        COMPS.stroke_width(1),
    ))?;
    area.draw(&PathElement::new(
        vec![(117, 6), (117, 20)],
        COMPS.stroke_width(4),
    ))?;
    let asks = "comps: half of the asks that stood last lie in the box, the line is the middle";
    area.draw(&Text::new(asks, (140, 13), plain(14)))?;
    area.draw(&Circle::new((117, 36), 4, OWN.mix(0.7).filled()))?;
    let own = if beyond {
        "own bikes: sale prices; those on the right edge cost more"
    } else {
        "own bikes: sale prices"
    };
    area.draw(&Text::new(own, (140, 36), plain(14)))?;
    Ok(())
}
