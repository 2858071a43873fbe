//! From ask to sale price: how far below what was asked bikes are sold.

use super::groups::groups;
use polars::prelude::{Column, DataFrame, PolarsResult};

/// Which ask the sale price is held against, and whose.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// First ask of an own bike.
    OwnFirst,
    /// Last ask of an own bike whose price changes are known.
    OwnLast,
    /// First ask of a comp whose sale price is known.
    CompFirst,
    /// Last ask of such a comp.
    CompLast,
}

impl Against {
    /// All, in order.
    pub const ALL: [Against; 4] = [
        Against::OwnFirst,
        Against::OwnLast,
        Against::CompFirst,
        Against::CompLast,
    ];

    /// Its name in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Against::OwnFirst => "own_first_ask",
            Against::OwnLast => "own_last_ask",
            Against::CompFirst => "comp_first_ask",
            Against::CompLast => "comp_last_ask",
        }
    }
}

/// Sale price over ask less 1, as a fraction: -0.08 is 8 % below the ask. Median
/// and quartiles are those of ln(sale price / ask).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gap {
    /// Sales with both.
    pub sales: usize,
    /// A quarter came down by more than this.
    pub low: Option<f64>,
    /// Half did.
    pub median: Option<f64>,
    /// A quarter came down by less (or went above the ask).
    pub high: Option<f64>,
}

/// Pairs of ask and sale price.
#[derive(Clone, Debug, Default)]
pub(super) struct Pairs {
    kinds: Vec<u32>,
    logs: Vec<f64>,
}

impl Pairs {
    /// Takes a pair in whole minor units; nothing where one is not above 0.
    pub(super) fn push(&mut self, against: Against, ask: i64, price: i64) {
        if ask > 0 && price > 0 {
            self.kinds.push(against as u32);
            self.logs.push((price as f64 / ask as f64).ln());
        }
    }

    /// The gaps, in the order of [`Against::ALL`].
    ///
    /// # Errors
    /// What the table library says.
    pub(super) fn gaps(self) -> PolarsResult<[Gap; 4]> {
        let columns = vec![
            Column::new("kind".into(), self.kinds),
            Column::new("log".into(), self.logs),
        ];
        let mut gaps = [Gap::default(); 4];
        for group in groups(&DataFrame::new_infer_height(columns)?, "kind")? {
            if let Some(gap) = gaps.get_mut(group.code as usize) {
                let [low, median, high] = group.quarters("log")?.map(|q| q.map(f64::exp_m1));
                *gap = Gap {
                    sales: group.rows.height(),
                    low,
                    median,
                    high,
                };
            }
        }
        Ok(gaps)
    }
}

#[cfg(test)]
mod tests {
    use super::{Against, Pairs};

    /// An ask of 200 for which 180 was paid: a tenth came down. Nothing asked or nothing
    /// paid is no pair.
    #[test]
    fn a_pair_has_an_ask_and_a_price() {
        let mut pairs = Pairs::default();
        for (ask, price) in [(0, 18_000), (20_000, 0), (20_000, 18_000)] {
            pairs.push(Against::OwnLast, ask, price);
        }
        let gap = pairs.gaps().unwrap()[Against::OwnLast as usize];
        assert_eq!(gap.sales, 1);
        assert!((gap.median.unwrap() + 0.1).abs() < 1e-12, "{gap:?}");
    }
}
