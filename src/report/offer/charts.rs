//! From 'as found' to 'done' by the jobs that are advised, and what the others would add,
//! as an SVG picture.

use super::words::rule;
use crate::pricing::offer::{JobWorth, Offer};
use crate::report::chart_style::{Area, BELIEF, COMPS, DrawingError, GRID, INK, OWN, letters, svg};
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
const FOOT: i32 = 128;
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
    // What is not advised leads nowhere: it stands below, each job by itself.
    let chosen = offer.best.as_ref();
    let (advised, others): (Vec<&JobWorth>, Vec<&JobWorth>) = offer
        .jobs
        .iter()
        .partition(|one| chosen.is_none() || one.in_best);
    let after = chosen.map_or(done.median, |best| best.value.median);
    let bottom = HEAD + ROW * (offer.jobs.len() as i32 + 2);
    svg((bottom + FOOT) as u32, |root| {
        let title = format!("From as found to done, in {currency}");
        root.draw(&Text::new(title, (24, 28), letters(20, INK, HPos::Left)))?;
        let line = vec![(FROM, HEAD - 8), (FROM, bottom)];
        root.draw(&PathElement::new(line, GRID.stroke_width(1)))?;
        let rows = Rows {
            root,
            top: top(offer, found.median.max(after), currency),
            currency,
        };
        rows.whole(0, "as found", found.median)?;
        let mut before = found.median;
        for (place, one) in (1..).zip(&advised) {
            before = rows.job(place, one, before)?;
        }
        let place = advised.len() as i32 + 1;
        rows.whole(place, "done, as advised", after)?;
        for (place, one) in (place + 1..).zip(&others) {
            rows.job(place, one, after)?;
        }
        key(root, offer, bottom + 14)
    })
}

/// What the scale reaches to, in units.
fn top(offer: &Offer, highest: Money, currency: &Currency) -> f64 {
    let units = |m: Money| currency.units(m);
    let above = offer.jobs.iter().map(|one| units(one.uplift.high));
    let most = above.fold(0.0, f64::max);
    (units(highest) + most).max(1.0 / currency.scale() as f64)
}

/// Rows of bars, each with a name at its left and an amount at its right.
struct Rows<'r, 'a> {
    root: &'r Area<'a>,
    top: f64,
    currency: &'r Currency,
}

impl Rows<'_, '_> {
    fn across(&self, units: f64) -> i32 {
        FROM + (f64::from(TO - FROM) * units / self.top).round() as i32
    }

    fn words(&self, y: i32, name: &str, amount: String) -> Result<(), DrawingError> {
        let style = letters(14, INK, HPos::Right);
        let name = Text::new(cut(name, NAME), (FROM - 10, y), style.clone());
        self.root.draw(&name)?;
        self.root.draw(&Text::new(amount, (884, y), style))?;
        Ok(())
    }

    /// A value, from 0 on.
    fn whole(&self, place: i32, name: &str, value: Money) -> Result<(), DrawingError> {
        let y = middle(place);
        let end = self.across(self.currency.units(value));
        let bar = [(FROM, y - 9), (end, y + 9)];
        self.root.draw(&Rectangle::new(bar, BELIEF.filled()))?;
        self.words(y, name, exact(value, self.currency))
    }

    /// What a job adds to the value before it, with its range; the value after it.
    fn job(&self, place: i32, one: &JobWorth, before: Money) -> Result<Money, DrawingError> {
        let y = middle(place);
        let after = Money::from_minor(before.minor() + one.uplift.median.minor());
        let units = |m: Money| self.currency.units(m);
        let colour = if one.in_best { OWN } else { COMPS };
        let from = self.across(units(before));
        let bar = [
            (from, y - 9),
            (self.across(units(after)).max(from + 1), y + 9),
        ];
        self.root.draw(&Rectangle::new(bar, colour.filled()))?;
        let end = |of: Money| (self.across(units(before) + units(of)), y);
        let whisker = vec![end(one.uplift.low), end(one.uplift.high)];
        // With a light edge, so that it is seen on the bar too.
        let edge = PathElement::new(whisker.clone(), WHITE.stroke_width(5));
        self.root.draw(&edge)?;
        let line = PathElement::new(whisker, INK.stroke_width(2));
        self.root.draw(&line)?;
        let safety = if one.safety { " (safety)" } else { "" };
        let name = format!("{}{safety}", one.job.name);
        self.words(y, &name, signed(one.uplift.median, self.currency))?;
        Ok(after)
    }
}

/// The middle of a row.
fn middle(place: i32) -> i32 {
    HEAD + ROW * place + ROW / 2
}

fn key(root: &Area<'_>, offer: &Offer, y: i32) -> Result<(), DrawingError> {
    for (x, colour, words) in [
        (24, OWN, "advised"),
        (130, COMPS, "not advised: what it would add by itself"),
        (470, BELIEF, "worth"),
    ] {
        let square = [(x, y - 6), (x + 16, y + 6)];
        root.draw(&Rectangle::new(square, colour.filled()))?;
        let style = letters(13, INK, HPos::Left);
        root.draw(&Text::new(words, (x + 24, y), style))?;
    }
    let level = level_percent(offer.as_found.question.level);
    let whisker = format!("line: {level} range of what it adds");
    root.draw(&Text::new(whisker, (560, y), letters(13, INK, HPos::Left)))?;
    let mut said = wrap(rule(offer), LINE, "", "");
    if offer.jobs.iter().any(|one| !one.in_best) {
        let words = "A job's bar is its part with all jobs done, so the advised ones need not add up exactly to 'done, as \
                     advised'.";
        said.extend(wrap(words, LINE, "", ""));
    }
    for (place, words) in (1..).zip(said) {
        let style = letters(12, INK, HPos::Left);
        root.draw(&Text::new(words, (24, y + 4 + 18 * place), style))?;
    }
    Ok(())
}
