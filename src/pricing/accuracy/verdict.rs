//! What the figures come to: the trial that leads, the best rule of thumb beside
//! it, and what to make of prices and ranges.

use super::Accuracy;
use super::drift::{Moved, Steered};
use super::rule_study::RuleFigures;
use super::study::Figures;

/// A median miss up to which a price is worth more than a first guess (judgement).
const GOOD: f64 = 0.15;
/// One from which on it is hardly worth leaning on (judgement).
const POOR: f64 = 0.25;
/// Sales below which good figures are a good start only (judgement).
const FEW: usize = 20;

/// A steered level so far from the one asked for is told: about two misses in a
/// row (judgement).
const WORTH_STEERING: f64 = 0.05;

/// One of the two trials.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrialKind {
    /// Priced by what was known on the day before the listing.
    BackTest,
    /// Priced by all other records.
    LeaveOneOut,
}

/// What the figures come to.
#[derive(Clone, Copy, Debug)]
pub struct AccuracyVerdict<'a> {
    /// The trial it goes by: the back-test, where that has figures.
    pub kind: TrialKind,
    /// Its sales.
    pub sales: usize,
    /// Its figures.
    pub figures: &'a Figures,
    /// The best rule of thumb among those that had something to say of half of the
    /// sales at least, by name.
    pub rule: Option<(&'static str, RuleFigures)>,
    /// What to make of the prices.
    pub advice: Advice,
}

/// What to make of prices and ranges.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Advice {
    /// The ranges were too narrow.
    RangesTooNarrow,
    /// The median miss is too large to lean on the price alone.
    TooFarOff,
    /// A rule of thumb missed by less.
    RuleIsBetter,
    /// The ranges were wider than they need be.
    RangesTooWide,
    /// Good so far, on few sales.
    FewSales,
    /// Price and range have held up.
    Good,
    /// The range has held up, the price less so.
    RangeRather,
}

/// `None` where the sales are too few for figures.
pub fn verdict(found: &Accuracy) -> Option<AccuracyVerdict<'_>> {
    let (kind, study) = [
        (TrialKind::BackTest, &found.back_test),
        (TrialKind::LeaveOneOut, &found.leave_one_out),
    ]
    .into_iter()
    .find(|(_, study)| study.figures.is_some())?;
    let figures = study.figures.as_ref()?;
    let rule = best_rule(found, kind, study.sales);
    Some(AccuracyVerdict {
        kind,
        sales: study.sales,
        figures,
        rule,
        advice: advice(found.question.level, study.sales, figures, rule),
    })
}

fn best_rule(
    found: &Accuracy,
    kind: TrialKind,
    sales: usize,
) -> Option<(&'static str, RuleFigures)> {
    let figures = found.rules.iter().filter_map(|rule| {
        let of = match kind {
            TrialKind::BackTest => rule.back_test,
            TrialKind::LeaveOneOut => rule.leave_one_out,
        };
        of.filter(|of| 2 * of.sales >= sales)
            .map(|of| (rule.rule, of))
    });
    figures.min_by(|a, b| a.1.mdape.total_cmp(&b.1.mdape))
}

fn advice(
    level: f64,
    sales: usize,
    figures: &Figures,
    rule: Option<(&'static str, RuleFigures)>,
) -> Advice {
    let (low, high) = figures.coverage_interval;
    match () {
        () if high < level => Advice::RangesTooNarrow,
        () if figures.mdape > POOR => Advice::TooFarOff,
        () if rule.is_some_and(|(_, of)| of.mdape < of.model_mdape) => Advice::RuleIsBetter,
        () if low > level => Advice::RangesTooWide,
        () if sales < FEW => Advice::FewSales,
        () if figures.mdape <= GOOD => Advice::Good,
        () => Advice::RangeRather,
    }
}

/// On which side the ranges have failed of late.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RangeFault {
    /// They held too little.
    Narrow,
    /// They held too much.
    Wide,
}

/// What level would hold what is asked, where the ranges have failed of late.
/// Narrower ones are spoken of only where all sales say so.
pub fn steering(found: &Accuracy) -> Option<(RangeFault, Steered)> {
    let level = found.question.level;
    let steered = found.drift.steered?;
    let figures = verdict(found)?.figures;
    let fault = range_fault(level, steered.level, figures.coverage_interval.0)?;
    Some((fault, steered))
}

/// On which side ranges of `level` failed, where `steered` is the level that would have
/// held it of late, and all sales say that at least `held` of them are held.
fn range_fault(level: f64, steered: f64, held: f64) -> Option<RangeFault> {
    if steered >= level + WORTH_STEERING {
        Some(RangeFault::Narrow)
    } else if steered <= level - WORTH_STEERING && held > level {
        Some(RangeFault::Wide)
    } else {
        None
    }
}

/// Where prices stand after a move of the market.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AfterMove {
    /// They have caught up: the mean of ln (brought / told) since is a third of the
    /// move's at most.
    CaughtUp(f64),
    /// They still lie on the side of the move, by this mean of ln (brought / told).
    StillOff(f64),
    /// Nothing says yet.
    Unknown,
}

/// Whether prices have caught up with a move.
pub fn after_move(moved: &Moved) -> AfterMove {
    match moved.ln_ratio_after {
        Some(after) if after.abs() < moved.ln_ratio.abs() / 3.0 => AfterMove::CaughtUp(after),
        Some(after) if after * moved.ln_ratio > 0.0 => AfterMove::StillOff(after),
        _ => AfterMove::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::{AfterMove, RangeFault, after_move, range_fault};
    use crate::pricing::accuracy::drift::Moved;
    use crate::trade::Day;

    /// A move of 0.3 that the prices have followed by a third or better is caught up; what
    /// lies on its other side says nothing of it.
    #[test]
    fn prices_catch_up_by_a_third_of_the_move() {
        let day = Day::constant(2026, 3, 1);
        let after = |ln_ratio: f64, ln_ratio_after: Option<f64>| {
            after_move(&Moved {
                since: day,
                clear_on: day,
                sales: 9,
                ln_ratio,
                ln_ratio_after,
            })
        };
        for side in [1.0, -1.0] {
            let of = |after_it: f64| after(0.3 * side, Some(after_it * side));
            assert_eq!(of(0.09), AfterMove::CaughtUp(0.09 * side));
            assert_eq!(of(-0.09), AfterMove::CaughtUp(-0.09 * side));
            assert_eq!(of(0.11), AfterMove::StillOff(0.11 * side));
            assert_eq!(of(-0.11), AfterMove::Unknown);
        }
        assert_eq!(after(0.3, None), AfterMove::Unknown);
    }

    #[test]
    fn a_level_is_told_when_it_is_a_twentieth_off() {
        let of = |steered, held| range_fault(0.8, steered, held);
        assert_eq!(of(0.86, 0.7), Some(RangeFault::Narrow));
        assert_eq!(of(0.84, 0.7), None);
        // Wide only where all sales say so too.
        assert_eq!(of(0.74, 0.81), Some(RangeFault::Wide));
        assert_eq!(of(0.74, 0.79), None);
        assert_eq!(of(0.76, 0.81), None);
        assert_eq!(of(0.8, 0.81), None);
    }
}
