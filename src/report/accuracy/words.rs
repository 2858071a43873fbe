//! How prices held up, in sentences.

use crate::pricing::accuracy::Accuracy;
use crate::pricing::accuracy::drift::{Moved, OverAll};
use crate::pricing::accuracy::study::FEWEST;
use crate::pricing::accuracy::trial::Regraded;
use crate::pricing::accuracy::verdict::{
    self, Advice, AfterMove, RangeFault, TrialKind, after_move,
};
use crate::pricing::accuracy::worst::LooksLike;
use crate::report::text::amounts::plain;
use crate::report::text::counts::many;
use crate::report::text::shares::{change, level_percent, one_percent, percent};
use crate::trade::Currency;

/// A short name of a trial for JSON.
pub fn trial_code(kind: TrialKind) -> &'static str {
    match kind {
        TrialKind::BackTest => "back_test",
        TrialKind::LeaveOneOut => "leave_one_out",
    }
}

/// The name of a rule of thumb in plain words.
pub fn rule_name(rule: &str) -> String {
    rule.replace("median of", "middle of")
        .replace("median ask", "middle ask")
}

/// One plain sentence.
pub fn verdict(found: &Accuracy) -> String {
    let sold = found.sold();
    let Some(verdict) = verdict::verdict(found) else {
        return match sold {
            0 => "No sale of your own to try the prices on yet: they rest on comps and on our starting \
                      assumptions, so go by the whole range, not by its middle."
                .into(),
            _ => format!(
                "{} so far are too few to tell how good the prices are (figures begin at {FEWEST}): go by their ranges, \
                 and record each sale.",
                many(sold, "own sale")
            ),
        };
    };
    let (sales, figures) = (verdict.sales, verdict.figures);
    let told = match verdict.kind {
        TrialKind::BackTest => "predicted before listing",
        TrialKind::LeaveOneOut => "predicted from all other records",
    };
    let guessed = found.bikes.iter().any(|bike| bike.sale.guess.is_some());
    let eye = match guessed {
        true => ", with your guess where you gave one,",
        false => "",
    };
    let missed = format!(
        "On {} of your own the price {told}{eye} was off by {} (half were closer)",
        many(sales, "sale"),
        one_percent(figures.mdape)
    );
    let beside = verdict.rule.map_or(String::new(), |(name, of)| {
        let name = rule_name(name);
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
    let advice = match verdict.advice {
        Advice::RangesTooNarrow => {
            "the ranges were too narrow, so be ready for more and for less than they say"
        }
        Advice::TooFarOff => {
            "that is too far off to go by alone, so look at the nearest comps as well"
        }
        Advice::RuleIsBetter => "so compare the price with that rule before you ask",
        Advice::RangesTooWide => "the ranges were wider than needed, so trust the price",
        Advice::FewSales => "a good start, on few sales",
        Advice::Good => "trust the price, and its range",
        Advice::RangeRather => "trust the range rather than the price alone",
    };
    format!("{missed}{beside}; {ranges}: {advice}.")
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
            "No sign that the market has moved away from the prices, or that your sales run to one side ({} on \
             average).",
            change(lean.ln_ratio.exp_m1())
        )),
        _ => {}
    }
    said.extend(steering(found));
    said
}

/// What level would hold what is asked, where the ranges have failed of late.
fn steering(found: &Accuracy) -> Option<String> {
    let (fault, steered) = verdict::steering(found)?;
    let side = match fault {
        RangeFault::Narrow => "narrow",
        RangeFault::Wide => "wide",
    };
    Some(format!(
        "The ranges have been too {side} of late: to hold {} of the next sales, ask for --level {:.2} (ranges \
         steered by their own misses would have held {} of {}).",
        level_percent(found.question.level),
        steered.level.clamp(0.01, 0.99),
        percent(steered.held),
        many(found.drift.sales, "sale")
    ))
}

fn has_moved(moved: &Moved) -> String {
    let side = if moved.ln_ratio > 0.0 { "more" } else { "less" };
    let part = one_percent(moved.ln_ratio.exp_m1().abs());
    let since = format!(
        "The market has moved: the {} from {} to {} sold for {part} {side} than predicted, more than chance \
         makes",
        many(moved.sales, "sale"),
        moved.since,
        moved.clear_on
    );
    match after_move(moved) {
        AfterMove::CaughtUp(after) => format!(
            "{since}. Those after it lie {} off: the prices have caught up.",
            change(after.exp_m1())
        ),
        AfterMove::StillOff(after) => format!(
            "{since}. Those after it still lie {} off: import comps of these weeks, and ask {side} than the \
             prices say.",
            change(after.exp_m1())
        ),
        AfterMove::Unknown => format!(
            "{since}. Import comps of these weeks, and ask {side} than the prices say until they have caught up."
        ),
    }
}

fn leans(lean: &OverAll) -> String {
    let part = change(lean.ln_ratio.exp_m1());
    if lean.scores.mean > 0.0 {
        format!(
            "Your sales run above the predictions: {part} on average. You may ask a little more than they say."
        )
    } else {
        format!(
            "Your sales run below the predictions: {part} on average. Ask a little less than they say, or look whether bikes are graded too well."
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
            "a wrong grade: as condition {} ({condition}) it would have been predicted about right",
            condition.grade()
        ),
        LooksLike::Grade(Regraded::Tier(tier)) => format!(
            "a wrong grade: as tier {} ({tier}) it would have been predicted about right",
            tier.grade()
        ),
        LooksLike::MarketMoved => {
            "the market moving: other sales of those months lie on the same side".into()
        }
        LooksLike::Unrecorded => {
            "something the record does not hold: you asked about as far from the prediction as it sold for"
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
