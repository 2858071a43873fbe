//! Cautions of the books in words: what was seen, why it matters, what to do.

use super::audience::is_in_dollars;
use super::words::percent;
use crate::accounts::QuarterCaution;
use crate::report::text::amounts::exact;
use crate::report::text::counts::listed;
use crate::report::text::dates::long_day;
use crate::trade::{Currency, Money, Quarter};

/// Bikes that a caution names before it only counts them.
const NAMED: usize = 10;

/// A short name for JSON, so that a script need not read the words.
pub fn code(caution: &QuarterCaution) -> &'static str {
    match caution {
        QuarterCaution::NotAdvice => "not_advice",
        QuarterCaution::NotBegun { .. } => "not_begun",
        QuarterCaution::NotOver { .. } => "not_over",
        QuarterCaution::NobodyNamed => "nobody_named",
        QuarterCaution::NoPurchase { .. } => "no_purchase",
        QuarterCaution::Replaced { .. } => "replaced",
        QuarterCaution::NoHours { .. } => "no_hours",
        QuarterCaution::NoInspections => "no_inspections",
        QuarterCaution::FrameFailed { .. } => "frame_failed",
        QuarterCaution::NotPassed { .. } => "not_passed",
        QuarterCaution::LargeGift { .. } => "large_gift",
        QuarterCaution::NotNamed { .. } => "not_named",
        QuarterCaution::GivenAhead { .. } => "given_ahead",
        QuarterCaution::Shortfall { .. } => "shortfall",
        QuarterCaution::ShortfallEnded { .. } => "shortfall_ended",
        QuarterCaution::OtherShare { .. } => "other_share",
        QuarterCaution::Corrected { .. } => "corrected",
    }
}

/// The caution as a few sentences.
#[allow(clippy::too_many_lines, reason = "a sentence for each caution")]
pub fn words(caution: &QuarterCaution, currency: &Currency) -> String {
    let money = |amount: Money| format!("{} {currency}", exact(amount, currency));
    match caution {
        QuarterCaution::NotAdvice => format!(
            "These are records, not tax or legal advice. Who buys a bike has bought a bike and made no gift.{} A sold \
             bike is ridden: this report is no safety check.",
            if is_in_dollars(currency) {
                " Giving the money away does not by itself take it out of the seller's income."
            } else {
                ""
            }
        ),
        QuarterCaution::NotBegun { from } => format!(
            "The quarter begins on {}: so far it only carries on what was owed before.",
            long_day(*from)
        ),
        QuarterCaution::NotOver { to } => format!(
            "The quarter goes on until {}: these are its figures so far.",
            long_day(*to)
        ),
        QuarterCaution::NobodyNamed => {
            "The book names no beneficiary, so what is due is owed to nobody by name. To name one: \
             wheelworth rule --from DAY --beneficiary NAME, from the first day of a quarter on."
                .into()
        }
        QuarterCaution::NoPurchase { bikes } => format!(
            "No purchase cost is known of {}: it counts as 0. If there was one, record it with 'record cost --kind \
             purchase'.",
            some(bikes)
        ),
        QuarterCaution::Replaced {
            bike,
            column,
            said,
            counted,
        } => format!(
            "{bike}: the costs add up to {} where the sales say {} ({column}). The costs count; if some are \
             missing, record them.",
            money(*counted),
            money(*said)
        ),
        QuarterCaution::NoHours { bikes } => format!(
            "No hours are known of {}: nothing says what an hour of them earned.",
            some(bikes)
        ),
        QuarterCaution::NoInspections => {
            "No inspections are recorded. 'wheelworth inspect --blank SHEET.csv' makes a sheet for the next bike.".into()
        }
        QuarterCaution::FrameFailed { bikes } => format!(
            "{} {} sold although the frame had failed at the last inspection. If it was not for the parts alone, \
             tell the buyer at once not to ride it.",
            some(bikes),
            if bikes.len() == 1 { "was" } else { "were" }
        ),
        QuarterCaution::NotPassed { bikes } => format!(
            "{} {} sold without a passed inspection on record. Keep one before a bike is handed over: 'wheelworth \
             inspect SHEET.csv --bike ID'.",
            some(bikes),
            if bikes.len() == 1 { "was" } else { "were" }
        ),
        QuarterCaution::LargeGift { gift } => format!(
            "The gift of {} to {} on {} is a single one of 250 or more.{}",
            money(gift.amount),
            gift.beneficiary,
            long_day(gift.on),
            if is_in_dollars(currency) {
                " In the United States a giver who wants to deduct such a gift needs a written acknowledgment of it from \
                 whoever received it (IRS Publication 1771, Rev. 3-2016)."
            } else {
                ""
            }
        ),
        QuarterCaution::NotNamed { beneficiary, like } => {
            let like = like.as_ref().map_or(String::new(), |like| {
                format!(" If {like} is meant, correct the gift.")
            });
            format!("{beneficiary} is no beneficiary of the book, so nothing is due there.{like}")
        }
        QuarterCaution::GivenAhead { beneficiary, by } => format!(
            "{} more was handed over than was due{}: it is given ahead and counts towards what is due next.",
            money(*by),
            beneficiary
                .as_ref()
                .map_or(String::new(), |who| format!(" to {who}"))
        ),
        QuarterCaution::Shortfall { amount } => format!(
            "A shortfall of {} goes into the next quarter: so far the costs, or what was handed back to buyers, were \
             more than the sale prices. Nothing is due, and it is taken off what is left then.",
            money(*amount)
        ),
        QuarterCaution::ShortfallEnded { amount } => format!(
            "A shortfall of {} of earlier quarters ended here, because the rule is 'give price' now, under which no \
             cost counts. What was handed back to buyers before is not taken off any more either.",
            money(*amount)
        ),
        QuarterCaution::OtherShare {
            of,
            bikes,
            shares: [then, now],
            more,
        } => format!(
            "What is handed back or corrected of {of} ({}) counts at this quarter's share, {}. At the {} of that \
             quarter {} {} would be due.",
            some(bikes),
            percent(*now),
            percent(*then),
            money(Money::from_minor(more.minor().saturating_abs())),
            if *more > Money::ZERO { "more" } else { "less" }
        ),
        QuarterCaution::Corrected { quarters } => {
            let names: Vec<String> = quarters.iter().map(Quarter::to_string).collect();
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            format!(
                "Records of {} changed after {} closed. {} report stands as it was, and the difference is counted \
                 in this quarter.",
                listed(&names),
                if names.len() == 1 {
                    "it was"
                } else {
                    "they were"
                },
                if names.len() == 1 { "Its" } else { "Each" },
            )
        }
    }
}

/// The first of these, and how many more.
fn some(bikes: &[String]) -> String {
    let mut names: Vec<&str> = bikes.iter().take(NAMED).map(String::as_str).collect();
    let more = bikes.len().saturating_sub(NAMED);
    let rest = format!("{more} more");
    if more > 0 {
        names.push(&rest);
    }
    listed(&names)
}
