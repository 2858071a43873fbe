//! The figures of a row: present values beside the best, and stated chances
//! beside the true ones.

use std::collections::BTreeMap;

/// A present value beside the best, bike by bike.
#[derive(Default)]
pub struct Shares {
    /// Market, present value, the best.
    rows: Vec<(u64, f64, f64)>,
}

impl Shares {
    /// One bike of a market.
    pub fn add(&mut self, market: u64, value: f64, best: f64) {
        self.rows.push((market, value, best));
    }

    /// Every share.
    pub fn each(&self) -> impl Iterator<Item = f64> {
        self.rows.iter().map(|(_, value, best)| value / best)
    }

    /// Mean present value in percent of the best's; NaN without any.
    pub fn of_means(&self) -> f64 {
        let (value, best) = self
            .rows
            .iter()
            .fold((0.0, 0.0), |sum, row| (sum.0 + row.1, sum.1 + row.2));
        100.0 * value / best
    }

    /// Standard error of [`Self::of_means`], from market to market.
    pub fn error(&self) -> f64 {
        let share = self.of_means() / 100.0;
        let mut markets: BTreeMap<u64, f64> = BTreeMap::new();
        for (market, value, best) in &self.rows {
            *markets.entry(*market).or_default() += value - share * best;
        }
        let squares: f64 = markets.values().map(|miss| miss * miss).sum();
        let best: f64 = self.rows.iter().map(|row| row.2).sum();
        100.0 * squares.sqrt() / best
    }

    /// Mean share in percent, each bike counting alike.
    pub fn mean(&self) -> f64 {
        100.0 * self.each().sum::<f64>() / self.rows.len() as f64
    }
}

/// Stated less true chances, in points.
#[derive(Default)]
pub struct Misses(Vec<[f64; 4]>);

impl Misses {
    /// One bike.
    pub fn add(&mut self, stated: [f64; 4], truth: [f64; 4]) {
        self.0
            .push(std::array::from_fn(|i| 100.0 * (stated[i] - truth[i])));
    }

    fn mean(&self, of: impl Fn(f64) -> f64) -> [f64; 4] {
        std::array::from_fn(|i| self.0.iter().map(|m| of(m[i])).sum::<f64>() / self.0.len() as f64)
    }

    /// Root mean square by day, and over all.
    pub fn spread(&self) -> [f64; 5] {
        let squares = self.mean(|m| m * m);
        let all = squares.iter().sum::<f64>() / 4.0;
        let [a, b, c, d] = squares;
        [a, b, c, d, all].map(f64::sqrt)
    }

    /// Mean by day.
    pub fn lean(&self) -> [f64; 4] {
        self.mean(|m| m)
    }
}
