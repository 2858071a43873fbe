//! Prices told against prices brought: the figures of a ratio study.

use super::trial::{OwnBike, Trial};
use crate::statistics::distribution::binomial;
use crate::statistics::evaluation::ratio_study::RatioStudy;
use crate::statistics::evaluation::scores::{interval_score, median_absolute_percentage_error};

/// Sales below which there are no figures: of four, one is a quarter of every share.
pub const FEWEST: usize = 5;

/// Sales below which the standard tests an order instead of a slope: the rank
/// correlation is shown beside PRD and PRB, and those are not leant on.
pub const RANKS_BELOW: usize = 20;

/// Confidence of the intervals of the figures.
pub const CONFIDENCE: f64 = 0.95;

/// How prices of one kind (left out, or back-tested) held up.
#[derive(Clone, Debug, PartialEq)]
pub struct Study {
    /// Sales that were priced.
    pub sales: usize,
    /// The figures; `None` below [`FEWEST`] sales.
    pub figures: Option<Figures>,
}

/// The figures; ratios are price told over price brought.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// IAAO, *Standard on Ratio Studies*, 2013.
    pub ratios: RatioStudy,
    /// Median absolute error, a fraction of the price brought.
    pub mdape: f64,
    /// Share of the sales missed by 10 % of their price at most.
    pub within_10: f64,
    /// By 20 % at most.
    pub within_20: f64,
    /// Share that fell into their ranges.
    pub coverage: f64,
    /// Its exact binomial interval.
    pub coverage_interval: (f64, f64),
    /// Mean interval score of the ranges (Gneiting & Raftery 2007), in units:
    /// width, and what misses cost; less is better.
    pub interval_score: f64,
}

impl Study {
    /// Over the trials that `pick` finds, with ranges of probability `level`.
    pub(super) fn of(bikes: &[OwnBike], pick: fn(&OwnBike) -> Option<&Trial>, level: f64) -> Self {
        let tried: Vec<(&Trial, f64)> = bikes
            .iter()
            .filter_map(|bike| Some((pick(bike)?, bike.brought?)))
            .collect();
        Self {
            sales: tried.len(),
            figures: figures(&tried, level),
        }
    }
}

fn figures(tried: &[(&Trial, f64)], level: f64) -> Option<Figures> {
    if tried.len() < FEWEST {
        return None;
    }
    let n = tried.len() as f64;
    let pairs: Vec<(f64, f64)> = tried
        .iter()
        .map(|(t, brought)| (t.median, *brought))
        .collect();
    let within = |part: f64| {
        let near = pairs
            .iter()
            .filter(|(told, brought)| (told - brought).abs() <= part * brought);
        near.count() as f64 / n
    };
    let held = tried
        .iter()
        .filter(|(trial, brought)| trial.holds(*brought))
        .count();
    let scores = tried
        .iter()
        .map(|(trial, brought)| interval_score(trial.low, trial.high, *brought, 1.0 - level));
    Some(Figures {
        mdape: median_absolute_percentage_error(&pairs),
        within_10: within(0.1),
        within_20: within(0.2),
        coverage: held as f64 / n,
        coverage_interval: binomial::interval(held as u64, tried.len() as u64, CONFIDENCE),
        interval_score: scores.sum::<f64>() / n,
        ratios: RatioStudy::of(&pairs, CONFIDENCE)?,
    })
}
