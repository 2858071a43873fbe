//! Errors sale by sale, and their running mean.

use super::Accuracy;
use super::trial::{OwnBike, Trial};
use crate::trade::Day;

/// What was told of a sale (beforehand, or else from all others), and what it
/// brought.
#[derive(Clone, Copy, Debug)]
pub struct ToldSale<'a> {
    /// Day of the sale.
    pub on: Day,
    /// What was told.
    pub trial: &'a Trial,
    /// What it brought, in units.
    pub brought: f64,
}

impl<'a> ToldSale<'a> {
    /// That of a bike; `None` where it is not sold or nothing was told.
    pub fn of(bike: &'a OwnBike) -> Option<Self> {
        Some(Self {
            on: bike.sale.sold?.on,
            trial: bike.before.as_ref().or(bike.left_out.as_ref())?,
            brought: bike.brought?,
        })
    }

    /// What was brought as a fraction of what was told, less 1.
    pub fn error(&self) -> f64 {
        self.against_told(self.brought)
    }

    /// The ends of the range in the same measure.
    pub fn range(&self) -> (f64, f64) {
        let ends = (self.trial.low, self.trial.high);
        (self.against_told(ends.0), self.against_told(ends.1))
    }

    fn against_told(&self, units: f64) -> f64 {
        (units / self.trial.median).ln().exp_m1()
    }
}

/// The sales of which something was told, in the order of sale.
pub fn told_sales(found: &Accuracy) -> Vec<ToldSale<'_>> {
    found.bikes.iter().filter_map(ToldSale::of).collect()
}

/// Means of `count` errors in a row (or of all, where there are fewer), one for each
/// error with which such a row ends.
pub fn running_means(errors: &[f64], count: usize) -> Vec<f64> {
    let windows = errors.windows(count.min(errors.len().max(1)));
    let mean = |window: &[f64]| window.iter().sum::<f64>() / window.len() as f64;
    windows.map(mean).collect()
}
