//! Rows that share a code, and the quarters of one of their columns.

use polars::prelude::{ChunkQuantile as _, DataFrame, DataType, PolarsResult, QuantileMethod};

/// Shares of the values below each quarter.
const QUARTERS: [f64; 3] = [0.25, 0.5, 0.75];

/// The rows of one code.
pub(in crate::pricing) struct CodeGroup {
    /// What they share.
    pub(in crate::pricing) code: u32,
    /// They.
    pub(in crate::pricing) rows: DataFrame,
}

impl CodeGroup {
    /// Lower quartile, median and upper quartile of a column, by straight lines
    /// between the sorted values (definition 7 of Hyndman & Fan 1996, The American
    /// Statistician 50:361-365, from memory); `None` each without a value.
    ///
    /// # Errors
    /// What the table library says.
    pub(in crate::pricing) fn quarters(&self, of: &str) -> PolarsResult<[Option<f64>; 3]> {
        let values = self.rows.column(of)?.cast(&DataType::Float64)?;
        let values = values.f64()?;
        let mut found = [None; 3];
        for (place, share) in found.iter_mut().zip(QUARTERS) {
            *place = values.quantile(share, QuantileMethod::Linear)?;
        }
        Ok(found)
    }
}

/// The rows of each code that a column of codes holds, in the order in which the
/// codes first appear.
///
/// # Errors
/// What the table library says.
pub(in crate::pricing) fn groups(frame: &DataFrame, by: &str) -> PolarsResult<Vec<CodeGroup>> {
    if frame.height() == 0 {
        return Ok(Vec::new());
    }
    let parts = frame.partition_by_stable([by], true)?;
    let group = |rows: DataFrame| {
        let code = rows.column(by)?.u32()?.first().unwrap_or(0);
        Ok(CodeGroup { code, rows })
    };
    parts.into_iter().map(group).collect()
}
