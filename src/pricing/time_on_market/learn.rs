//! Learning the time model from histories, with the beliefs beside them.

use super::columns::{self, COLUMNS, OTHERS_PREMIUM, PREMIUM};
use super::fitted::{FittedTime, RestsOn};
use super::haggling::{self, Haggle};
use super::history::{History, ListingEnd, after};
use super::own_listings::own_histories;
use super::premium::{self, Habit, SeenPremium, thinning};
use super::seen_listings::SeenListings;
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::Records;
use crate::pricing::value::fitted::FittedValue;
use crate::statistics::survival::weibull::{Episode, NormalPrior, WeibullFit, WeibullModel};
use crate::statistics::{DurationProblem, FitProblem};

/// Smallest elasticity of the hazard at the value: with less, hardly any ask
/// would be too high (`McAfee` & te Velde 2008: at 1 and below there is no best
/// price).
const LEAST_ELASTICITY: f64 = 1.2;
/// Smallest ln of the scale, where the hazard rises with the cube of the age (judgement):
/// adverts that all end after the same days would make it a step.
pub(in crate::pricing) const LEAST_LN_SCALE: f64 = -1.2;
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
    let mut histories = own_histories(model, records, without);
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
    let first_premiums = |own: bool| -> Vec<SeenPremium> {
        histories
            .iter()
            .filter(|h| h.own == own)
            .filter_map(|h| {
                Some(SeenPremium {
                    premium: h.asks.first()?.1 - h.value.0,
                    error: h.value.1,
                    weight: h.weight,
                })
            })
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
    let mut rests_on = RestsOn::count(histories);
    rests_on.held = !fit.bounded.is_empty();
    rests_on.compare(&fit, &rows);
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
    let all: f64 = gone.iter().map(|i| rows[*i].weight).sum();
    for _ in 0..ROUNDS {
        let hazards: Vec<f64> = gone
            .iter()
            .map(|i| {
                let (x, t) = (&rows[*i].x, rows[*i].exit);
                fit.cumulative_hazard(x, t) / t
            })
            .collect();
        let mean = |w: f64| {
            let sold = gone.iter().zip(&hazards);
            let sold = sold.map(|(i, h)| rows[*i].weight * h / (h + w));
            sold.sum::<f64>() / all
        };
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
    let normal = |b: Belief| NormalPrior::new(b.mean, b.sd);
    let mut model = WeibullModel::new(
        columns::NAMES.map(String::from).to_vec(),
        columns::beliefs(time).map(normal).to_vec(),
        normal(time.ln_shape),
    );
    model.least_ln_scale = Some(LEAST_LN_SCALE);
    if let Some(least) = model.lower.get_mut(PREMIUM) {
        *least = Some(LEAST_ELASTICITY);
    }
    model
}

/// Longest piece of a listing that is dated by its middle, in days: in a longer one
/// the season would be lost.
const DATED: f64 = 30.0;

/// Stretches at one ask, cut into equal pieces that are dated.
fn by_season(stretches: Vec<(f64, f64, Option<f64>)>) -> Vec<(f64, f64, Option<f64>)> {
    let cut = |(from, to, ask): (f64, f64, Option<f64>)| {
        let pieces = ((to - from) / DATED).ceil().max(1.0);
        let end = move |i: u32| from + (to - from) * (f64::from(i) / pieces);
        (0..pieces as u32).map(move |i| (end(i), end(i + 1), ask))
    };
    stretches.into_iter().flat_map(cut).collect()
}

/// The episodes of one listing.
fn episodes(history: &History, habit: &Habit, buyers: f64, gone: f64) -> Vec<Episode> {
    let (value, error) = history.value;
    let first = history.asks.first().map(|a| a.1);
    let calibrated = first.map_or(habit.mean, |first| habit.expected(first - value, error));
    let event = match history.end {
        ListingEnd::Sold => 1.0,
        ListingEnd::Gone => gone,
        ListingEnd::Unsold => 0.0,
    };
    let stretches = by_season(history.stretches());
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
                weight: history.weight,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{History, ListingEnd, Priors, by_season, columns, from_histories};
    use crate::pricing::design::features::facts;
    use crate::pricing::time_on_market::after;
    use crate::trade::calendar::year_fraction;
    use crate::trade::{Bike, Currency, Day, Style};
    use rand::{Rng as _, SeedableRng as _};
    use std::f64::consts::TAU;

    #[test]
    fn a_long_stretch_is_dated_in_equal_pieces() {
        let cut = |stretch| by_season(vec![stretch]);
        let ask = Some(5.0);
        let thirds = [(0.0, 25.0, ask), (25.0, 50.0, ask), (50.0, 75.0, ask)];
        assert_eq!(cut((0.0, 75.0, ask)), thirds);
        assert_eq!(cut((12.0, 42.0, ask)), [(12.0, 42.0, ask)]);
        assert_eq!(cut((0.0, 0.5, None)), [(0.0, 0.5, None)]);
        let two = by_season(vec![(0.0, 10.0, ask), (10.0, 50.0, Some(4.9))]);
        let asks: Vec<_> = two.iter().map(|piece| piece.2.unwrap()).collect();
        assert_eq!(asks, [5.0, 4.9, 4.9]);
    }

    /// What vanished at its value was sold more likely than what vanished far above it; one
    /// of two listings of the same bike counts half. The mean, so weighed, is the share.
    #[test]
    fn what_vanished_dear_was_sold_less_likely() {
        let euro = Currency::from_code("EUR").unwrap();
        let listed_on = Day::constant(2025, 3, 1);
        let listing = |n: i32| History {
            facts: facts(&Bike::of(Style::City), listed_on, &euro),
            own: false,
            listed_on,
            weight: if n % 3 == 0 { 0.5 } else { 1.0 },
            entry: 0.0,
            exit: f64::from(10 + n),
            end: ListingEnd::Gone,
            asks: vec![(0.0, if n % 2 == 0 { 5.0 } else { 5.4 })],
            ln_price: None,
            value: (5.0, 0.0),
        };
        let histories: Vec<History> = (0..12).map(listing).collect();
        let system = from_histories(Priors::shipped(), &histories).unwrap();
        let ends = system.episodes.iter().filter(|row| row.event > 0.0);
        let ends: Vec<_> = ends.map(|row| (row.weight, row.event)).collect();
        assert_eq!(ends.len(), 12);
        let weight: f64 = ends.iter().map(|end| end.0).sum();
        let sold: f64 = ends.iter().map(|end| end.0 * end.1).sum();
        let share = Priors::shipped().selling.gone_sold;
        assert!((sold / weight - share).abs() < 1e-6, "{sold} of {weight}");
        for pair in ends.chunks(2) {
            assert!(pair[0].1 > pair[1].1 + 0.02, "{pair:?}");
        }
    }

    /// ln of how many buyers there are, against the mean: most at the end of April.
    fn bustle(day: Day) -> f64 {
        let from_peak = TAU * (year_fraction(day) - 0.33);
        0.5 * from_peak.cos() + 0.4 * (2.0 * from_peak).cos()
    }

    /// Bikes that stand for weeks and months, at their value, while buyers come and go by
    /// the season: what was put in is found. A season of one wave, or listings dated as
    /// a whole, miss the spring by more.
    #[test]
    fn a_short_spring_is_found() {
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(11);
        let euro = Currency::from_code("EUR").unwrap();
        let start = Day::constant(2022, 1, 1);
        let listing = |number: i64| {
            let listed_on = after(start, number * 37 % 1461);
            let mut days = 0;
            while rng.random::<f64>() >= (bustle(after(listed_on, days)) - 60_f64.ln()).exp() {
                days += 1;
            }
            History {
                facts: facts(&Bike::of(Style::City), listed_on, &euro),
                own: true,
                listed_on,
                weight: 1.0,
                entry: 0.0,
                exit: days as f64 + 0.5,
                end: ListingEnd::Sold,
                asks: vec![(0.0, 5.0)],
                ln_price: None,
                value: (5.0, 0.0),
            }
        };
        let histories: Vec<History> = (0..600).map(listing).collect();
        let fitted = from_histories(Priors::shipped(), &histories)
            .unwrap()
            .fitted;
        let found = |day: Day| {
            let mut x = [0.0; columns::COLUMNS];
            columns::of_day(day, &mut x);
            // ln of days, so slower is more; a hazard's logarithm is that over the scale.
            -columns::wave(&x, &fitted.fit.coefficients) / fitted.fit.ln_scale.exp()
        };
        let spring = Day::constant(2025, 5, 1);
        // By 1.3, 1.3 and 1.0.
        for month in [2, 8, 11] {
            let other = Day::constant(2025, month, 1);
            let truth = bustle(spring) - bustle(other);
            let seen = found(spring) - found(other);
            // Four standard errors of 600 sales are 0.3 or so.
            assert!(
                (seen - truth).abs() < 0.3,
                "month {month}: {seen}, not {truth}"
            );
        }
    }
}
