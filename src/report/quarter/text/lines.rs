//! Lines of a quarter's report with amounts in columns at the right.

use crate::report::text::table::{Column, Table};
use crate::report::text::wrap;

/// Columns of the screen.
pub(in crate::report) const WIDTH: usize = 80;

/// Blanks between columns.
const GAP: &str = "  ";

/// Room for words, at least, however many amounts there are.
const LEAST: usize = 24;

/// A line: words at the left, amounts at the right.
pub(in crate::report) struct Line {
    pub words: String,
    pub amounts: Vec<String>,
    /// Whether it is the sum of those above, below a rule.
    pub is_sum: bool,
}

impl Line {
    pub(in crate::report) fn new(
        words: impl Into<String>,
        amounts: impl IntoIterator<Item = String>,
    ) -> Self {
        Self {
            words: words.into(),
            amounts: amounts.into_iter().collect(),
            is_sum: false,
        }
    }
}

/// Writes lines below a heading. Words that are longer than what the amounts
/// leave go on in the next line; a rule stands above the last line where it is
/// a `total`.
pub(in crate::report) fn table(
    out: &mut String,
    title: &str,
    heads: &[&str],
    lines: &[Line],
    total: bool,
) {
    let left = room_for_words(heads, lines) + GAP.len();
    let columns = columns(heads, lines);
    let amounts = std::iter::repeat_n(Column::right(0).fitted().after(GAP), columns);
    let mut table = Table::new([Column::left(left).after("")].into_iter().chain(amounts));
    table.row([title].iter().chain(heads).copied());
    for (place, line) in lines.iter().enumerate() {
        if line.is_sum || total && place + 1 == lines.len() && place > 0 {
            table.rule();
        }
        for (row, words) in (0..).zip(wrap::wrap(&line.words, left, GAP, "      ")) {
            let amounts: &[String] = if row == 0 { &line.amounts } else { &[] };
            table.row([words].iter().chain(amounts).cloned());
        }
    }
    table.write(out);
}

fn columns(heads: &[&str], lines: &[Line]) -> usize {
    let amounts = lines.iter().map(|line| line.amounts.len());
    amounts.fold(heads.len(), usize::max)
}

/// What the amounts leave of the width, but for the blanks before the words.
fn room_for_words(heads: &[&str], lines: &[Line]) -> usize {
    let widest = |column: usize| {
        let amounts = lines.iter().filter_map(|line| line.amounts.get(column));
        let head = heads.get(column).map_or(0, |head| wrap::width(head));
        amounts.map(|a| wrap::width(a)).fold(head, usize::max) + GAP.len()
    };
    let right: usize = (0..columns(heads, lines)).map(widest).sum();
    WIDTH.saturating_sub(right + GAP.len()).max(LEAST)
}

/// Writes text with a hanging indent below its mark.
pub(in crate::report) fn paragraph(out: &mut String, mark: &str, text: &str) {
    wrap::paragraph(out, WIDTH, mark, text);
}
