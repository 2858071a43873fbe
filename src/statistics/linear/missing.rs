//! What an unknown feature is expected to be, given the known ones.
//!
//! Rows are vectors in which whole groups of entries may be unknown. Means and
//! covariances come from the rows in which both entries are known, together
//! with prior moments worth a stated number of rows; an unknown group takes its
//! best linear prediction from the known entries, and what that leaves unknown
//! is returned as a covariance (Buck 1960, J. R. Statist. Soc. B 22, from memory).

use std::ops::Range;

/// Running first and second moments of rows with unknown groups.
#[derive(Clone, Debug)]
pub struct Moments {
    size: usize,
    /// Entries of each group that may be unknown.
    groups: Vec<Range<usize>>,
    count: Vec<f64>,
    sum: Vec<f64>,
    /// Products over the rows that know both entries: count, sum of x, of x y.
    pair_count: Vec<f64>,
    pair_x: Vec<f64>,
    pair_xy: Vec<f64>,
    prior_mean: Vec<f64>,
    prior_variance: Vec<f64>,
    prior_rows: f64,
    /// Weight of each entry in what its group tells of other groups; `None`:
    /// every entry tells by itself.
    summary: Option<Vec<f64>>,
    /// Prior rows, without any connection, for entries of two groups.
    across_rows: f64,
}

/// Expectation of the unknown entries for one missingness mask.
#[derive(Clone, Debug, serde::Serialize, serde::Deserialize)]
pub struct Completion {
    unknown: Vec<usize>,
    /// What is known: sums of entries times weights.
    known: Vec<Vec<(usize, f64)>>,
    /// Row-major, unknown x known.
    slopes: Vec<f64>,
    /// Row-major covariance of the unknown entries given the known ones.
    left: Vec<f64>,
    mean: Vec<f64>,
}

impl Moments {
    /// Nothing seen yet. `prior_covariance` is row-major, `size` squared, and is
    /// worth `prior_rows` rows, as is `prior_mean`.
    pub fn new(
        groups: Vec<Range<usize>>,
        prior_mean: Vec<f64>,
        prior_covariance: Vec<f64>,
        prior_rows: f64,
    ) -> Self {
        let size = prior_mean.len();
        let zeros = || vec![0.0; size * size];
        Self {
            size,
            groups,
            count: vec![0.0; size],
            sum: vec![0.0; size],
            pair_count: zeros(),
            pair_x: zeros(),
            pair_xy: zeros(),
            prior_mean,
            prior_variance: prior_covariance,
            prior_rows,
            summary: None,
            across_rows: prior_rows,
        }
    }

    /// Lets each known group tell of the others only by the sum of its entries
    /// times `weights` (a group whose weights are all 0 tells nothing), and holds
    /// connections between groups back as if `across_rows` rows had shown none.
    /// With few rows, many predictors would follow their noise.
    #[must_use]
    pub fn summarised(mut self, weights: Vec<f64>, across_rows: f64) -> Self {
        self.summary = Some(weights);
        self.across_rows = across_rows;
        self
    }

    /// Number of the group an entry belongs to, if any.
    fn group_of(&self, entry: usize) -> Option<usize> {
        self.groups.iter().position(|group| group.contains(&entry))
    }

    /// The predictors that the known entries make.
    fn predictors(&self, mask: &[bool]) -> Vec<Vec<(usize, f64)>> {
        let Some(weights) = &self.summary else {
            return (0..self.size)
                .filter(|i| mask[*i])
                .map(|i| vec![(i, 1.0)])
                .collect();
        };
        let single = (0..self.size)
            .filter(|i| self.group_of(*i).is_none())
            .map(|i| vec![(i, 1.0)]);
        let summed = self
            .groups
            .iter()
            .filter(|group| mask[group.start])
            .map(|group| {
                group
                    .clone()
                    .map(|i| (i, weights[i]))
                    .filter(|(_, w)| *w != 0.0)
                    .collect::<Vec<_>>()
            });
        single.chain(summed).filter(|p| !p.is_empty()).collect()
    }

    /// Adds a row that counts as `weight` rows; `known` is its missingness mask, in
    /// which bit g says that group g is known. Entries outside every group are always
    /// known.
    pub fn push(&mut self, row: &[f64], known: u32, weight: f64) {
        let mask = self.mask(known);
        for i in (0..self.size).filter(|i| mask[*i]) {
            self.count[i] += weight;
            self.sum[i] += weight * row[i];
            for j in (0..self.size).filter(|j| mask[*j]) {
                let at = i * self.size + j;
                self.pair_count[at] += weight;
                self.pair_x[at] += weight * row[i];
                self.pair_xy[at] += weight * row[i] * row[j];
            }
        }
    }

    fn mask(&self, known: u32) -> Vec<bool> {
        let mut mask = vec![true; self.size];
        for (g, group) in self.groups.iter().enumerate() {
            if known & (1 << g) == 0 {
                mask[group.clone()].fill(false);
            }
        }
        mask
    }

    /// Means, shrunk to the prior's as its rows say.
    pub fn means(&self) -> Vec<f64> {
        (0..self.size)
            .map(|i| {
                (self.sum[i] + self.prior_rows * self.prior_mean[i])
                    / (self.count[i] + self.prior_rows)
            })
            .collect()
    }

    fn covariances(&self) -> Vec<f64> {
        let n = self.size;
        let mut out = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..n {
                let (at, across) = (i * n + j, j * n + i);
                let count = self.pair_count[at];
                // Centred at the means of the rows that know both, so that it
                // does not depend on where the scale starts.
                let centred = if count > 0.0 {
                    self.pair_xy[at] - self.pair_x[at] * self.pair_x[across] / count
                } else {
                    0.0
                };
                let rows = if self.group_of(i) == self.group_of(j) {
                    self.prior_rows
                } else {
                    self.across_rows
                };
                out[at] = (centred + rows * self.prior_variance[at]) / (count + rows);
            }
        }
        out
    }

    /// How to complete a row with the missingness mask `known`.
    pub fn completion(&self, known: u32) -> Completion {
        let mask = self.mask(known);
        let (mean, covariance, n) = (self.means(), self.covariances(), self.size);
        let unknown: Vec<usize> = (0..n).filter(|i| !mask[*i]).collect();
        let between = |a: &[(usize, f64)], b: &[(usize, f64)]| -> f64 {
            a.iter()
                .map(|(i, v)| {
                    b.iter()
                        .map(|(j, w)| v * w * covariance[i * n + j])
                        .sum::<f64>()
                })
                .sum()
        };
        // A known entry that never varies tells nothing.
        let known: Vec<Vec<(usize, f64)>> = self
            .predictors(&mask)
            .into_iter()
            .filter(|p| between(p, p) > 1e-12)
            .collect();
        let one = |i: &usize| vec![(*i, 1.0)];
        let table = |a: &[Vec<(usize, f64)>], b: &[Vec<(usize, f64)>]| -> Vec<f64> {
            a.iter()
                .flat_map(|x| b.iter().map(move |y| (x, y)))
                .map(|(x, y)| between(x, y))
                .collect()
        };
        let wanted: Vec<Vec<(usize, f64)>> = unknown.iter().map(one).collect();
        let (across, mut left) = (table(&wanted, &known), table(&wanted, &wanted));
        let slopes = solve_symmetric(&table(&known, &known), &across, known.len());
        let (k, u) = (known.len(), unknown.len());
        for i in 0..u {
            for j in 0..u {
                let explained: f64 = (0..k).map(|l| slopes[i * k + l] * across[j * k + l]).sum();
                left[i * u + j] -= explained;
            }
            left[i * u + i] = left[i * u + i].max(0.0);
        }
        Completion {
            unknown,
            known,
            slopes,
            left,
            mean,
        }
    }
}

impl Completion {
    /// Replaces the unknown entries of `row` by their expectation.
    pub fn fill(&self, row: &mut [f64]) {
        let k = self.known.len();
        self.unknown.iter().for_each(|at| row[*at] = 0.0);
        for (l, predictor) in self.known.iter().enumerate() {
            let away: f64 = predictor
                .iter()
                .map(|(j, w)| w * (row[*j] - self.mean[*j]))
                .sum();
            for (i, at) in self.unknown.iter().enumerate() {
                row[*at] += self.slopes[i * k + l] * away;
            }
        }
        self.unknown
            .iter()
            .for_each(|at| row[*at] += self.mean[*at]);
    }

    /// What [`Completion::fill`] does, in numbers.
    pub fn filling(&self) -> Filling<'_> {
        Filling {
            unknown: &self.unknown,
            told_by: &self.known,
            slopes: &self.slopes,
            mean: &self.mean,
        }
    }

    /// Variance of `b' x` that the unknown entries leave, never below 0.
    pub fn variance(&self, b: &[f64]) -> f64 {
        let u = self.unknown.len();
        let mut sum = 0.0;
        for i in 0..u {
            for j in 0..u {
                sum += b[self.unknown[i]] * self.left[i * u + j] * b[self.unknown[j]];
            }
        }
        sum.max(0.0)
    }
}

/// How a [`Completion`] fills in: each unknown entry is its mean, and for each sum of
/// known entries its slope times how far that sum is from its own mean.
#[derive(Clone, Copy, Debug)]
pub struct Filling<'c> {
    /// Places of the unknown entries.
    pub unknown: &'c [usize],
    /// What tells of them: sums of known entries (place, weight).
    pub told_by: &'c [Vec<(usize, f64)>],
    /// Row-major, unknown x told_by.
    pub slopes: &'c [f64],
    /// Mean of every entry.
    pub mean: &'c [f64],
}

/// Completions already worked out, by missingness mask.
#[derive(Clone, Debug, Default, serde::Serialize, serde::Deserialize)]
pub struct Completions(Vec<Completion>);

impl Completions {
    /// The completions for every missingness mask.
    pub fn of_all(moments: &Moments) -> Self {
        let patterns = 1_u32 << moments.groups.len().min(16);
        let completions = (0..patterns).map(|known| moments.completion(known));
        Self(completions.collect())
    }

    /// The completion for a missingness mask, if it was worked out.
    pub fn known(&self, known: u32) -> Option<&Completion> {
        self.0.get(known as usize)
    }
}

/// Rows `x` with `x S = b` for a symmetric S (k x k), by Cholesky. Pairwise
/// covariances need not be positive definite: the diagonal is raised, tenfold
/// each time, until they are.
fn solve_symmetric(s: &[f64], b: &[f64], k: usize) -> Vec<f64> {
    if k == 0 {
        return Vec::new();
    }
    let largest = (0..k).map(|i| s[i * k + i]).fold(0.0, f64::max);
    let mut lift = 1e-9;
    let lower = loop {
        if let Some(lower) = cholesky(s, k, lift) {
            break lower;
        }
        lift *= 10.0;
        if !(lift < 1e6 && largest.is_finite()) {
            return vec![0.0; b.len()];
        }
    };
    let mut out = b.to_vec();
    for row in out.chunks_exact_mut(k) {
        for i in 0..k {
            let sum: f64 = (0..i).map(|j| lower[i * k + j] * row[j]).sum();
            row[i] = (row[i] - sum) / lower[i * k + i];
        }
        for i in (0..k).rev() {
            let sum: f64 = (i + 1..k).map(|j| lower[j * k + i] * row[j]).sum();
            row[i] = (row[i] - sum) / lower[i * k + i];
        }
    }
    out
}

/// Lower Cholesky factor of S with each diagonal entry times `1 + lift`.
fn cholesky(s: &[f64], k: usize, lift: f64) -> Option<Vec<f64>> {
    let mut lower = vec![0.0; k * k];
    for i in 0..k {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|l| lower[i * k + l] * lower[j * k + l]).sum();
            if i == j {
                let left = s[i * k + i] * (1.0 + lift) - sum;
                if left.is_nan() || left <= 1e-10 * s[i * k + i] {
                    return None;
                }
                lower[i * k + i] = left.sqrt();
            } else {
                lower[i * k + j] = (s[i * k + j] - sum) / lower[j * k + j];
            }
        }
    }
    Some(lower)
}
