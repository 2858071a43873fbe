//! Asks far from their like: possible, but worth a second look.

use crate::trade::Style;
use polars::prelude::*;

/// An ask this many times its like, or this small a part of it, is told. Ten
/// times is what a slipped decimal makes; asks of one style commonly lie within
/// a factor of 2 of their median, so a slipped one may look like 6 times.
pub const TIMES: f64 = 6.0;
/// Others of the style needed before anything is called unusual.
const OTHERS: usize = 2;

/// Asks seen so far, one entry each.
#[derive(Clone, Debug, Default)]
pub struct Asks {
    styles: Vec<u32>,
    amounts: Vec<f64>,
    lines: Vec<u32>,
}

/// An ask far from the median of the others of its style.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unusual {
    /// Line of the file.
    pub line: u32,
    /// Style.
    pub style: Style,
    /// The ask, in the unit in which it was given.
    pub ask: f64,
    /// Median ask of the others of this style.
    pub median: f64,
}

impl Asks {
    /// Adds an ask of the book (`line` 0) or of a line of the file.
    pub fn push(&mut self, style: Style, amount: f64, line: u32) {
        self.styles.push(style.index() as u32);
        self.amounts.push(amount);
        self.lines.push(line);
    }

    /// The file's asks that are far from their like, in the order of lines.
    ///
    /// # Errors
    /// What the table library says.
    pub fn unusual(self) -> PolarsResult<Vec<Unusual>> {
        let rows = self.styles.len();
        let frame = DataFrame::new(
            rows,
            vec![
                Column::new("style".into(), self.styles),
                Column::new("amount".into(), self.amounts),
                Column::new("line".into(), self.lines),
            ],
        )?;
        let medians = frame.clone().lazy().group_by([col("style")]).agg([
            col("amount").median().alias("median"),
            col("amount").alias("all"),
        ]);
        let mut found = Vec::new();
        let medians = medians.collect()?;
        let (styles, middles) = (
            medians.column("style")?.u32()?.clone(),
            medians.column("median")?.f64()?.clone(),
        );
        let all = medians.column("all")?.list()?.clone();
        let (style, amount, line) = (
            frame.column("style")?.u32()?,
            frame.column("amount")?.f64()?,
            frame.column("line")?.u32()?,
        );
        for i in 0..rows {
            let (Some(s), Some(ask), Some(line)) = (style.get(i), amount.get(i), line.get(i))
            else {
                continue;
            };
            if line == 0 {
                continue;
            }
            let Some(group) = styles.iter().position(|g| g == Some(s)) else {
                continue;
            };
            let Some(middle) = middles.get(group) else {
                continue;
            };
            // Cheap first look with itself among the rest, then the exact one.
            let others = all
                .get_as_series(group)
                .map_or(0, |s| s.len())
                .saturating_sub(1);
            if others < OTHERS || (others > 30 && ratio(ask, middle) < TIMES / 1.5) {
                continue;
            }
            let Some(series) = all.get_as_series(group) else {
                continue;
            };
            let mut rest: Vec<f64> = series.f64()?.into_no_null_iter().collect();
            if let Some(itself) = rest.iter().position(|a| *a == ask) {
                rest.swap_remove(itself);
            }
            let median = crate::statistics::robust::median(rest);
            if ratio(ask, median) >= TIMES
                && let Some(style) = Style::ALL.get(s as usize)
            {
                found.push(Unusual {
                    line,
                    style: *style,
                    ask,
                    median,
                });
            }
        }
        Ok(found)
    }
}

/// How many times one is the other, 1 or more.
fn ratio(a: f64, b: f64) -> f64 {
    if a <= 0.0 || b <= 0.0 {
        1.0
    } else {
        (a / b).max(b / a)
    }
}
