//! How long a listing stands: Weibull proportional hazards on stretches of
//! listings, and how buyers haggle.
//!
//! `H(t) = (t exp(-x'g))^(1/s)` is the cumulative hazard of a sale at age `t`
//! days, `x` the columns of [`columns`], the premium among them through
//! [`premium::thinning`]. Every stretch of a listing at one ask is an episode
//! (entry, exit]: own listings from the day of listing, comps from the day on
//! which they were first seen (left truncation), so that what stays long is not
//! counted too often. Listed and withdrawn ones are censored; a comp that is gone
//! for an unknown reason is a sale by a share. Beliefs stand beside the records
//! (penalised maximum likelihood, Laplace covariance; `statistics::weibull`), so
//! with no durations at all the answer is the belief itself.
//!
//! * histories: `history`, `own_listings`, `seen_listings`, `seen_days`
//! * the premium and its error: [`premium`]; haggling: [`haggling`]

pub mod columns;
pub mod haggling;
mod history;
mod own_listings;
pub mod premium;
mod seen_days;
mod seen_listings;

pub use haggling::Haggle;
pub use history::SHORTEST;
pub use own_listings::{MarkDowns, asked, standing};
pub use seen_days::{LONGEST_GAP, Looks};
pub use seen_listings::SeenListings;

use super::prior::priors::Priors;
use super::records::observation::Records;
use super::value::fitted::FittedValue;
use crate::statistics::DurationProblem;
use crate::statistics::FitProblem;
use crate::statistics::survival::weibull::{Episode, NormalPrior, WeibullFit, WeibullModel};
use crate::trade::Day;
use columns::{COLUMNS, OTHERS_PREMIUM, PREMIUM};
use history::{End, History};
use jiff::ToSpan;
use premium::{Habit, thinning};

/// Smallest elasticity of the hazard at the value: with less, hardly any ask
/// would be too high (`McAfee` & te Velde 2008: at 1 and below there is no best
/// price).
const LEAST_ELASTICITY: f64 = 1.2;
/// Longest stretch of one listing that counts, in days: beyond it was forgotten.
const LONGEST: f64 = 730.0;

/// What could go wrong.
#[derive(Debug, thiserror::Error)]
pub enum NoTime {
    /// The durations were refused.
    #[error(transparent)]
    Duration(#[from] DurationProblem),
    /// The line of haggling was refused.
    #[error(transparent)]
    Haggling(#[from] FitProblem),
}

/// How selling goes: time and haggling.
#[derive(Clone, Debug)]
pub struct FittedTime {
    /// The regression of ln days.
    pub fit: WeibullFit,
    /// The same with comps of unknown end half sold, and all sold; `None` where
    /// there are no such comps.
    pub gone: Option<[WeibullFit; 2]>,
    /// Haggling.
    pub haggle: Haggle,
    /// First asks of the user above the value.
    pub own_habit: Habit,
    /// Spread of buyers in [`thinning`].
    pub buyers: f64,
    /// What it rests on.
    pub rests_on: RestsOn,
}

/// What the time model rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RestsOn {
    /// Own listings with a day of listing.
    pub own: usize,
    /// Of these sold.
    pub own_sold: usize,
    /// Comps with a day of listing, watched for more than a moment.
    pub comps: usize,
    /// Of these sold.
    pub comps_sold: usize,
    /// Of these gone for an unknown reason.
    pub comps_gone: usize,
    /// Whether the elasticity was held at its smallest.
    pub held: bool,
    /// Sales observed and expected in the first two weeks, to a month, to two
    /// months and later.
    pub observed: [f64; 4],
    /// See `observed`.
    pub expected: [f64; 4],
}

/// Ages (days) at which sales observed and expected are compared.
const BANDS: [f64; 3] = [14.0, 30.0, 60.0];

impl RestsOn {
    /// Whether no listing spoke at all.
    pub fn belief_only(&self) -> bool {
        self.own + self.comps == 0
    }

    /// The band (days from, days to or none, observed, expected) where the fitted
    /// curve is furthest from what was seen, if it is further than chance allows:
    /// three standard errors of a Poisson count.
    pub fn disagreement(&self) -> Option<(f64, Option<f64>, f64, f64)> {
        let from = [0.0].into_iter().chain(BANDS);
        let to = BANDS.into_iter().map(Some).chain([None]);
        from.zip(to)
            .zip(self.observed.iter().zip(&self.expected))
            .map(|((from, to), (o, e))| (from, to, *o, *e))
            .filter(|(.., o, e)| (o - e).abs() > 3.0 * e.max(1.0).sqrt())
            .max_by(|a, b| {
                let off =
                    |x: &(f64, Option<f64>, f64, f64)| (x.2 - x.3).abs() / x.3.max(1.0).sqrt();
                off(a).total_cmp(&off(b))
            })
    }
}

/// The time model with all that it was fitted to.
#[derive(Clone, Debug)]
pub struct TimeSystem {
    /// Columns, priors and bounds.
    pub model: WeibullModel,
    /// The episodes; those of comps that are gone with the share of a sale that
    /// the last round gave them.
    pub episodes: Vec<Episode>,
    /// What was learned.
    pub fitted: FittedTime,
}

/// Learns from the records; `seen` collected the comps while `model` was fitted.
///
/// # Errors
/// [`NoTime`]; never a number that is not finite.
pub fn learn(
    priors: &Priors,
    model: &FittedValue,
    records: &dyn Records,
    seen: SeenListings,
    without: Option<&str>,
) -> Result<FittedTime, NoTime> {
    Ok(time_system(priors, model, records, seen, without)?.fitted)
}

/// The same with the episodes and priors that it rests on.
///
/// # Errors
/// As [`learn`].
pub fn time_system(
    priors: &Priors,
    model: &FittedValue,
    records: &dyn Records,
    seen: SeenListings,
    without: Option<&str>,
) -> Result<TimeSystem, NoTime> {
    let mut histories = own_listings::own_histories(model, records, without);
    histories.extend(seen.histories(model));
    // An ask far from the value is a slip or another bike, and would bend the pace
    // for all others.
    histories.retain(|h| {
        let off = |a: &(f64, f64)| (a.1 - h.value.0).abs();
        h.asks.iter().all(|a| off(a) <= premium::BELIEVED)
    });
    from_histories(priors, &histories)
}

/// The belief alone.
///
/// # Errors
/// None in practice: the beliefs are proper.
pub fn believed(priors: &Priors) -> Result<FittedTime, NoTime> {
    Ok(from_histories(priors, &[])?.fitted)
}

fn from_histories(priors: &Priors, histories: &[History]) -> Result<TimeSystem, NoTime> {
    let selling = &priors.selling;
    let first_premiums = |own: bool| -> Vec<(f64, f64)> {
        histories
            .iter()
            .filter(|h| h.own == own)
            .filter_map(|h| Some((h.asks.first()?.1 - h.value.0, h.value.1)))
            .collect()
    };
    let own_habit = Habit::learn(&first_premiums(true), &selling.own_asks);
    let other_habit = Habit::learn(&first_premiums(false), &selling.other_asks);
    let habit = |own: bool| if own { &own_habit } else { &other_habit };
    let model = model(priors);
    let buyers = selling.buyers;
    let episodes = |gone: f64| -> Vec<Episode> {
        histories
            .iter()
            .flat_map(|h| episodes(h, habit(h.own), buyers, gone))
            .collect()
    };
    let (fit, rows) = with_gone(&model, episodes(selling.gone_sold), selling.gone_sold)?;
    let mut rests_on = count(histories);
    rests_on.held = !fit.bounded.is_empty();
    compare(&fit, &rows, &mut rests_on);
    let gone = if rests_on.comps_gone > 0 {
        let fit = |share| with_gone(&model, episodes(share), share).map(|f| f.0);
        Some([fit(0.5)?, fit(1.0)?])
    } else {
        None
    };
    let fitted = FittedTime {
        fit,
        gone,
        haggle: Haggle::learn(&haggling::pairs(histories, &own_habit), &selling.haggle)?,
        own_habit,
        buyers,
        rests_on,
    };
    Ok(TimeSystem {
        model,
        episodes: rows,
        fitted,
    })
}

/// Rounds in which the fit and the shares of the comps that are gone take turns.
const ROUNDS: usize = 4;

/// A comp that is gone was sold or taken back. The chance of a sale is `h / (h +
/// w)`, `h` the fitted hazard of a sale at that age and ask and `w` one rate at
/// which sellers give up, such that the mean chance is `share`: an overpriced
/// listing that vanished was more likely given up (competing risks with the cause
/// missing; Goetghebeur & Ryan 1995, Biometrika 82(4), from memory).
fn with_gone(
    model: &WeibullModel,
    mut rows: Vec<Episode>,
    share: f64,
) -> Result<(WeibullFit, Vec<Episode>), DurationProblem> {
    let gone: Vec<usize> = (0..rows.len())
        .filter(|i| rows[*i].event > 0.0 && rows[*i].event < 1.0)
        .collect();
    let mut fit = model.fit(&rows)?;
    if gone.is_empty() {
        return Ok((fit, rows));
    }
    for _ in 0..ROUNDS {
        let hazards: Vec<f64> = gone
            .iter()
            .map(|i| {
                let (x, t) = (&rows[*i].x, rows[*i].exit);
                fit.cumulative_hazard(x, t) / t
            })
            .collect();
        let mean = |w: f64| hazards.iter().map(|h| h / (h + w)).sum::<f64>() / gone.len() as f64;
        let (mut low, mut high) = (0.0_f64, hazards.iter().copied().fold(0.0, f64::max) * 1e6);
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if mean(middle) > share {
                low = middle;
            } else {
                high = middle;
            }
        }
        for (i, h) in gone.iter().zip(&hazards) {
            rows[*i].event = if *h > 0.0 { h / (h + high) } else { 0.0 };
        }
        fit = model.fit(&rows)?;
    }
    Ok((fit, rows))
}

fn model(priors: &Priors) -> WeibullModel {
    let time = &priors.selling.time;
    let normal = |b: super::prior::priors::Belief| NormalPrior::new(b.mean, b.sd);
    let mut model = WeibullModel::new(
        columns::NAMES.map(String::from).to_vec(),
        columns::beliefs(time).map(normal).to_vec(),
        normal(time.ln_shape),
    );
    if let Some(least) = model.lower.get_mut(PREMIUM) {
        *least = Some(LEAST_ELASTICITY);
    }
    model
}

/// The episodes of one listing.
fn episodes(history: &History, habit: &Habit, buyers: f64, gone: f64) -> Vec<Episode> {
    let (value, error) = history.value;
    let first = history.asks.first().map(|a| a.1);
    let calibrated = first.map_or(habit.mean, |first| habit.expected(first - value, error));
    let event = match history.end {
        End::Sold => 1.0,
        End::Gone => gone,
        End::Unsold => 0.0,
    };
    let stretches = history.stretches();
    let last = stretches.len().saturating_sub(1);
    let rows = stretches.into_iter().enumerate();
    rows.filter(|(_, (from, ..))| *from < LONGEST)
        .map(|(i, (from, to, ask))| {
            let moved = ask.zip(first).map_or(0.0, |(ask, first)| ask - first);
            let mut x = [0.0; COLUMNS];
            columns::of_bike(&history.facts, history.own, &mut x);
            let middle = f64::midpoint(from, to).min(LONGEST) as i64;
            columns::of_day(after(history.listed_on, middle), &mut x);
            x[PREMIUM] = thinning(calibrated + moved, buyers);
            x[OTHERS_PREMIUM] = if history.own { 0.0 } else { x[PREMIUM] };
            let ends = i == last && to <= LONGEST;
            Episode {
                x: x.to_vec(),
                entry: from,
                exit: to.min(LONGEST),
                event: if ends { event } else { 0.0 },
                weight: 1.0,
            }
        })
        .collect()
}

/// The day `days` after `day`.
pub(super) fn after(day: Day, days: i64) -> Day {
    day.saturating_add(days.days())
}

fn count(histories: &[History]) -> RestsOn {
    let mut sum = RestsOn::default();
    for history in histories {
        match (history.own, history.end) {
            (true, end) => {
                sum.own += 1;
                sum.own_sold += usize::from(end == End::Sold);
            }
            (false, end) => {
                sum.comps += 1;
                sum.comps_sold += usize::from(end == End::Sold);
                sum.comps_gone += usize::from(end == End::Gone);
            }
        }
    }
    sum
}

/// Sales observed and expected by age: the fitted curve beside the records.
fn compare(fit: &WeibullFit, rows: &[Episode], sum: &mut RestsOn) {
    let ends = BANDS.into_iter().chain([f64::INFINITY]);
    let starts = [0.0].into_iter().chain(BANDS);
    for (band, (start, end)) in starts.zip(ends).enumerate() {
        for row in rows {
            let (from, to) = (row.entry.max(start), row.exit.min(end));
            if to > from {
                let h = |t| fit.cumulative_hazard(&row.x, t);
                sum.expected[band] += row.weight * (h(to) - h(from));
            }
            if row.exit > start && row.exit <= end {
                sum.observed[band] += row.weight * row.event;
            }
        }
    }
}
