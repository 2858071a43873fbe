//! Asks far from their like: possible, but worth a second look.

use crate::pricing::market::groups::groups;
use crate::statistics::linear::robust::median;
use crate::trade::Style;
use polars::prelude::{Column, DataFrame, PolarsResult};

/// An ask this many times its like, or this small a part of it, is told. Ten
/// times is what a slipped decimal makes; asks of one style commonly lie within
/// a factor of 2 of their median, so a slipped one may look like 6 times.
pub const TIMES: f64 = 6.0;
/// Others of the style needed before anything is called unusual.
const OTHERS: usize = 2;

/// Rows of a style above which one of them cannot move the median much.
const MANY: usize = 200;

/// Asks seen so far, one entry each.
#[derive(Clone, Debug, Default)]
pub struct AsksByStyle {
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

/// Prices of one style.
#[derive(Clone, Copy, Default)]
struct Like {
    low: f64,
    median: f64,
    high: f64,
    rows: usize,
}

impl Like {
    /// A factor that few prices of a style this spread out reach: four normal
    /// deviations, each the quartiles' distance over 1.349.
    fn wide(&self) -> f64 {
        if self.low > 0.0 {
            (4.0 * (self.high / self.low).ln() / 1.349).exp()
        } else {
            TIMES
        }
    }
}

impl AsksByStyle {
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
        let frame = DataFrame::new(
            self.styles.len(),
            vec![
                Column::new("style".into(), &self.styles),
                Column::new("amount".into(), &self.amounts),
            ],
        )?;
        let mut like = [Like::default(); Style::ALL.len()];
        for group in groups(&frame, "style")? {
            if let ([Some(low), Some(median), Some(high)], Some(place)) =
                (group.quarters("amount")?, like.get_mut(group.code as usize))
            {
                *place = Like {
                    low,
                    median,
                    high,
                    rows: group.rows.height(),
                };
            }
        }
        let all = self
            .styles
            .iter()
            .zip(&self.amounts)
            .zip(&self.lines)
            .enumerate();
        let mut found = Vec::new();
        for (row, ((style, ask), line)) in all.filter(|(_, (_, line))| **line > 0) {
            let Some(like) = like.get(*style as usize).filter(|l| l.rows > OTHERS) else {
                continue;
            };
            let (median, times) = if like.rows > MANY {
                (like.median, TIMES.max(like.wide()))
            } else {
                (self.median_of_others(row), TIMES)
            };
            if ratio(*ask, median) >= times
                && let Some(style) = Style::ALL.get(*style as usize)
            {
                found.push(Unusual {
                    line: *line,
                    style: *style,
                    ask: *ask,
                    median,
                });
            }
        }
        Ok(found)
    }

    /// Median of the others of the style of a row.
    fn median_of_others(&self, row: usize) -> f64 {
        let like = |i: &usize| *i != row && self.styles.get(*i) == self.styles.get(row);
        let others = (0..self.styles.len()).filter(like);
        median(
            others
                .filter_map(|i| self.amounts.get(i).copied())
                .collect(),
        )
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
