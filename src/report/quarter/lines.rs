//! Lines of text with amounts in columns at the right, and text that is broken
//! to fit the page.

use std::fmt::Write as _;

/// Characters in a line.
pub(in crate::report) const WIDTH: usize = 90;

/// Blanks between columns.
const GAP: usize = 2;

/// A line: words at the left, amounts at the right.
pub(in crate::report) struct Line {
    pub words: String,
    pub amounts: Vec<String>,
}

impl Line {
    pub(in crate::report) fn new(
        words: impl Into<String>,
        amounts: impl IntoIterator<Item = String>,
    ) -> Self {
        Self {
            words: words.into(),
            amounts: amounts.into_iter().collect(),
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
    let columns = lines.iter().map(|line| line.amounts.len()).max();
    let widths: Vec<usize> = (0..columns.unwrap_or(0).max(heads.len()))
        .map(|column| {
            let amounts = lines.iter().filter_map(|line| line.amounts.get(column));
            let head = heads.get(column).map_or(0, |head| head.len());
            amounts.map(|a| a.chars().count()).fold(head, usize::max)
        })
        .collect();
    let right: usize = widths.iter().map(|width| width + GAP).sum();
    let left = WIDTH.saturating_sub(right + GAP).max(24);
    let put = |out: &mut String, words: &str, amounts: &[String]| {
        let mut line = format!("{words:<width$}", width = left + GAP);
        for (column, width) in widths.iter().enumerate() {
            let amount = amounts.get(column).map_or("", String::as_str);
            let _ = write!(line, "{:GAP$}{amount:>width$}", "");
        }
        let _ = writeln!(out, "{}", line.trim_end());
    };
    let heads: Vec<String> = heads.iter().map(|head| (*head).to_string()).collect();
    put(out, title, &heads);
    for (place, line) in lines.iter().enumerate() {
        if total && place + 1 == lines.len() && place > 0 {
            let rule: Vec<String> = widths.iter().map(|width| "-".repeat(*width)).collect();
            put(out, "", &rule);
        }
        for (row, words) in (0..).zip(broken(&line.words, left, left - 4)) {
            let amounts: &[String] = if row == 0 { &line.amounts } else { &[] };
            let indent = if row == 0 { "  " } else { "      " };
            put(out, &format!("{indent}{words}"), amounts);
        }
    }
}

/// Writes text with a hanging indent below its mark.
pub(in crate::report) fn paragraph(out: &mut String, mark: &str, text: &str) {
    let hang = mark.chars().count();
    for (row, line) in (0..).zip(broken(text, WIDTH - hang, WIDTH - hang)) {
        let start = if row == 0 { mark } else { "" };
        let _ = writeln!(out, "{start:<hang$}{line}");
    }
}

/// Breaks text between words into a line of at most `first` characters and
/// others of at most `rest`, which is not more; a word that is longer than `rest`
/// is cut. Blanks that set words apart within a line stay.
fn broken(text: &str, first: usize, rest: usize) -> Vec<String> {
    if text.chars().count() <= first {
        return vec![text.to_string()];
    }
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut length = 0;
    for word in text.split_inclusive(' ') {
        let room = if lines.is_empty() { first } else { rest };
        let count = word.trim_end().chars().count();
        if length > 0 && length + count > room {
            lines.push(std::mem::take(&mut line).trim_end().to_string());
            length = 0;
        }
        for letter in word.chars() {
            if length >= rest && letter != ' ' && count > rest {
                lines.push(std::mem::take(&mut line));
                length = 0;
            }
            line.push(letter);
            length += 1;
        }
    }
    lines.push(line.trim_end().to_string());
    lines.retain(|line| !line.is_empty());
    lines
}
