//! Cells in columns.

use super::wrap::{padded, width};
use std::fmt::Write as _;

/// A column: on which side its cells stand, how wide it is, what sets it apart.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    to_the_right: bool,
    least: usize,
    fits: bool,
    gap: &'static str,
}

impl Column {
    /// Cells at the left, one blank after the column before.
    pub const fn left(width: usize) -> Self {
        Self {
            to_the_right: false,
            least: width,
            fits: false,
            gap: " ",
        }
    }

    /// Cells at the right, one blank after the column before.
    pub const fn right(width: usize) -> Self {
        Self {
            to_the_right: true,
            ..Self::left(width)
        }
    }

    /// As wide as its widest cell, and `width` at least. Without it a wider cell moves
    /// the rest of its line.
    #[must_use]
    pub const fn fitted(self) -> Self {
        Self { fits: true, ..self }
    }

    /// What stands between it and the column before, or before the first.
    #[must_use]
    pub const fn after(self, gap: &'static str) -> Self {
        Self { gap, ..self }
    }
}

enum Row {
    Cells(Vec<String>),
    Across(String),
    Rule,
}

/// Rows of cells; cells that a row lacks are empty.
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Row>,
}

impl Table {
    /// Without rows.
    pub fn new(columns: impl IntoIterator<Item = Column>) -> Self {
        Self {
            columns: columns.into_iter().collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row<C: Into<String>>(&mut self, cells: impl IntoIterator<Item = C>) {
        let cells = cells.into_iter().map(Into::into).collect();
        self.rows.push(Row::Cells(cells));
    }

    /// Adds a line that keeps to no column and widens none.
    pub fn across(&mut self, text: impl Into<String>) {
        self.rows.push(Row::Across(text.into()));
    }

    /// Adds a rule below all columns but the first.
    pub fn rule(&mut self) {
        self.rows.push(Row::Rule);
    }

    /// Columns of the screen that stand before a column of the table, its gap among
    /// them.
    pub fn before(&self, column: usize) -> usize {
        let widths = self.widths().into_iter().take(column);
        let gaps = self.columns.iter().take(column + 1);
        widths.sum::<usize>() + gaps.map(|of| width(of.gap)).sum::<usize>()
    }

    fn widths(&self) -> Vec<usize> {
        let cells = |place: usize| {
            self.rows.iter().filter_map(move |row| match row {
                Row::Cells(cells) => cells.get(place),
                Row::Across(_) | Row::Rule => None,
            })
        };
        let of = |(place, column): (usize, &Column)| {
            let widest = cells(place).map(|cell| width(cell)).max();
            widest
                .filter(|_| column.fits)
                .map_or(column.least, |widest| widest.max(column.least))
        };
        self.columns.iter().enumerate().map(of).collect()
    }

    /// Writes the rows, without blanks at the ends of lines.
    pub fn write(&self, out: &mut String) {
        let widths = self.widths();
        for row in &self.rows {
            let line = match row {
                Row::Across(text) => text.clone(),
                Row::Cells(cells) => self.line(&widths, |place| cells.get(place).cloned()),
                Row::Rule => self.line(&widths, |place| {
                    (place > 0).then(|| "-".repeat(widths[place]))
                }),
            };
            let _ = writeln!(out, "{}", line.trim_end());
        }
    }

    fn line(&self, widths: &[usize], cell: impl Fn(usize) -> Option<String>) -> String {
        let mut line = String::new();
        for (place, (column, wide)) in self.columns.iter().zip(widths).enumerate() {
            let cell = cell(place).unwrap_or_default();
            line.push_str(column.gap);
            if column.to_the_right {
                line.push_str(&" ".repeat(wide.saturating_sub(width(&cell))));
                line.push_str(&cell);
            } else {
                line.push_str(&padded(&cell, *wide));
            }
        }
        line
    }
}

#[cfg(test)]
mod tests {
    use super::{Column, Table};

    #[test]
    fn columns_keep_their_width_or_fit_their_cells() {
        let columns = [
            Column::left(3).after("  "),
            Column::right(2).fitted(),
            Column::left(0).after(" | "),
        ];
        let mut table = Table::new(columns);
        table.row(["a", "1234", "x"]);
        table.across("a line of its own");
        table.row(["longer", "5", ""]);
        table.rule();
        let mut out = String::new();
        table.write(&mut out);
        let expected = "  a   1234 | x\na line of its own\n  longer    5 |\n      ---- |\n";
        assert_eq!(out, expected);
        assert_eq!(table.before(2), 2 + 3 + 1 + 4 + 3);
    }
}
