//! What the owner's guess did to a price, in words and as JSON.

use crate::pricing::eye::learnt::FEWEST;
use crate::pricing::eye::sighting::EyeSource;
use crate::pricing::quote::{EyeQuote, Quote};
use crate::report::text::amounts::{plain, round};
use crate::report::text::shares::percent;
use crate::trade::{Currency, Money};
use serde::Serialize;
use std::cmp::Ordering;

/// A guess, as JSON has it.
#[derive(Serialize)]
pub(in crate::report) struct EyeJson {
    guess: f64,
    from: &'static str,
    weight: f64,
    without: f64,
}

/// As JSON.
pub(in crate::report) fn json(eye: &EyeQuote, currency: &Currency) -> EyeJson {
    EyeJson {
        guess: currency.units(eye.guess),
        from: from(eye.from),
        weight: eye.weight,
        without: currency.units(eye.without),
    }
}

/// Where an eye is known from, in one word for JSON.
pub(in crate::report) fn from(source: EyeSource) -> &'static str {
    match source {
        EyeSource::Guess => "guess",
        EyeSource::FirstAsk => "first ask",
        EyeSource::Trade => "trade",
    }
}

/// How good the eye has been, and what the guess did; `None` without one.
pub(super) fn words(quote: &Quote, currency: &Currency) -> Option<String> {
    words_of(quote, "", currency)
}

/// The same; `of` says what the guess is of, where that is not the bike as it stands.
pub(in crate::report) fn words_of(quote: &Quote, of: &str, currency: &Currency) -> Option<String> {
    let (eye, value) = (quote.eye.as_ref()?, quote.value?);
    let moved = moved(eye, of, value.median, currency);
    Some(match eye.misses {
        Some(misses) => {
            let (whose, verb) = match eye.from {
                EyeSource::FirstAsk => ("Your first asks", "have"),
                _ => ("Your own eye", "has"),
            };
            format!(
                "{whose} {verb} missed by {} on {} bikes, price and guess together by {}: {moved}.",
                percent(misses.eye),
                misses.sales,
                percent(misses.with),
            )
        }
        None => format!("By your own eye: {moved}."),
    })
}

/// What the guess counts, and what there is to know of that yet.
pub(in crate::report) fn counts(eye: &EyeQuote) -> String {
    let counts = percent(eye.weight);
    let yet = match eye.misses {
        Some(_) => String::new(),
        None => format!(" How good that eye is will show from {FEWEST} sales with a guess on."),
    };
    format!("Your guess counts {counts}, the price without it the rest.{yet}")
}

fn moved(eye: &EyeQuote, of: &str, to: Money, currency: &Currency) -> String {
    let guess = plain(eye.guess, currency);
    let (before, after) = (round(eye.without, currency), round(to, currency));
    if before == after {
        format!("your {guess}{of} leaves it at {after}")
    } else {
        let beyond = |side: Ordering| to.cmp(&eye.guess) == side && to.cmp(&eye.without) == side;
        let why = match (beyond(Ordering::Less), beyond(Ordering::Greater)) {
            (true, _) => ", as your guesses have run too high",
            (_, true) => ", as your guesses have run too low",
            _ => "",
        };
        format!("your {guess}{of} moves it from {before} to {after}{why}")
    }
}
