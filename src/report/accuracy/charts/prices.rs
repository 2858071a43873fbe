//! Prices told beforehand against prices brought, as an SVG picture.

use crate::pricing::accuracy::Accuracy;
use crate::pricing::accuracy::errors::{ToldSale, told_sales};
use crate::pricing::accuracy::trial::Trial;
use crate::pricing::eye::sighting::EyeSource;
use crate::report::chart_style::{Area, COMPS, DrawingError, GRID, INK, OWN, letters, plain, svg};
use crate::report::text::shares::level_percent;
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

const HEIGHT: u32 = 640;
/// Lines of a miss by so much.
const MISS: f64 = 0.2;

/// Draws it.
///
/// # Errors
/// What the drawing library says, as text.
pub fn draw(found: &Accuracy) -> Result<String, String> {
    svg(HEIGHT, |root| paint(root, found))
}

fn paint(root: &Area<'_>, found: &Accuracy) -> Result<(), DrawingError> {
    let currency = &found.question.currency;
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    let told = told_sales(found);
    for ToldSale { trial, brought, .. } in &told {
        least = least.min(trial.low).min(*brought);
        most = most.max(trial.high).max(*brought);
    }
    if !(least > 0.0 && most > least && most.is_finite()) {
        (least, most) = (1.0, 1000.0);
    }
    let (low, high) = (least / 1.1, most * 1.1);
    let (main, key) = root.split_vertically(HEIGHT - 62);
    let mut plot = ChartBuilder::on(&main)
        .caption(
            "Predicted before listing, and what each bike sold for",
            ("sans-serif", 20),
        )
        .margin(12)
        .margin_right(64)
        .x_label_area_size(42)
        .y_label_area_size(78)
        .build_cartesian_2d((low..high).log_scale(), (low..high).log_scale())?;
    plot.configure_mesh()
        .light_line_style(WHITE)
        .bold_line_style(GRID)
        .x_desc(format!("actual price in {currency}"))
        .y_desc(format!("predicted price in {currency}"))
        .label_style(("sans-serif", 14))
        .x_label_formatter(&|v| format!("{v:.0}"))
        .y_label_formatter(&|v| format!("{v:.0}"))
        .draw()?;
    for (factor, words) in [(1.0, "exact"), (1.0 + MISS, "+20 %"), (1.0 - MISS, "-20 %")] {
        // Cut where the line leaves the picture.
        let (from, to) = (low.max(low / factor), high.min(high / factor));
        let line = vec![(from, from * factor), (to, to * factor)];
        let width = if factor == 1.0 { 2 } else { 1 };
        plot.draw_series([PathElement::new(line, INK.mix(0.5).stroke_width(width))])?;
        let (across, place) = if factor > 1.0 {
            (HPos::Center, (0, -7))
        } else {
            (HPos::Left, (5, 0))
        };
        let name = Text::new(words, place, letters(12, INK, across));
        plot.draw_series(std::iter::once(EmptyElement::at((to, to * factor)) + name))?;
    }
    for &ToldSale { trial, brought, .. } in &told {
        let colour = if trial.holds(brought) { OWN } else { COMPS };
        let range = vec![(brought, trial.low), (brought, trial.high)];
        plot.draw_series([PathElement::new(range, colour.mix(0.45).stroke_width(1))])?;
        plot.draw_series([Circle::new((brought, trial.median), 4, colour.filled())])?;
        if let Some(guess) = guess(trial) {
            plot.draw_series([Cross::new((brought, guess), 4, INK.stroke_width(1))])?;
        }
    }
    key_of(&key, &told, &level_percent(found.question.level))
}

/// What the user had guessed.
fn guess(trial: &Trial) -> Option<f64> {
    let eye = trial.eye.filter(|eye| eye.from == EyeSource::Guess)?;
    Some(eye.said)
}

fn key_of(area: &Area<'_>, told: &[ToldSale<'_>], level: &str) -> Result<(), DrawingError> {
    let held = told
        .iter()
        .filter(|sale| sale.trial.holds(sale.brought))
        .count();
    area.draw(&Circle::new((90, 12), 4, OWN.filled()))?;
    let words = format!(
        "{held} fell into the {level} range (the thin line); a price on the middle line was predicted exactly"
    );
    area.draw(&Text::new(words, (102, 12), plain(14)))?;
    area.draw(&Circle::new((90, 36), 4, COMPS.filled()))?;
    let words = format!("{} did not", told.len() - held);
    area.draw(&Text::new(words, (102, 36), plain(14)))?;
    let guesses = told.iter().filter(|sale| guess(sale.trial).is_some());
    let guesses = guesses.count();
    if guesses > 0 {
        area.draw(&Cross::new((210, 36), 4, INK.stroke_width(1)))?;
        let words = format!("your own guess, for {guesses} of them");
        area.draw(&Text::new(words, (222, 36), plain(14)))?;
    }
    Ok(())
}
