//! Whether the running errors drift: the market has moved, or sales lean.

use super::trial::OwnBike;
use crate::statistics::distribution::normal;
use crate::statistics::evaluation::adaptive::AdaptiveLevel;
use crate::statistics::evaluation::drift;
use crate::statistics::evaluation::drift::Lean;
use crate::trade::Day;
use crate::trade::calendar::days_between;

/// Slack of the cumulative sums, in standard deviations: half of the shift that
/// is to be found. With [`LIMIT`] a calm series of sales is called moved once in
/// 465 sales, one that shifted by a standard deviation after 10 (run lengths of
/// [`drift`]).
pub const SLACK: f64 = 0.5;
/// Limit of the cumulative sums, in standard deviations.
pub const LIMIT: f64 = 5.0;

/// Confidence of the lean.
pub const CONFIDENCE: f64 = 0.95;

/// A move that ended more sales ago than this, and longer ago than a year, is no news.
const RECENT: usize = 10;
const A_YEAR: i64 = 365;
/// Sales that must come before a move: a run from the first sale on says that
/// the prices began in the wrong place, not that the market went anywhere.
const BEFORE_A_MOVE: usize = 5;

/// What the errors of the back-test say in the order of sale.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drift {
    /// Sales that were judged.
    pub sales: usize,
    /// How they lean on the whole; `None` below five.
    pub lean: Option<OverAll>,
    /// The latest move that is still news.
    pub moved: Option<Moved>,
    /// Where ranges steered by their misses would stand; `None` below five.
    pub steered: Option<Steered>,
}

/// Ranges whose level is steered by their own misses: each miss widens the next
/// ranges, each hit narrows them a little, so that in the long run they hold what
/// is asked whatever the market does (Gibbs & Candès 2021, *Adaptive conformal
/// inference under distribution shift*).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steered {
    /// The level to ask for after the last sale.
    pub level: f64,
    /// Share of the sales that the steered ranges would have held.
    pub held: f64,
}

/// How far one miss moves the level (Gibbs & Candès take 0.005 for thousands of
/// outcomes; here there are dozens: judgement).
const RATE: f64 = 0.05;

fn steered(scores: &[f64], level: f64) -> Steered {
    let mut steering = AdaptiveLevel::new(1.0 - level, RATE);
    let mut missed_by_now = 0;
    for score in scores {
        let missed = match steering.alpha {
            // The whole line, and nothing.
            alpha if alpha <= 0.0 => false,
            alpha if alpha >= 1.0 => true,
            alpha => score.abs() > normal::quantile(1.0 - alpha / 2.0),
        };
        missed_by_now += usize::from(missed);
        steering.saw(missed);
    }
    Steered {
        level: 1.0 - steering.alpha,
        held: 1.0 - missed_by_now as f64 / scores.len().max(1) as f64,
    }
}

/// How sales lie around what was told of them beforehand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverAll {
    /// Mean of their normal scores, with its interval.
    pub scores: Lean,
    /// Mean of ln (brought / told), without the worst tenth on either side.
    pub ln_ratio: f64,
}

impl OverAll {
    /// Whether its interval leaves nought out.
    pub fn is_clear(&self) -> bool {
        let (low, high) = self.scores.interval;
        low > 0.0 || high < 0.0
    }
}

/// A run of sales on one side that chance does not make.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// Sale with which it began.
    pub since: Day,
    /// Sale with which it was clear.
    pub clear_on: Day,
    /// Sales from the one to the other.
    pub sales: usize,
    /// Their mean ln (brought / told beforehand): above 0 they brought more.
    pub ln_ratio: f64,
    /// The same over the sales since then; `None` where there are fewer than three.
    pub ln_ratio_after: Option<f64>,
}

/// Sales that say how it went on after a move.
const AFTER: usize = 3;

impl Drift {
    /// From the bikes in the order of sale, with ranges of probability `level`.
    pub fn of(bikes: &[OwnBike], as_of: Day, level: f64) -> Self {
        // (day of sale, score, ln ratio)
        let seen: Vec<(Day, f64, f64)> = bikes
            .iter()
            .filter_map(|bike| {
                let trial = bike.before.as_ref()?;
                let ln_ratio = (bike.brought? / trial.median).ln();
                Some((bike.sale.sold?.on, trial.score?, ln_ratio))
            })
            .collect();
        let scores: Vec<f64> = seen.iter().map(|s| s.1).collect();
        let ratios: Vec<f64> = seen.iter().map(|s| s.2).collect();
        let mean = |part: &[f64]| part.iter().sum::<f64>() / part.len() as f64;
        let moved = drift::signals(&scores, SLACK, LIMIT)
            .into_iter()
            .rfind(|signal| {
                let since = seen.len() - 1 - signal.at;
                let days = days_between(seen[signal.at].0, as_of);
                signal.began >= BEFORE_A_MOVE && (since < RECENT || days <= A_YEAR)
            })
            .map(|signal| {
                let after = &ratios[signal.at + 1..];
                Moved {
                    since: seen[signal.began].0,
                    clear_on: seen[signal.at].0,
                    sales: signal.at + 1 - signal.began,
                    ln_ratio: mean(&ratios[signal.began..=signal.at]),
                    ln_ratio_after: (after.len() >= AFTER).then(|| mean(after)),
                }
            });
        let lean = drift::lean(&scores, CONFIDENCE).map(|scores| OverAll {
            scores,
            ln_ratio: trimmed_mean(ratios),
        });
        Self {
            sales: seen.len(),
            steered: lean.map(|_| steered(&scores, level)),
            lean,
            moved,
        }
    }
}

/// Mean without the outer tenth on either side; `values` not empty.
fn trimmed_mean(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let off = values.len() / 10;
    let kept = &values[off..values.len() - off];
    kept.iter().sum::<f64>() / kept.len() as f64
}
