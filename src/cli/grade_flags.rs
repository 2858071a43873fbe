//! Condition and tier as flags: their help, and a refusal that says what the words mean.

use super::failure::Failure;
use super::flag_values::read;
use crate::intake;
use crate::report::text::grades::{conditions, tiers};
use crate::trade::{Condition, Tier};

/// Reads `--condition`, or another flag that takes a condition.
///
/// # Errors
/// Any text that is no condition; the words and what they mean are told.
pub(super) fn condition(flag: &str, text: Option<&String>) -> Result<Option<Condition>, Failure> {
    read(flag, text, intake::parse_condition).map_err(|failure| with_words(failure, conditions()))
}

/// Reads `--tier`.
///
/// # Errors
/// Any text that is no tier; the words and what they mean are told.
pub(super) fn tier(text: Option<&String>) -> Result<Option<Tier>, Failure> {
    read("--tier", text, intake::parse_tier).map_err(|failure| with_words(failure, tiers()))
}

/// The failure with a line for each word.
fn with_words(failure: Failure, words: Vec<String>) -> Failure {
    failure.with_hint(format!("the words mean\n{}", indented(words)))
}

/// Lines of their own below a hint.
fn indented(lines: Vec<String>) -> String {
    let lines = lines.into_iter().map(|line| format!("    {line}"));
    lines.collect::<Vec<_>>().join("\n")
}

/// What is to be known of a bike, for somebody who has given nothing yet, with an
/// `example` of a command.
pub(super) fn what_to_give(example: &str) -> String {
    format!(
        "Give what you know of it; what you leave out only makes the range wider.\n\
         \x20 --style      road hybrid mountain city cruiser touring folding kids other\n\
         \x20 --made       its model year, or the years it may be of: 2012, 2010..2013, 90s\n\
         \x20 --condition  as the buyer gets it\n{}\n\
         \x20 --tier       how good its parts are\n{}\n\
         \x20 --seat-tube  length of the frame's seat tube: 53cm, 21in, or M\n\
         \x20 --new-price  what the same or the nearest bike costs new today\n\
         For example: wheelworth {example}",
        indented(conditions()),
        indented(tiers())
    )
}
