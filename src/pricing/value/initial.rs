//! The pilot fit: weights, variances and coefficients in turn until they settle.

use super::fitted::{ValueModel, start_variances};
use crate::pricing::design::coding::{Coding, UnknownVariance};
use crate::pricing::prior::prior_rows::Prior;
use crate::pricing::records::observation::Observation;
use crate::statistics::linear::parallel::{ByKind, Rows};
use crate::statistics::linear::robust::{DEGREES, NORMAL_SCALE, Weighting};
use crate::statistics::optimise::squarem::Squared;
use crate::statistics::{Fit, FitProblem, dot};
use crate::trade::Day;

/// Below this robust weight a row is nonsense and carries nothing: about seven
/// scales away, where 1 in 400 of t errors with 4 degrees would lie.
pub(crate) const NONSENSE: f64 = 0.1;

/// Largest change of a fitted ln price at which the pilot has settled.
const SETTLED: f64 = 1e-6;

/// Rounds in which every row is kept, so that a bad start cannot throw half the
/// records out.
const BOLD: usize = 5;

/// Rounds after which it goes on as it is; 31 were the most seen without following
/// ahead, 18 with it.
const MOST_ROUNDS: usize = 60;

/// An own sale as a row.
#[derive(Clone, Debug, serde::Serialize, serde::Deserialize)]
pub struct OwnRow {
    /// The bike's id.
    pub id: String,
    /// ln of its price.
    pub ln_price: f64,
    /// The day for which the price speaks.
    pub day: Day,
    /// Row of the design.
    pub x: Vec<f64>,
    /// Variance of an own sale in the pilot.
    pub variance: f64,
    /// Variance that unknown facts add.
    pub unknown: f64,
    /// Robust weight; 0 for nonsense.
    pub robust: f64,
    /// `robust / (variance + unknown)`.
    pub precision: f64,
}

/// The pilot's answer: coefficients and group variances.
pub(in crate::pricing) struct Pilot {
    pub(in crate::pricing) b: Vec<f64>,
    pub(in crate::pricing) variances: [f64; 6],
    pub(in crate::pricing) rows: Vec<OwnRow>,
}

/// Robust weight of a residual with variance `variance`; 0 for nonsense.
pub(in crate::pricing) fn robust_weight(residual: f64, variance: f64) -> f64 {
    let weight = Weighting::StudentT(DEGREES).weight(residual / (NORMAL_SCALE * variance).sqrt());
    if weight < NONSENSE { 0.0 } else { weight }
}

impl Pilot {
    pub(in crate::pricing) fn settle(
        seen: &[Observation],
        coding: &Coding,
        prior: &Prior,
        model: &ValueModel<'_>,
    ) -> Result<Pilot, FitProblem> {
        let names = coding.names();
        let start = start_variances(model.priors);
        let mut b = prior.means();
        let mut variances = start;
        let mut rows: Vec<OwnRow> = seen
            .iter()
            .map(|s| {
                let mut x = vec![0.0; coding.width()];
                coding.row(&s.facts, s.day, s.group.source(), &mut x);
                OwnRow {
                    id: String::new(),
                    ln_price: s.ln_price,
                    day: s.day,
                    x,
                    variance: 0.0,
                    unknown: 0.0,
                    robust: 1.0,
                    precision: 0.0,
                }
            })
            .collect();
        let kinds = coding.kinds();
        let mut by_kind = ByKind::new(coding.width(), &kinds);
        // Weights, variances and coefficients in turn.
        let mut squared = Squared::default();
        for round in 0..MOST_ROUNDS {
            let mut unknown = UnknownVariance::under(coding, &b);
            let weigh = |data: &mut Rows<'_, '_, '_>| {
                rows.iter_mut().zip(seen).try_for_each(|(row, s)| {
                    row.variance = variances[s.group as usize];
                    row.unknown = unknown.of(&s.facts);
                    row.precision = s.weight * row.robust / (row.variance + row.unknown);
                    let kind = s.facts.style().index();
                    data.push(kind, &row.x, row.ln_price, row.precision)
                })
            };
            let (data, pushed) = by_kind.fold(weigh);
            pushed?;
            let fit = prior.fit(data, 1.0, &names)?;
            let moved = rows
                .iter()
                .map(|r| (dot(&r.x, &fit.coefficients) - dot(&r.x, &b)).abs())
                .fold(0.0, f64::max);
            b.clone_from(&fit.coefficients);
            variances = group_variances(&rows, seen, &fit, &start, model.priors.noise_sales);
            let settled = round > BOLD && moved < SETTLED;
            if round >= BOLD && !settled {
                let logs = variances.map(f64::ln);
                let state: Vec<f64> = b.iter().chain(&logs).copied().collect();
                if let Some(ahead) = squared.follow(&state) {
                    let (ahead, logs) = ahead.split_at(b.len());
                    b.copy_from_slice(ahead);
                    variances = std::array::from_fn(|g| logs[g].exp());
                }
            }
            for (row, s) in rows.iter_mut().zip(seen) {
                let residual = row.ln_price - dot(&row.x, &b);
                let variance = variances[s.group as usize] + row.unknown;
                let u = residual / (NORMAL_SCALE * variance).sqrt();
                let weight = Weighting::StudentT(DEGREES).weight(u);
                row.robust = if round < BOLD {
                    weight
                } else {
                    robust_weight(residual, variance)
                };
            }
            if settled {
                break;
            }
        }
        let mut unknown = UnknownVariance::under(coding, &b);
        for (row, s) in rows.iter_mut().zip(seen) {
            row.variance = variances[s.group as usize];
            row.unknown = unknown.of(&s.facts);
            row.precision = s.weight * row.robust / (row.variance + row.unknown);
        }
        Ok(Pilot { b, variances, rows })
    }
}

/// Variance of each group: robust squares over leverage-corrected degrees of
/// freedom, shrunk to the start as if `worth` rows had shown it. A row with
/// unknown facts gives its expected share of the square (an EM step).
fn group_variances(
    rows: &[OwnRow],
    seen: &[Observation],
    fit: &Fit,
    start: &[f64; 6],
    worth: f64,
) -> [f64; 6] {
    let mut sums = start.map(|variance| worth * variance);
    let mut freedom = [worth; 6];
    let mut room = Vec::new();
    for (row, s) in rows.iter().zip(seen).filter(|(row, _)| row.robust > 0.0) {
        let group = s.group as usize;
        let residual = row.ln_price - dot(&row.x, &fit.coefficients);
        let share = row.variance / (row.variance + row.unknown);
        // Of the bike, not of one of its several listings.
        let h = (row.precision / s.weight * fit.leverage_with(&row.x, &mut room)).clamp(0.0, 0.999);
        let square = row.robust * residual * residual / NORMAL_SCALE;
        sums[group] +=
            s.weight * (share * share * square + (1.0 - share) * row.variance * (1.0 - h));
        freedom[group] += s.weight * (1.0 - h);
    }
    std::array::from_fn(|g| sums[g] / freedom[g])
}
