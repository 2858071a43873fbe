//! Episodes of lives as a table, and their Weibull likelihood in one pass.

use super::problem::DurationProblem;
use crate::statistics::optimise::newton::Slope;

/// A stretch of a life during which nothing that matters changed: from age
/// `entry` to age `exit`. A life found late starts with an `entry` above 0; a
/// life in which something changed is cut into several.
#[derive(Clone, Debug, PartialEq)]
pub struct Episode {
    /// The columns of the model, among them the 1 of an intercept.
    pub x: Vec<f64>,
    /// Age at its start.
    pub entry: f64,
    /// Age at its end.
    pub exit: f64,
    /// Share of the end that is an event: 1 an event, 0 none, between them
    /// where the reason is partly known.
    pub event: f64,
    /// How many such episodes the row stands for.
    pub weight: f64,
}

/// The episodes that carry anything, with their columns centred and scaled.
#[derive(Debug)]
pub(in crate::statistics) struct Table {
    pub columns: usize,
    /// Column that is the same in every row, and taken as the intercept.
    pub intercept: Option<usize>,
    /// What was taken off each column, in parts of the intercept's column.
    pub centre: Vec<f64>,
    /// What each column was then divided by.
    pub scale: Vec<f64>,
    x: Vec<f64>,
    rows: Vec<EpisodeRow>,
}

#[derive(Clone, Copy, Debug)]
struct EpisodeRow {
    log_entry: f64,
    log_exit: f64,
    event: f64,
    weight: f64,
    seen: f64,
}

impl Table {
    /// Checks the episodes and leaves out those of no length. `centred` moves
    /// the columns by a multiple of the intercept's, so that a column such as
    /// a year does not hide the others behind its size.
    pub(crate) fn of(
        episodes: &[Episode],
        columns: usize,
        centred: bool,
    ) -> Result<Self, DurationProblem> {
        let mut rows = Vec::with_capacity(episodes.len());
        let mut x = Vec::with_capacity(episodes.len() * columns);
        for (i, episode) in episodes.iter().enumerate() {
            check(i, episode, columns)?;
            let seen = episode.exit - episode.entry;
            if seen > 0.0 && episode.weight > 0.0 {
                x.extend_from_slice(&episode.x);
                rows.push(EpisodeRow {
                    log_entry: episode.entry.ln(),
                    log_exit: episode.exit.ln(),
                    event: episode.event,
                    weight: episode.weight,
                    seen,
                });
            }
        }
        let mut table = Self {
            columns,
            intercept: None,
            centre: vec![0.0; columns],
            scale: vec![1.0; columns],
            x,
            rows,
        };
        table.intercept = (0..columns).find(|&j| {
            let mut values = table.column(j);
            let first = values.next().unwrap_or(0.0);
            first != 0.0 && values.all(|v| v == first)
        });
        if centred {
            table.standardise();
        }
        Ok(table)
    }

    fn column(&self, j: usize) -> impl Iterator<Item = f64> {
        self.x.iter().skip(j).step_by(self.columns.max(1)).copied()
    }

    fn standardise(&mut self) {
        let n = self.rows.len().max(1) as f64;
        let constant = self.intercept.and_then(|j| self.column(j).next());
        for j in 0..self.columns {
            if Some(j) == self.intercept {
                continue;
            }
            let mean = self.column(j).sum::<f64>() / n;
            let centre = if constant.is_some() { mean } else { 0.0 };
            let square = self
                .column(j)
                .map(|v| (v - centre) * (v - centre))
                .sum::<f64>()
                / n;
            // A column that never varies keeps its size: nothing is left to scale.
            let scale = square.sqrt();
            let varies = scale > 1e-12 * mean.abs() && scale.is_finite();
            self.scale[j] = if varies { scale } else { 1.0 };
            self.centre[j] = centre / constant.unwrap_or(1.0);
            for row in self.x.chunks_exact_mut(self.columns) {
                row[j] = (row[j] - centre) / self.scale[j];
            }
        }
    }

    /// Number of episodes of some length.
    pub(crate) fn len(&self) -> usize {
        self.rows.len()
    }

    /// Sum of the weighted events.
    pub(crate) fn events(&self) -> f64 {
        self.rows.iter().map(|r| r.weight * r.event).sum()
    }

    /// The intercept that fits an exponential without other columns:
    /// `ln(time seen / events)`.
    pub(crate) fn level(&self) -> Option<f64> {
        let constant = self.column(self.intercept?).next()?;
        let seen: f64 = self.rows.iter().map(|r| r.weight * r.seen).sum();
        let level = (seen / self.events()).ln() / constant;
        level.is_finite().then_some(level)
    }

    /// Coefficients of the given columns from those of the table's.
    pub(crate) fn outward(&self, inner: &[f64]) -> Vec<f64> {
        let mut outer: Vec<f64> = inner.iter().zip(&self.scale).map(|(b, s)| b / s).collect();
        if let Some(i) = self.intercept {
            outer[i] -= self.moved(&outer);
        }
        outer
    }

    /// Coefficients of the table's columns from those of the given ones.
    pub(crate) fn inward(&self, outer: &[f64]) -> Vec<f64> {
        let mut inner: Vec<f64> = outer.iter().zip(&self.scale).map(|(b, s)| b * s).collect();
        if let Some(i) = self.intercept {
            inner[i] += self.moved(outer);
        }
        inner
    }

    fn moved(&self, outer: &[f64]) -> f64 {
        outer.iter().zip(&self.centre).map(|(b, c)| b * c).sum()
    }

    /// Log likelihood at coefficients of the table's columns followed by ln s,
    /// with its slope and curvature. With `z = (ln t - x'g) / s` an episode gives
    /// `d (z1 - ln s - ln t1) - e^z1 + e^z0`, z0 at its start and z1 at its end.
    pub(crate) fn likelihood(&self, at: &[f64]) -> Slope {
        let p = self.columns;
        let n = p + 1;
        let (coefficients, log_scale) = at.split_at(p.min(at.len()));
        let log_scale = log_scale.first().copied().unwrap_or(0.0);
        let rate = (-log_scale).exp();
        let mut value = 0.0;
        let mut gradient = vec![0.0; n];
        let mut information = vec![0.0; n * n];
        for (i, row) in self.rows.iter().enumerate() {
            let x = &self.x[i * p..(i + 1) * p];
            let location: f64 = x.iter().zip(coefficients).map(|(x, b)| x * b).sum();
            let z1 = (row.log_exit - location) * rate;
            let end = z1.exp();
            // Age 0 has z0 = -infinity, and adds nothing anywhere.
            let (z0, start) = if row.log_entry > f64::NEG_INFINITY {
                let z0 = (row.log_entry - location) * rate;
                (z0, z0.exp())
            } else {
                (0.0, 0.0)
            };
            let d = row.event;
            value += row.weight * (d * (z1 - log_scale - row.log_exit) - end + start);
            let slope = d - end + start;
            let tilt = z1 * (d - end) + z0 * start;
            let bend = z1 * end - z0 * start;
            gradient[p] -= row.weight * (d + tilt);
            information[p * n + p] += row.weight * (z1 * z1 * end - z0 * z0 * start - tilt);
            let own = row.weight * (end - start) * rate * rate;
            let cross = row.weight * (bend - slope) * rate;
            let pull = row.weight * slope * rate;
            for (j, xj) in x.iter().enumerate() {
                gradient[j] -= pull * xj;
                information[p * n + j] += cross * xj;
                let scaled = own * xj;
                let line = &mut information[(j * n)..=(j * n + j)];
                for (cell, xk) in line.iter_mut().zip(x) {
                    *cell += scaled * xk;
                }
            }
        }
        for j in 0..n {
            for k in 0..j {
                information[k * n + j] = information[j * n + k];
            }
        }
        Slope {
            value,
            gradient,
            information,
        }
    }
}

fn check(row: usize, episode: &Episode, columns: usize) -> Result<(), DurationProblem> {
    if episode.x.len() != columns {
        return Err(DurationProblem::Width {
            what: "an episode",
            expected: columns,
            found: episode.x.len(),
        });
    }
    let bad = |what, value, rule| {
        Err(DurationProblem::Number {
            row,
            what,
            value,
            rule,
        })
    };
    for &value in &episode.x {
        if !value.is_finite() {
            return bad("column", value, "it must be finite");
        }
    }
    for (what, value) in [
        ("entry", episode.entry),
        ("exit", episode.exit),
        ("weight", episode.weight),
    ] {
        if !(value.is_finite() && value >= 0.0) {
            return bad(what, value, "it must be finite and not negative");
        }
    }
    if !(0.0..=1.0).contains(&episode.event) {
        return bad("event", episode.event, "it must lie from 0 to 1");
    }
    if episode.event > 0.0 && episode.weight > 0.0 && episode.exit <= episode.entry {
        return Err(DurationProblem::EventBeforeEntry {
            row,
            entry: episode.entry,
            exit: episode.exit,
        });
    }
    Ok(())
}
