//! The pilot fit: weights, variances and coefficients in turn until they settle.

use crate::pricing::design::coding::{Coding, UnknownVariance};
use crate::pricing::design::features::Facts;
use crate::pricing::prior::prior_rows::PriorRows;
use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::{GROUPS, Group, Observation};
use crate::statistics::linear::parallel::{ByKind, Rows};
use crate::statistics::linear::robust::{NORMAL_SCALE, student_t_weight};
use crate::statistics::optimise::squarem::Squarem;
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
    /// The bike.
    pub facts: Facts,
    /// What its owner said of it.
    pub said: Said,
}

/// What the owner of a bike said of it before its sale, as ln of units.
#[derive(Clone, Copy, Debug, Default, serde::Serialize, serde::Deserialize)]
pub struct Said {
    /// The guess.
    pub guess: Option<f64>,
    /// The first ask.
    pub first_ask: Option<f64>,
}

impl OwnRow {
    /// The row of a price, before anything is known of its weight.
    fn unweighed(seen: &Observation, coding: &Coding) -> Self {
        let mut x = vec![0.0; coding.width()];
        coding.row(&seen.facts, seen.day, seen.asked(), &mut x);
        Self {
            id: String::new(),
            ln_price: seen.ln_price,
            day: seen.day,
            x,
            variance: 0.0,
            unknown: 0.0,
            robust: 1.0,
            precision: 0.0,
            facts: seen.facts,
            said: Said::default(),
        }
    }
}

/// The pilot: coefficients, group variances, and its rows with their weights.
pub(in crate::pricing) struct Pilot {
    pub(in crate::pricing) b: Vec<f64>,
    pub(in crate::pricing) variances: [f64; GROUPS],
    pub(in crate::pricing) rows: Vec<OwnRow>,
}

/// Variances of the groups before their rows speak, in the order of [`Group::ALL`].
pub(in crate::pricing) fn start_variances(priors: &Priors) -> [f64; GROUPS] {
    let asks = &priors.asks;
    Group::ALL.map(|group| match group {
        Group::Own => priors.noise.powi(2),
        Group::Price => asks.price.noise.powi(2),
        Group::Sold => asks.sold.noise.powi(2),
        Group::Gone => asks.gone.noise.powi(2),
        Group::Listed => asks.listed.noise.powi(2),
        Group::Withdrawn => asks.withdrawn.noise.powi(2),
    })
}

/// Weight of a residual of this variance under Student t errors.
fn t_weight(residual: f64, variance: f64) -> f64 {
    student_t_weight(residual / (NORMAL_SCALE * variance).sqrt())
}

/// Robust weight of a residual with variance `variance`; 0 for nonsense.
pub(in crate::pricing) fn robust_weight(residual: f64, variance: f64) -> f64 {
    let weight = t_weight(residual, variance);
    if weight < NONSENSE { 0.0 } else { weight }
}

impl Pilot {
    /// Weights, variances and coefficients in turn until the fitted prices stay.
    ///
    /// # Errors
    /// As [`Fit::within`].
    pub(in crate::pricing) fn settle(
        seen: &[Observation],
        coding: &Coding,
        prior: &PriorRows,
        priors: &Priors,
    ) -> Result<Pilot, FitProblem> {
        let names = coding.names();
        let start = start_variances(priors);
        let mut pilot = Pilot {
            b: prior.means(),
            variances: start,
            rows: seen.iter().map(|s| OwnRow::unweighed(s, coding)).collect(),
        };
        let kinds = coding.kinds();
        let mut by_kind = ByKind::new(coding.width(), &kinds);
        let mut squarem = Squarem::default();
        for round in 0..MOST_ROUNDS {
            pilot.weigh(seen, coding);
            let (data, pushed) = by_kind.fold(|data| pilot.push_to(data, seen));
            pushed?;
            let fit = prior.fit(data, 1.0, &names)?;
            let moved = pilot.distance_to(&fit);
            pilot.b.clone_from(&fit.coefficients);
            pilot.variances = group_variances(&pilot.rows, seen, &fit, &start, priors.noise_sales);
            let settled = round > BOLD && moved < SETTLED;
            if round >= BOLD && !settled {
                pilot.extrapolate(&mut squarem);
            }
            pilot.judge(seen, round < BOLD);
            if settled {
                break;
            }
        }
        pilot.weigh(seen, coding);
        Ok(pilot)
    }

    /// Sets the rows' variances and precisions from the coefficients and weights.
    fn weigh(&mut self, seen: &[Observation], coding: &Coding) {
        let mut unknown = UnknownVariance::under(coding, &self.b);
        for (row, s) in self.rows.iter_mut().zip(seen) {
            row.variance = self.variances[s.group as usize];
            row.unknown = unknown.of(&s.facts);
            row.precision = s.weight * row.robust / (row.variance + row.unknown);
        }
    }

    fn push_to(&self, data: &mut Rows<'_, '_, '_>, seen: &[Observation]) -> Result<(), FitProblem> {
        self.rows.iter().zip(seen).try_for_each(|(row, s)| {
            let kind = s.facts.style().index();
            data.push(kind, &row.x, row.ln_price, row.precision)
        })
    }

    /// Largest change of a fitted ln price from here to `fit`.
    fn distance_to(&self, fit: &Fit) -> f64 {
        self.rows
            .iter()
            .map(|r| (dot(&r.x, &fit.coefficients) - dot(&r.x, &self.b)).abs())
            .fold(0.0, f64::max)
    }

    /// Goes where the rounds seem to lead, if they say so.
    fn extrapolate(&mut self, squarem: &mut Squarem) {
        let logs = self.variances.map(f64::ln);
        let state: Vec<f64> = self.b.iter().chain(&logs).copied().collect();
        if let Some(ahead) = squarem.follow(&state) {
            let (ahead, logs) = ahead.split_at(self.b.len());
            self.b.copy_from_slice(ahead);
            self.variances = std::array::from_fn(|g| logs[g].exp());
        }
    }

    /// Sets the rows' robust weights; `bold` keeps nonsense in.
    fn judge(&mut self, seen: &[Observation], bold: bool) {
        let weight = if bold { t_weight } else { robust_weight };
        for (row, s) in self.rows.iter_mut().zip(seen) {
            let residual = row.ln_price - dot(&row.x, &self.b);
            row.robust = weight(residual, self.variances[s.group as usize] + row.unknown);
        }
    }
}

/// Variance of each group: robust squares over leverage-corrected degrees of
/// freedom, shrunk to the start as if `worth` rows had shown it. A row with
/// unknown facts gives its expected share of the square (an EM step).
fn group_variances(
    rows: &[OwnRow],
    seen: &[Observation],
    fit: &Fit,
    start: &[f64; GROUPS],
    worth: f64,
) -> [f64; GROUPS] {
    let mut sums = start.map(|variance| worth * variance);
    let mut freedom = [worth; GROUPS];
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
