//! Cells in columns.

use super::wrap::{cut, padded, width, wrap};
use std::fmt::Write as _;

/// Columns of a screen that a table keeps to, where some of its columns give way.
pub const SCREEN: usize = 80;

/// A column: on which side its cells stand, how wide it is, what sets it apart.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    to_the_right: bool,
    least: usize,
    fits: bool,
    gap: &'static str,
    gives_way: Option<GivesWay>,
}

/// What becomes of cells that are wider than the screen has room for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum GivesWay {
    /// They end in `…`.
    Cut,
    /// They go on in lines below.
    Broken,
}

impl Column {
    /// Cells at the left, one blank after the column before.
    pub const fn left(width: usize) -> Self {
        Self {
            to_the_right: false,
            least: width,
            fits: false,
            gap: " ",
            gives_way: None,
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

    /// Fitted, and where the table is wider than a screen its cells are cut, down to `width`.
    #[must_use]
    pub const fn cut(width: usize) -> Self {
        Self {
            fits: true,
            gives_way: Some(GivesWay::Cut),
            ..Self::left(width)
        }
    }

    /// Fitted, and where the table is wider than a screen its cells go on in lines below,
    /// in no less than `width`.
    #[must_use]
    pub const fn broken(width: usize) -> Self {
        Self {
            fits: true,
            gives_way: Some(GivesWay::Broken),
            ..Self::left(width)
        }
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

    /// As wide as the columns are by themselves.
    fn natural(&self) -> Vec<usize> {
        let cells = |place: usize| {
            self.rows.iter().filter_map(move |row| match row {
                Row::Cells(cells) => cells.get(place),
                Row::Across(_) | Row::Rule => None,
            })
        };
        let of = |(place, column): (usize, &Column)| {
            let widest = cells(place).map(|cell| width(cell)).max().unwrap_or(0);
            match column {
                // What gives way takes no more than it needs.
                Column {
                    gives_way: Some(_), ..
                } => widest,
                Column { fits: true, .. } => widest.max(column.least),
                _ => column.least,
            }
        };
        self.columns.iter().enumerate().map(of).collect()
    }

    /// The same, made narrower, the widest column that gives way first, until the table
    /// fits a screen or none can give more.
    fn widths(&self) -> Vec<usize> {
        let mut widths = self.natural();
        let gaps: usize = self.columns.iter().map(|of| width(of.gap)).sum();
        while gaps + widths.iter().sum::<usize>() > SCREEN {
            let places = (0..widths.len()).filter(|place| {
                let column = &self.columns[*place];
                column.gives_way.is_some() && widths[*place] > column.least
            });
            let Some(widest) = places.max_by_key(|place| widths[*place]) else {
                break;
            };
            widths[widest] -= 1;
        }
        widths
    }

    /// Writes the rows, without blanks at the ends of lines.
    pub fn write(&self, out: &mut String) {
        let widths = self.widths();
        for row in &self.rows {
            match row {
                Row::Across(text) => {
                    let _ = writeln!(out, "{}", text.trim_end());
                }
                Row::Cells(cells) => self.cells(out, &widths, cells),
                Row::Rule => {
                    let rules = widths.iter().enumerate();
                    let rules = rules.map(|(place, wide)| {
                        let wide = if place > 0 { *wide } else { 0 };
                        "-".repeat(wide)
                    });
                    self.line(out, &widths, &rules.collect::<Vec<_>>(), false);
                }
            }
        }
    }

    /// A row of cells, in as many lines as its broken ones take.
    fn cells(&self, out: &mut String, widths: &[usize], cells: &[String]) {
        let of = |(place, column): (usize, &Column)| {
            let cell = cells.get(place).map_or("", String::as_str);
            match column.gives_way {
                Some(GivesWay::Broken) if width(cell) > widths[place] => {
                    wrap(cell, widths[place], "", "")
                }
                Some(GivesWay::Cut) => vec![cut(cell, widths[place])],
                _ => vec![cell.to_string()],
            }
        };
        let parts: Vec<Vec<String>> = self.columns.iter().enumerate().map(of).collect();
        let lines = parts.iter().map(Vec::len).max().unwrap_or(0);
        for line in 0..lines {
            let of_line = parts.iter().map(|part| part.get(line).cloned());
            let of_line: Vec<String> = of_line.map(Option::unwrap_or_default).collect();
            self.line(out, widths, &of_line, line > 0);
        }
    }

    /// A line; where it goes on from the one above, signs between columns are left out.
    fn line(&self, out: &mut String, widths: &[usize], cells: &[String], goes_on: bool) {
        let mut line = String::new();
        for ((column, wide), cell) in self.columns.iter().zip(widths).zip(cells) {
            match goes_on {
                true => line.push_str(&" ".repeat(width(column.gap))),
                false => line.push_str(column.gap),
            }
            if column.to_the_right {
                line.push_str(&" ".repeat(wide.saturating_sub(width(cell))));
                line.push_str(cell);
            } else {
                line.push_str(&padded(cell, *wide));
            }
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
}

#[cfg(test)]
mod tests {
    use super::{Column, SCREEN, Table};
    use crate::report::text::wrap::width;

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
    }

    #[test]
    fn columns_that_give_way_keep_the_table_to_a_screen() {
        let columns = [
            Column::cut(8).after(""),
            Column::right(6).fitted(),
            Column::broken(20).after("  "),
        ];
        let mut table = Table::new(columns);
        let id = "自".repeat(30);
        let words = "look at it again before it is sold ".repeat(3);
        table.row(["bike", "ask", "to do"]);
        table.row([id.as_str(), "120", words.trim()]);
        let mut out = String::new();
        table.write(&mut out);
        assert!(out.lines().all(|line| width(line) <= SCREEN), "{out}");
        // Cut, and marked as cut; what is broken is there in full.
        assert!(out.contains("自…") && !out.contains(&id), "{out}");
        let words = words.split_whitespace().count();
        let told: usize = ["look", "at", "it", "again", "before", "is", "sold"]
            .iter()
            .map(|word| out.split_whitespace().filter(|told| told == word).count())
            .sum();
        assert_eq!(told, words, "{out}");
        // Where there is room nothing gives way.
        let mut narrow = Table::new(columns);
        narrow.row(["B-1", "120", "list it"]);
        let mut out = String::new();
        narrow.write(&mut out);
        assert_eq!(out, "B-1    120  list it\n");
    }
}
