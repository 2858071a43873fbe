//! Weibull regression of durations by penalised maximum likelihood.
//!
//! `ln T = x'g + s W`, W the smallest extreme value: the accelerated form, in
//! which a coefficient of 0.1 makes lives 10 % longer. In words of hazards the
//! shape is `k = 1 / s` and the cumulative hazard `H(t) = exp((ln t - x'g) / s)`
//! (Kalbfleisch & Prentice, *The Statistical Analysis of Failure Time Data*, ch.
//! 3, from memory). An episode seen from `entry` to `exit` with a share d of an
//! event adds `d ln h(exit) - (H(exit) - H(entry))` to the log likelihood, which
//! serves late entry and changes during a life alike.
//!
//! Priors are normal and independent; the fit is the top of the posterior and
//! its covariance the inverse curvature there (Laplace).

pub use super::episodes::Episode;
use super::episodes::Table;
use super::problem::DurationProblem;
pub use super::weibull_fit::WeibullFit;
use crate::statistics::optimise::newton::{Room, Slope, inverse, newton};

/// Normal prior of one coefficient. `sd` infinite: nothing is known beforehand.
/// `sd` 0: the coefficient is held at `mean`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NormalPrior {
    /// Centre.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

impl NormalPrior {
    /// Nothing known beforehand.
    pub const FLAT: Self = Self {
        mean: 0.0,
        sd: f64::INFINITY,
    };

    /// A normal prior.
    pub const fn new(mean: f64, sd: f64) -> Self {
        Self { mean, sd }
    }

    /// Held at a number.
    pub const fn held(mean: f64) -> Self {
        Self { mean, sd: 0.0 }
    }
}

/// What is fitted: the columns, their priors and bounds.
#[derive(Clone, Debug, PartialEq)]
pub struct WeibullModel {
    /// Names of the columns.
    pub names: Vec<String>,
    /// Prior of each coefficient.
    pub priors: Vec<NormalPrior>,
    /// Prior of ln s; held at 0 the model is the exponential.
    pub ln_scale: NormalPrior,
    /// Smallest ln s, where there is one: many lives of the same length would make it
    /// fall without end.
    pub least_ln_scale: Option<f64>,
    /// Smallest value of each coefficient, where there is one.
    pub lower: Vec<Option<f64>>,
    /// Largest value of each coefficient, where there is one.
    pub upper: Vec<Option<f64>>,
}

/// Standard error, per standard deviation of a column, above which a
/// coefficient without a prior is called unsettled (judgement: it would say that
/// lives differ by e^1000). Columns that part events from the rest reach it.
const UNSETTLED: f64 = 1e3;
/// Longest step of ln s in one round, a factor e in the scale.
const LONGEST_SCALE_STEP: f64 = 1.0;

impl WeibullModel {
    /// A model without bounds.
    pub fn new(names: Vec<String>, priors: Vec<NormalPrior>, ln_scale: NormalPrior) -> Self {
        let none = vec![None; names.len()];
        Self {
            names,
            priors,
            ln_scale,
            least_ln_scale: None,
            lower: none.clone(),
            upper: none,
        }
    }

    /// A model with neither priors nor bounds: plain maximum likelihood.
    pub fn flat(names: &[&str]) -> Self {
        let owned: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
        let priors = vec![NormalPrior::FLAT; owned.len()];
        Self::new(owned, priors, NormalPrior::FLAT)
    }

    /// The top of the posterior. Episodes of no length carry nothing. Without
    /// any other the answer is the prior itself; without an event it is the
    /// prior, moved by how long nothing happened.
    ///
    /// # Errors
    /// [`DurationProblem::Number`] or [`DurationProblem::Width`] for an episode
    /// that is not one, [`DurationProblem::EventBeforeEntry`] for an event in an
    /// episode of no length, [`DurationProblem::Model`] for a prior or bound that
    /// means nothing, [`DurationProblem::Unsettled`] where neither rows nor
    /// priors settle a coefficient (always so without events, when one has no
    /// prior), [`DurationProblem::Rounds`] when the search found no top.
    pub fn fit(&self, episodes: &[Episode]) -> Result<WeibullFit, DurationProblem> {
        self.check()?;
        let p = self.names.len();
        let mut table = Table::of(episodes, p, true)?;
        // An intercept that may not move freely cannot take up the centring.
        if table.intercept.is_some_and(|i| self.is_tied(i)) {
            table = Table::of(episodes, p, false)?;
        }
        let (events, flat) = (table.events(), self.first_flat());
        if let (Some(flat), true) = (flat, events <= 0.0) {
            return Err(self.unsettled(flat));
        }
        let mut room = self.room(&table);
        let start = self.start(&table, &room);
        let slope = |at: &[f64]| self.posterior(&table, at);

        // The exponential first: it has one top, and lies near.
        let scale_held = std::mem::replace(&mut room.held[p], true);
        let (start, ..) = newton(start, &room, slope).map_err(|rounds| self.lost(rounds, flat))?;
        room.held[p] = scale_held;
        let (at, top, resting) =
            newton(start, &room, slope).map_err(|rounds| self.lost(rounds, flat))?;

        let free: Vec<usize> = (0..=p).filter(|&i| !room.held[i] && !resting[i]).collect();
        let covariance = inverse(&top.information, p + 1, &free).map_err(|i| self.unsettled(i))?;
        let error = |i: usize| covariance[i * (p + 2)].sqrt();
        let flat = free
            .iter()
            .copied()
            .filter(|&i| self.prior(i).sd == f64::INFINITY);
        if let Some(i) = flat.max_by(|&i, &j| error(i).total_cmp(&error(j)))
            && error(i) > UNSETTLED
        {
            return Err(self.unsettled(i));
        }
        let likelihood = table.likelihood(&at).value;
        Ok(WeibullFit {
            names: self.names.clone(),
            coefficients: self.exact_bounds(table.outward(&at[..p]), &resting),
            ln_scale: at[p],
            covariance: spread_outward(&table, &covariance),
            log_likelihood: likelihood,
            log_posterior: top.value,
            events,
            episodes: table.len(),
            bounded: (0..p).filter(|&i| resting[i]).collect(),
        })
    }

    /// Log likelihood of the data at given coefficients, and its derivatives in
    /// them and in ln s.
    ///
    /// # Errors
    /// As for [`fit`](Self::fit), for the episodes and the number of coefficients.
    pub fn log_likelihood(
        &self,
        episodes: &[Episode],
        coefficients: &[f64],
        ln_scale: f64,
    ) -> Result<(f64, Vec<f64>), DurationProblem> {
        self.width("the coefficients", coefficients.len())?;
        let table = Table::of(episodes, self.names.len(), false)?;
        let slope = table.likelihood(&[coefficients, &[ln_scale]].concat());
        Ok((slope.value, slope.gradient))
    }

    fn prior(&self, i: usize) -> NormalPrior {
        self.priors.get(i).copied().unwrap_or(self.ln_scale)
    }

    fn is_tied(&self, i: usize) -> bool {
        self.prior(i).sd == 0.0 || self.lower[i].is_some() || self.upper[i].is_some()
    }

    fn first_flat(&self) -> Option<usize> {
        (0..=self.names.len()).find(|&i| self.prior(i).sd == f64::INFINITY)
    }

    fn unsettled(&self, i: usize) -> DurationProblem {
        let name = self.names.get(i).map_or("ln s", String::as_str);
        DurationProblem::Unsettled { name: name.into() }
    }

    /// A search that ended nowhere although one coefficient had no prior ran off
    /// along it (most often ln s, where too few events leave the times no spread).
    fn lost(&self, rounds: usize, flat: Option<usize>) -> DurationProblem {
        match flat {
            Some(_) if self.ln_scale.sd == f64::INFINITY => self.unsettled(self.names.len()),
            Some(flat) => self.unsettled(flat),
            None => DurationProblem::Rounds { rounds },
        }
    }

    fn room(&self, table: &Table) -> Room {
        let p = self.names.len();
        let bound = |side: &[Option<f64>], none: f64, ln_scale: Option<f64>| {
            let scaled = side.iter().zip(&table.scale);
            let inner = scaled.map(|(b, s)| b.map_or(none, |b| b * s));
            inner.chain([ln_scale.unwrap_or(none)]).collect()
        };
        let mut longest = vec![f64::INFINITY; p];
        longest.push(LONGEST_SCALE_STEP);
        Room {
            lower: bound(&self.lower, f64::NEG_INFINITY, self.least_ln_scale),
            upper: bound(&self.upper, f64::INFINITY, None),
            held: (0..=p).map(|i| self.prior(i).sd == 0.0).collect(),
            longest,
        }
    }

    fn start(&self, table: &Table, room: &Room) -> Vec<f64> {
        let p = self.names.len();
        let means: Vec<f64> = (0..=p)
            .map(|i| self.prior(i))
            .map(|prior| {
                if prior.sd.is_finite() {
                    prior.mean
                } else {
                    0.0
                }
            })
            .collect();
        let mut start = table.inward(&means[..p]);
        start.push(means[p]);
        if let (Some(i), Some(level)) = (table.intercept, table.level())
            && !self.is_tied(i)
        {
            for (j, value) in start.iter_mut().enumerate().take(p) {
                *value = match (j == i, room.held[j]) {
                    (true, _) => level,
                    (false, true) => *value,
                    (false, false) => 0.0,
                };
            }
        }
        let within = room.lower.iter().zip(&room.upper);
        let inside = start.into_iter().zip(within);
        inside
            .map(|(x, (low, high))| x.max(*low).min(*high))
            .collect()
    }

    /// Log posterior in the table's columns: the priors speak of the given
    /// columns, so the intercept's is carried over to every centred one.
    fn posterior(&self, table: &Table, at: &[f64]) -> Slope {
        let p = self.names.len();
        let n = p + 1;
        let mut slope = table.likelihood(at);
        let outer = table.outward(&at[..p]);
        for i in 0..n {
            let prior = self.prior(i);
            if !(prior.sd > 0.0 && prior.sd.is_finite()) {
                continue;
            }
            let precision = 1.0 / (prior.sd * prior.sd);
            let off = outer.get(i).copied().unwrap_or(at[p]) - prior.mean;
            slope.value -= off * off * precision / 2.0;
            let ways = ways(table, i);
            for (j, wj) in &ways {
                slope.gradient[*j] -= off * precision * wj;
                for (k, wk) in &ways {
                    slope.information[j * n + k] += precision * wj * wk;
                }
            }
        }
        slope
    }

    fn exact_bounds(&self, mut outer: Vec<f64>, resting: &[bool]) -> Vec<f64> {
        for (i, value) in outer.iter_mut().enumerate() {
            let prior = self.prior(i);
            if prior.sd == 0.0 {
                *value = prior.mean;
            } else if resting[i] {
                let sides = [self.lower[i], self.upper[i]].into_iter().flatten();
                let near = sides.min_by(|a, b| (a - *value).abs().total_cmp(&(b - *value).abs()));
                *value = near.unwrap_or(*value);
            }
        }
        outer
    }

    fn width(&self, what: &'static str, found: usize) -> Result<(), DurationProblem> {
        let expected = self.names.len();
        if found == expected {
            return Ok(());
        }
        Err(DurationProblem::Width {
            what,
            expected,
            found,
        })
    }

    fn check(&self) -> Result<(), DurationProblem> {
        self.width("the list of priors", self.priors.len())?;
        self.width("the list of lower bounds", self.lower.len())?;
        self.width("the list of upper bounds", self.upper.len())?;
        for i in 0..=self.names.len() {
            let prior = self.prior(i);
            let low = self.lower.get(i).copied().flatten();
            let high = self.upper.get(i).copied().flatten();
            let (low, high) = (
                low.unwrap_or(f64::NEG_INFINITY),
                high.unwrap_or(f64::INFINITY),
            );
            let wrong = if prior.sd.is_nan() || prior.sd < 0.0 {
                Some(prior.sd)
            } else if !prior.mean.is_finite() {
                Some(prior.mean)
            } else if !(low <= high && low < f64::INFINITY && high > f64::NEG_INFINITY) {
                Some(low)
            } else if prior.sd == 0.0 && !(low..=high).contains(&prior.mean) {
                Some(prior.mean)
            } else {
                None
            };
            if let Some(value) = wrong {
                let name = self.names.get(i).map_or("ln s", String::as_str).into();
                return Err(DurationProblem::Model { name, value });
            }
        }
        Ok(())
    }
}

/// How the given column's coefficient `i` follows from the table's: the places
/// and factors that are not 0. The place after the last column is ln s.
fn ways(table: &Table, i: usize) -> Vec<(usize, f64)> {
    let Some(scale) = table.scale.get(i) else {
        return vec![(i, 1.0)];
    };
    let mut ways = vec![(i, 1.0 / scale)];
    if Some(i) == table.intercept {
        let others = table.centre.iter().zip(&table.scale).enumerate();
        let moved = others.filter(|(_, (centre, _))| **centre != 0.0);
        ways.extend(moved.map(|(j, (centre, scale))| (j, -centre / scale)));
    }
    ways
}

/// Covariance of the given columns' coefficients from that of the table's.
fn spread_outward(table: &Table, inner: &[f64]) -> Vec<f64> {
    let n = table.columns + 1;
    let all: Vec<Vec<(usize, f64)>> = (0..n).map(|i| ways(table, i)).collect();
    let mut outer = Vec::with_capacity(n * n);
    for a in &all {
        for b in &all {
            let pairs = a.iter().flat_map(|wa| b.iter().map(move |wb| (wa, wb)));
            outer.push(
                pairs
                    .map(|((i, wi), (j, wj))| wi * wj * inner[i * n + j])
                    .sum(),
            );
        }
    }
    outer
}
