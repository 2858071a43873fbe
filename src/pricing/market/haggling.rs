//! From ask to sale price: how far below what was asked bikes are sold.

use polars::prelude::*;

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
        let frame = DataFrame::new(
            self.kinds.len(),
            vec![
                Column::new("kind".into(), self.kinds),
                Column::new("log".into(), self.logs),
            ],
        )?;
        let quantile = |share: f64, name: &str| {
            let log = col("log").quantile(lit(share), QuantileMethod::Linear);
            log.alias(name)
        };
        let found = frame
            .lazy()
            .group_by([col("kind")])
            .agg([
                len().cast(DataType::UInt32).alias("rows"),
                quantile(0.25, "low"),
                quantile(0.5, "median"),
                quantile(0.75, "high"),
            ])
            .collect()?;
        let mut gaps = [Gap::default(); 4];
        for i in 0..found.height() {
            let fraction = |name: &str| -> PolarsResult<Option<f64>> {
                Ok(found.column(name)?.f64()?.get(i).map(f64::exp_m1))
            };
            let count = |name: &str| -> PolarsResult<usize> {
                Ok(found.column(name)?.u32()?.get(i).unwrap_or(0) as usize)
            };
            if let Some(gap) = gaps.get_mut(count("kind")?) {
                *gap = Gap {
                    sales: count("rows")?,
                    low: fraction("low")?,
                    median: fraction("median")?,
                    high: fraction("high")?,
                };
            }
        }
        Ok(gaps)
    }
}
