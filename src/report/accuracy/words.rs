//! How prices held up, in sentences.

use crate::pricing::accuracy::Accuracy;
use crate::pricing::accuracy::drift::{Moved, OverAll};
use crate::pricing::accuracy::rule_study::RuleFigures;
use crate::pricing::accuracy::study::{FEWEST, Figures};
use crate::pricing::accuracy::trial::Regraded;
use crate::pricing::accuracy::worst::LooksLike;
use crate::report::market::words::{change, many};
use crate::report::quote::text::level_percent;
use crate::report::text::amounts::{percent, plain};
use crate::trade::Currency;

/// A median miss up to which a price is worth more than a first guess (judgement).
const GOOD: f64 = 0.15;
/// One from which on it is hardly worth leaning on (judgement).
const POOR: f64 = 0.25;

/// A steered level so far from the one asked for is told: about two misses in a
/// row (judgement).
const WORTH_STEERING: f64 = 0.05;

/// Which of the two trials a sentence is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The back-test.
    BackTest,
    /// Leave-one-out.
    LeaveOneOut,
}

impl Kind {
    /// Its short name for JSON.
    pub fn code(self) -> &'static str {
        match self {
            Kind::BackTest => "back_test",
            Kind::LeaveOneOut => "leave_one_out",
        }
    }
}

/// The figures that the verdict goes by: those of the back-test, where there are any.
pub fn leading(found: &Accuracy) -> Option<(Kind, usize, &Figures)> {
    let back = &found.back_test;
    let left_out = &found.leave_one_out;
    let of = |kind, sales, figures: &'_ Option<Figures>| figures.as_ref().map(|_| (kind, sales));
    let (kind, sales) = of(Kind::BackTest, back.sales, &back.figures)
        .or_else(|| of(Kind::LeaveOneOut, left_out.sales, &left_out.figures))?;
    let figures = match kind {
        Kind::BackTest => back.figures.as_ref(),
        Kind::LeaveOneOut => left_out.figures.as_ref(),
    };
    figures.map(|figures| (kind, sales, figures))
}

/// The best rule of thumb among those that had something to say of half of the
/// sales at least.
pub fn best_rule(
    found: &Accuracy,
    kind: Kind,
    sales: usize,
) -> Option<(&'static str, RuleFigures)> {
    let figures = found.rules.iter().filter_map(|rule| {
        let of = match kind {
            Kind::BackTest => rule.back_test,
            Kind::LeaveOneOut => rule.leave_one_out,
        };
        of.filter(|of| 2 * of.sales >= sales)
            .map(|of| (rule.rule, of))
    });
    figures.min_by(|a, b| a.1.mdape.total_cmp(&b.1.mdape))
}

/// One plain sentence.
pub fn verdict(found: &Accuracy) -> String {
    let sold = found.sold();
    let Some((kind, sales, figures)) = leading(found) else {
        return match sold {
            0 => "No sale of your own to try the prices on yet: they rest on comps and on the shipped beliefs, so take \
                  the range at its word, not the middle of it."
                .into(),
            _ => format!(
                "{} so far are too few to tell how good the prices are (figures begin at {FEWEST}): go by their ranges, \
                 and record each sale.",
                many(sold, "own sale")
            ),
        };
    };
    let told = match kind {
        Kind::BackTest => "told before listing",
        Kind::LeaveOneOut => "told from all other records",
    };
    let missed = format!(
        "On {} of your own the price {told} missed by {} in the middle case",
        many(sales, "sale"),
        one_percent(figures.mdape)
    );
    let rule = best_rule(found, kind, sales);
    let beside = rule.map_or(String::new(), |(name, of)| {
        let (model, rule) = (of.model_mdape, of.mdape);
        if rule < model {
            format!(
                ", and '{name}' by less ({} on the same sales)",
                one_percent(rule)
            )
        } else {
            format!(", '{name}' by {}", one_percent(rule))
        }
    });
    let held = (figures.coverage * sales as f64).round();
    let level = level_percent(found.question.level);
    let ranges = format!("{held:.0} of {sales} fell into the {level} range");
    let (low, high) = figures.coverage_interval;
    let asked = found.question.level;
    let too_narrow = high < asked;
    let beaten = rule.is_some_and(|(_, of)| of.mdape < of.model_mdape);
    let advice = match () {
        () if too_narrow => {
            "the ranges were too narrow, so be ready for more and for less than they say"
        }
        () if figures.mdape > POOR => {
            "that is too far off to lean on alone, so look at the nearest comps as well"
        }
        () if beaten => "so hold the price against that rule before you ask",
        () if low > asked => "the ranges were wider than they need be, so lean on the price",
        () if sales < 20 => "a good start, on few sales",
        () if figures.mdape <= GOOD => "lean on the price, and on its range",
        () => "lean on the range rather than on the price alone",
    };
    format!("{missed}{beside}; {ranges}: {advice}.")
}

/// `11.7 %`.
pub fn one_percent(fraction: f64) -> String {
    format!("{:.1} %", 100.0 * fraction)
}

/// What the running errors say, a sentence each; empty where there are too few.
pub fn drift(found: &Accuracy) -> Vec<String> {
    let drift = &found.drift;
    let mut said = Vec::new();
    if let Some(moved) = &drift.moved {
        said.push(has_moved(moved));
    }
    match &drift.lean {
        Some(lean) if lean.is_clear() => said.push(leans(lean)),
        Some(lean) if drift.moved.is_none() => said.push(format!(
            "No sign that the market has moved away from the prices, nor that your sales lean to one side ({} on \
             average).",
            change(lean.ln_ratio.exp_m1())
        )),
        _ => {}
    }
    said.extend(steering(found));
    said
}

/// What level would hold what is asked, where the ranges have failed of late.
/// Narrower ones are spoken of only where all sales say so.
fn steering(found: &Accuracy) -> Option<String> {
    let (drift, level) = (&found.drift, found.question.level);
    let steered = drift.steered?;
    let (_, _, figures) = leading(found)?;
    let side = if steered.level >= level + WORTH_STEERING {
        "narrow"
    } else if steered.level <= level - WORTH_STEERING && figures.coverage_interval.0 > level {
        "wide"
    } else {
        return None;
    };
    Some(format!(
        "The ranges have been too {side} of late: to hold {} of the next sales, ask for --level {:.2} (ranges \
         steered by their own misses would have held {} of {}).",
        level_percent(level),
        steered.level.clamp(0.01, 0.99),
        percent(steered.held),
        many(drift.sales, "sale")
    ))
}

fn has_moved(moved: &Moved) -> String {
    let side = if moved.ln_ratio > 0.0 { "more" } else { "less" };
    let part = one_percent(moved.ln_ratio.exp_m1().abs());
    let since = format!(
        "The market has moved: the {} from {} to {} brought {part} {side} than was told beforehand, more than chance \
         makes",
        many(moved.sales, "sale"),
        moved.since,
        moved.clear_on
    );
    match moved.ln_ratio_after {
        Some(after) if after.abs() < moved.ln_ratio.abs() / 3.0 => format!(
            "{since}. Those after it lie {} off: the prices have caught up.",
            change(after.exp_m1())
        ),
        Some(after) if after * moved.ln_ratio > 0.0 => format!(
            "{since}. Those after it still lie {} off: import comps of these weeks, and lean to that side.",
            change(after.exp_m1())
        ),
        _ => format!(
            "{since}. Import comps of these weeks, and lean to that side until the prices have caught up."
        ),
    }
}

fn leans(lean: &OverAll) -> String {
    let part = change(lean.ln_ratio.exp_m1());
    if lean.scores.mean > 0.0 {
        format!(
            "Your sales run above the model: they bring {part} against what is told, on average. You may ask a little \
             more than it says."
        )
    } else {
        format!(
            "Your sales run below the model: they bring {part} against what is told, on average. Ask a little less \
             than it says, or look whether bikes are graded too well."
        )
    }
}

/// What a miss looks like.
pub fn looks_like(what: LooksLike, currency: &Currency) -> String {
    match what {
        LooksLike::SlippedDecimal(money) => format!(
            "a typo: with its decimal point moved it would be {}, which was likely; look at the record",
            plain(money, currency)
        ),
        LooksLike::SwappedDigits(money) => format!(
            "a typo: with two digits swapped it would be {}, which was likely; look at the record",
            plain(money, currency)
        ),
        LooksLike::Grade(Regraded::Condition(condition)) => format!(
            "a wrong grade: as condition {} ({condition}) it would have been told about right",
            condition.grade()
        ),
        LooksLike::Grade(Regraded::Tier(tier)) => format!(
            "a wrong grade: as tier {} ({tier}) it would have been told about right",
            tier.grade()
        ),
        LooksLike::MarketMoved => {
            "the market moving: other sales of those months lie on the same side".into()
        }
        LooksLike::Unrecorded => {
            "something the record does not hold: you asked as far from the price told as it brought"
                .into()
        }
        LooksLike::Chance => "chance: one buyer, one day".into(),
    }
}

/// A short name of the same for JSON.
pub fn looks_like_code(what: LooksLike) -> &'static str {
    match what {
        LooksLike::SlippedDecimal(_) => "slipped_decimal",
        LooksLike::SwappedDigits(_) => "swapped_digits",
        LooksLike::Grade(Regraded::Condition(_)) => "wrong_condition",
        LooksLike::Grade(Regraded::Tier(_)) => "wrong_tier",
        LooksLike::MarketMoved => "market_moved",
        LooksLike::Unrecorded => "unrecorded",
        LooksLike::Chance => "chance",
    }
}
