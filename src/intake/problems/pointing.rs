//! Pointing at a cell: the line of the file around it, fit to be shown.

use crate::intake::cells::invisible::made_visible;
use crate::intake::file::quoting::line_ends;
use std::ops::Range;

/// A line up to this many bytes is shown whole.
const WHOLE_LINE: usize = 240;

/// Bytes shown of a long cell, and on each side of a cell in a long line.
const SHOWN: usize = 80;

/// Characters shown of a value.
const VALUE: usize = 60;

/// A cell and the line that it starts on.
pub(in crate::intake) struct Shown {
    /// Lines of the record before that line.
    pub(in crate::intake) lines_before: u64,
    pub(in crate::intake) line_text: String,
    /// Bytes of `line_text` that hold the cell.
    pub(in crate::intake) at: Range<usize>,
}

/// Shows the line of a record around one of its cells.
pub(in crate::intake) fn show(record: &str, cell: Range<usize>) -> Shown {
    let is_end = |b: &u8| matches!(b, b'\n' | b'\r');
    let bytes = record.as_bytes();
    let start = cell.start.min(bytes.len());
    let (before, after) = bytes.split_at(start);
    let line_start = before.iter().rposition(is_end).map_or(0, |end| end + 1);
    let line_end = after
        .iter()
        .position(is_end)
        .map_or(bytes.len(), |length| start + length);
    let cell_end = cell.end.clamp(start, line_end);
    let (left, cell_end, right) = if line_end - line_start <= WHOLE_LINE {
        (line_start, cell_end, line_end)
    } else {
        let cell_end = cell_end.min(start + SHOWN);
        (
            line_start.max(start.saturating_sub(SHOWN)),
            cell_end,
            line_end.min(cell_end + SHOWN),
        )
    };
    let piece = |from: usize, to: usize| {
        let (from, to) = (
            record.floor_char_boundary(from),
            record.floor_char_boundary(to),
        );
        made_visible(record.get(from..to).unwrap_or(""))
    };
    let mut line_text = String::new();
    line_text.push_str(if left > line_start { "…" } else { "" });
    line_text.push_str(&piece(left, start));
    let from = line_text.len();
    line_text.push_str(&piece(start, cell_end));
    let at = from..line_text.len();
    line_text.push_str(&piece(cell_end, right));
    line_text.push_str(if right < line_end { "…" } else { "" });
    Shown {
        lines_before: line_ends(before, &mut false),
        line_text,
        at,
    }
}

/// A value, shortened to 60 characters.
pub(in crate::intake) fn shortened(value: &str) -> String {
    let mut shown: String = made_visible(&value.chars().take(VALUE).collect::<String>());
    if value.chars().nth(VALUE).is_some() {
        shown.push('…');
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_line_is_shown_whole_and_the_cell_marked() {
        let shown = show("a;b\u{7}c;d", 2..5);
        assert_eq!(shown.line_text, "a;b\u{fffd}c;d");
        assert_eq!(&shown.line_text[shown.at], "b\u{fffd}c");
    }

    #[test]
    fn the_line_of_the_cell_is_found_in_a_record_of_many_lines() {
        let record = "\"x\r\ny\",bad,z\r\n";
        let shown = show(record, 7..10);
        assert_eq!(
            (shown.lines_before, shown.line_text.as_str()),
            (1, "y\",bad,z")
        );
        assert_eq!(&shown.line_text[shown.at], "bad");
    }

    #[test]
    fn a_long_line_is_cut_around_the_cell_between_characters() {
        let record = format!(
            "{}|{}|{}",
            "ä".repeat(300),
            "ö".repeat(100),
            "ü".repeat(300)
        );
        let shown = show(&record, 601..801);
        assert!(shown.line_text.len() < 3 * SHOWN + 10);
        assert!(shown.line_text.starts_with('…') && shown.line_text.ends_with('…'));
        assert!(shown.line_text[shown.at].chars().all(|c| c == 'ö'));
    }

    #[test]
    fn a_long_value_is_shortened() {
        assert_eq!(shortened(&"é".repeat(61)), format!("{}…", "é".repeat(60)));
        assert_eq!(shortened("offers"), "offers");
    }
}
