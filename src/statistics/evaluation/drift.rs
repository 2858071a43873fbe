//! Whether scores that should lie about 0 have begun to lean.

use crate::statistics::distribution::student_t::student_t_quantile;

/// One arm of the chart.
#[derive(Clone, Copy, Debug, Default)]
struct Arm {
    sum: f64,
    began: usize,
    total: f64,
    scores: usize,
}

impl Arm {
    /// Adds what `score` exceeds the slack by in the arm's own direction.
    fn add(&mut self, at: usize, score: f64, excess: f64) {
        if self.sum == 0.0 {
            *self = Self {
                began: at,
                ..Self::default()
            };
        }
        self.total += score;
        self.scores += 1;
        self.sum = (self.sum + excess).max(0.0);
    }
}

/// Two-sided tabular cumulative sum chart of standardised scores:
/// `up <- max(0, up + z - slack)` and `down <- max(0, down - z - slack)`, a signal
/// where one passes the limit (Page 1954, Biometrika 41:100-115; NIST/SEMATECH
/// *e-Handbook of Statistical Methods*, 6.3.2.3). Both arms start again from 0
/// after a signal. For normal scores, slack 0.5 and limit 4 a false signal comes
/// once in 168 scores, and one standard deviation of drift is told after 8.4 (Lucas
/// & Crosier 1982, Technometrics 24:199-205, table 1).
#[derive(Clone, Copy, Debug)]
pub struct Cusum {
    /// Half the lean that is to be found, in standard deviations; 0 or more.
    pub slack: f64,
    /// What an arm must pass, in standard deviations; above 0.
    pub limit: f64,
    seen: usize,
    up: Arm,
    down: Arm,
}

/// A lean that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Signal {
    /// Index of the score at which it was found.
    pub at: usize,
    /// Index of the first score of the run that led to it: the score after the arm
    /// was last 0, the chart's estimate of when the lean began.
    pub began: usize,
    /// Whether the scores lean upward.
    pub up: bool,
    /// Mean score from `began` to `at`. It leans too far, as only large runs signal.
    pub mean: f64,
}

impl Cusum {
    /// A chart that has seen nothing.
    pub fn new(slack: f64, limit: f64) -> Self {
        Self {
            slack,
            limit,
            seen: 0,
            up: Arm::default(),
            down: Arm::default(),
        }
    }

    /// The two sums, upward and downward, 0 or more each.
    pub fn sums(&self) -> (f64, f64) {
        (self.up.sum, self.down.sum)
    }

    /// Takes in the next score. One that is not finite counts as an index and
    /// otherwise passes unseen.
    pub fn saw(&mut self, score: f64) -> Option<Signal> {
        let at = self.seen;
        self.seen += 1;
        if !score.is_finite() {
            return None;
        }
        self.up.add(at, score, score - self.slack);
        self.down.add(at, score, -score - self.slack);
        // Only one arm can grow, so only one can pass the limit.
        let up = self.up.sum > self.limit;
        if !up && self.down.sum <= self.limit {
            return None;
        }
        let arm = if up { self.up } else { self.down };
        (self.up, self.down) = (Arm::default(), Arm::default());
        Some(Signal {
            at,
            began: arm.began,
            up,
            mean: arm.total / arm.scores as f64,
        })
    }
}

/// All signals of the scores, in order: see [`Cusum`].
///
/// ```
/// use wheelworth::statistics::evaluation::drift::signals;
/// let found = signals(&[0.0, -1.0, 2.0, 2.5, 2.0], 0.5, 4.0);
/// assert_eq!((found.len(), found[0].began, found[0].at, found[0].up), (1, 2, 4, true));
/// ```
pub fn signals(scores: &[f64], slack: f64, limit: f64) -> Vec<Signal> {
    let mut chart = Cusum::new(slack, limit);
    scores.iter().filter_map(|z| chart.saw(*z)).collect()
}

/// How far scores lean on average.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lean {
    /// Mean of the scores, each drawn in to within [`FARTHEST`] of 0.
    pub mean: f64,
    /// Its Student t interval.
    pub interval: (f64, f64),
    /// Scores counted.
    pub scores: usize,
}

/// How far from 0 a single score may count, in standard deviations: one
/// misprint must not become a lean.
pub const FARTHEST: f64 = 3.0;

/// Fewest scores whose lean is told.
pub const FEWEST_SCORES: usize = 5;

/// The mean of scores winsorised at [`FARTHEST`], with its Student t interval at a
/// confidence above 0 and below 1; `None` below [`FEWEST_SCORES`] scores. Scores
/// that are not finite are left out; equal ones have an interval without width.
pub fn lean(scores: &[f64], confidence: f64) -> Option<Lean> {
    let drawn_in: Vec<f64> = scores
        .iter()
        .filter(|z| z.is_finite())
        .map(|z| z.clamp(-FARTHEST, FARTHEST))
        .collect();
    if drawn_in.len() < FEWEST_SCORES {
        return None;
    }
    let count = drawn_in.len() as f64;
    let mean = drawn_in.iter().sum::<f64>() / count;
    let squares: f64 = drawn_in.iter().map(|z| (z - mean).powi(2)).sum();
    let standard_error = (squares / (count - 1.0) / count).sqrt();
    let reach = standard_error * student_t_quantile(f64::midpoint(1.0, confidence), count - 1.0);
    Some(Lean {
        mean,
        interval: (mean - reach, mean + reach),
        scores: drawn_in.len(),
    })
}
