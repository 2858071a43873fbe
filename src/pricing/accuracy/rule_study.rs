//! How the rules of thumb held up, beside the model.

use super::study::FEWEST;
use super::trial::{OwnBike, Trial};
use crate::statistics::linear::robust::median;

/// How a rule held up under one kind of knowledge, beside the model on the same
/// sales: a rule that has nothing to go on is not asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RuleFigures {
    /// Sales for which it had something to say.
    pub sales: usize,
    /// Its median absolute error, a fraction of the sale price.
    pub mdape: f64,
    /// The model's, on these sales.
    pub model_mdape: f64,
    /// Sales on which the model was nearer, and on which the rule was.
    pub nearer: (usize, usize),
}

/// A rule of thumb and how it held up.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleStudy {
    /// Its name.
    pub rule: &'static str,
    /// By all other records; `None` below the sales that figures need.
    pub leave_one_out: Option<RuleFigures>,
    /// By what was known on the day before; likewise.
    pub back_test: Option<RuleFigures>,
}

impl RuleStudy {
    pub(super) fn of(rule: &'static str, place: usize, bikes: &[OwnBike]) -> Self {
        let figures = |pick: fn(&OwnBike) -> Option<&Trial>| {
            let pairs: Vec<(f64, f64)> = bikes
                .iter()
                .filter_map(|bike| {
                    let (trial, brought) = (pick(bike)?, bike.brought?);
                    let off = |guess: f64| ((guess - brought) / brought).abs();
                    Some((off(trial.rules[place]?), off(trial.median)))
                })
                .collect();
            (pairs.len() >= FEWEST).then(|| RuleFigures {
                sales: pairs.len(),
                mdape: median(pairs.iter().map(|p| p.0).collect()),
                model_mdape: median(pairs.iter().map(|p| p.1).collect()),
                nearer: (
                    pairs.iter().filter(|p| p.1 < p.0).count(),
                    pairs.iter().filter(|p| p.0 < p.1).count(),
                ),
            })
        };
        Self {
            rule,
            leave_one_out: figures(|bike| bike.left_out.as_ref()),
            back_test: figures(|bike| bike.before.as_ref()),
        }
    }
}
