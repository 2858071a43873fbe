//! What each job adds to the value, in money, with its range.

use super::answer::Uplift;
use super::effects::Effects;
use super::outcomes::Outcomes;
use crate::pricing::quote::logarithmic_mean_split;
use crate::statistics::shapley;
use crate::trade::money::round_to_sum;
use crate::trade::{Currency, Money};

/// Below this an effect is none (log points).
const NONE: f64 = 1e-12;

/// The uplifts of jobs, in the order of the jobs.
///
/// The share of a job in logs is `d'b` with `d` the mean, over all orders of doing
/// the jobs that keep the ranks, of the change of the row when it is done. In money the shares are split
/// by the logarithmic mean, so that they add up from `found` to `done`. The ends of
/// the range are the quantiles of `d'b`, at this split; a step up is never taken to
/// lower the value.
pub(super) fn uplifts(
    effects: &Effects<'_>,
    outcomes: &Outcomes,
    (found, done): (Money, Money),
    level: f64,
    currency: &Currency,
) -> Vec<Uplift> {
    let rows: Vec<Vec<f64>> = outcomes
        .bikes
        .iter()
        .map(|bike| effects.row(bike))
        .collect();
    let shares: Vec<Vec<f64>> = shapley::weights(&outcomes.ranks, &outcomes.of_set, rows.len())
        .iter()
        .map(|weights| {
            let mut d = vec![0.0; rows.first().map_or(0, Vec::len)];
            for (weight, row) in weights.iter().zip(&rows) {
                for (d, x) in d.iter_mut().zip(row) {
                    *d += weight * x;
                }
            }
            d
        })
        .collect();
    let logs: Vec<f64> = shares.iter().map(|d| effects.mean(d)).collect();
    let scale = currency.scale() as f64;
    let start = currency.units(found).ln();
    // A second opinion from the new price may see the whole way otherwise: its part of
    // each job is as the job's of the whole.
    let (sum, way) = (logs.iter().sum::<f64>(), currency.units(done).ln() - start);
    let stretch = if sum.abs() > NONE { way / sum } else { 1.0 };
    let logs: Vec<f64> = logs.iter().map(|log| log * stretch).collect();
    let amounts = logarithmic_mean_split(start, &logs, scale);
    let level_amount = amounts
        .iter()
        .zip(&logs)
        .find(|(_, log)| log.abs() > NONE)
        .map_or(currency.units(found) * scale, |(amount, log)| amount / log);
    let whole = round_to_sum(&amounts, done.minor() - found.minor());
    shares
        .iter()
        .zip(&logs)
        .zip(amounts.iter().zip(whole))
        .map(|((d, log), (amount, median))| {
            let end = |p: f64| {
                let at = (stretch * effects.quantile(d, p)).max(0.0);
                let money = if log.abs() > NONE {
                    amount * at.exp_m1() / log.exp_m1()
                } else {
                    level_amount * at
                };
                Money::from_minor(money.round() as i64)
            };
            let median = Money::from_minor(median);
            Uplift {
                low: end((1.0 - level) / 2.0).min(median),
                median,
                high: end(f64::midpoint(1.0, level)).max(median),
            }
        })
        .collect()
}
