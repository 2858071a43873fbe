//! From 'as found' to 'done', job by job, as an SVG picture.

use super::words::rule;
use crate::pricing::offer::Offer;
use crate::report::chart_style::{Area, BELIEF, COMPS, GRID, INK, OWN, Trouble, letters, svg};
use crate::report::text::amounts::{exact, signed};
use crate::report::text::shares::level_percent;
use crate::report::text::wrap::{cut, wrap};
use crate::trade::{Currency, Money};
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

/// Height of a row.
const ROW: i32 = 34;
/// Above the first row and below the last.
const HEAD: i32 = 62;
const FOOT: i32 = 92;
/// Where bars may stand, between names and amounts.
const FROM: i32 = 260;
const TO: i32 = 760;
/// Letters of a name that fit.
const NAME: usize = 34;
/// Letters of a line of the foot.
const LINE: usize = 120;

/// Draws it; the same for the same offer. An offer without a value has no picture.
///
/// # Errors
/// What the drawing library says, as text.
pub fn draw(offer: &Offer, currency: &Currency) -> Result<String, String> {
    let (Some(found), Some(done)) = (offer.as_found.value, offer.done.value) else {
        return Err("there is no value to draw".into());
    };
    let rows = offer.jobs.len() as i32 + 2;
    let height = HEAD + ROW * rows + FOOT;
    svg(height as u32, |root| {
        paint(root, offer, (found.median, done.median), currency)
    })
}

fn paint(
    root: &Area<'_>,
    offer: &Offer,
    (found, done): (Money, Money),
    currency: &Currency,
) -> Result<(), Trouble> {
    let units = |m: Money| currency.units(m);
    let most = offer
        .jobs
        .iter()
        .map(|one| units(one.uplift.high) - units(one.uplift.median))
        .fold(0.0, f64::max);
    let top = (units(done).max(units(found)) + most).max(1.0 / currency.scale() as f64);
    let across = |v: f64| FROM + (f64::from(TO - FROM) * v / top).round() as i32;
    let title = format!("From as found to done, in {currency}");
    root.draw(&Text::new(title, (24, 28), letters(20, INK, HPos::Left)))?;
    let bottom = HEAD + ROW * (offer.jobs.len() as i32 + 2);
    let line = vec![(FROM, HEAD - 8), (FROM, bottom)];
    root.draw(&PathElement::new(line, GRID.stroke_width(1)))?;
    let row = |place: i32| HEAD + ROW * place + ROW / 2;
    let name = |words: &str, y: i32| {
        Text::new(
            cut(words, NAME),
            (FROM - 10, y),
            letters(14, INK, HPos::Right),
        )
    };
    let amount = |words: String, y: i32| Text::new(words, (884, y), letters(14, INK, HPos::Right));
    let whole = |label: &str, value: Money, y: i32| -> Result<(), Trouble> {
        let bar = [(FROM, y - 9), (across(units(value)), y + 9)];
        root.draw(&Rectangle::new(bar, BELIEF.filled()))?;
        root.draw(&name(label, y))?;
        root.draw(&amount(exact(value, currency), y))?;
        Ok(())
    };
    whole("as found", found, row(0))?;
    let mut at = found.minor();
    for (place, one) in (1..).zip(&offer.jobs) {
        let y = row(place);
        let before = units(Money::from_minor(at));
        at += one.uplift.median.minor();
        let after = units(Money::from_minor(at));
        let colour = if one.in_best { OWN } else { COMPS };
        let bar = [
            (across(before), y - 9),
            (across(after).max(across(before) + 1), y + 9),
        ];
        root.draw(&Rectangle::new(bar, colour.filled()))?;
        let (low, high) = (units(one.uplift.low), units(one.uplift.high));
        let whisker = vec![(across(before + low), y), (across(before + high), y)];
        // With a light edge, so that it is seen on the bar too.
        root.draw(&PathElement::new(whisker.clone(), WHITE.stroke_width(5)))?;
        root.draw(&PathElement::new(whisker, INK.stroke_width(2)))?;
        let label = if one.safety {
            format!("{} (safety)", one.job.name)
        } else {
            one.job.name.clone()
        };
        root.draw(&name(&label, y))?;
        root.draw(&amount(signed(one.uplift.median, currency), y))?;
    }
    whole("done", done, row(offer.jobs.len() as i32 + 1))?;
    let key = bottom + 14;
    for (x, colour, words) in [
        (24, OWN, "in the best set of jobs"),
        (230, COMPS, "not in it"),
        (350, BELIEF, "value"),
    ] {
        root.draw(&Rectangle::new(
            [(x, key - 6), (x + 16, key + 6)],
            colour.filled(),
        ))?;
        root.draw(&Text::new(
            words,
            (x + 24, key),
            letters(13, INK, HPos::Left),
        ))?;
    }
    let level = level_percent(offer.as_found.question.level);
    let whisker = format!("line: {level} range of what a job adds");
    root.draw(&Text::new(
        whisker,
        (450, key),
        letters(13, INK, HPos::Left),
    ))?;
    for (place, words) in (1..).zip(wrap(rule(offer), LINE, "", "")) {
        let style = letters(12, INK, HPos::Left);
        root.draw(&Text::new(words, (24, key + 4 + 18 * place), style))?;
    }
    Ok(())
}
