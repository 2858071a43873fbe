//! Where the cells of a raw record stand: separators, quotes, line ends.
//!
//! The csv crate reads the cells. This walk over the same bytes follows the
//! same rules and is taken only where the place of a cell matters: to tell the
//! separator, to judge quotes, and to point at a bad cell.

use std::ops::Range;

/// Separators that are told apart, in the order of preference.
pub(in crate::intake) const SEPARATORS: [u8; 3] = [b',', b';', b'\t'];

/// How the quotes of a record stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::intake) enum Quotes {
    /// As RFC 4180 has them.
    Sound,
    /// Text follows a closing quote in the cell with this number (from 0).
    TextAfter(usize),
    /// The quote opened at this byte is never closed.
    Open(usize),
}

/// A walk over one record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::intake) struct Walk {
    /// Bytes of each cell, with its quotes.
    pub(in crate::intake) cells: Vec<Range<usize>>,
    /// First thing wrong with its quotes.
    pub(in crate::intake) quotes: Quotes,
    /// Byte of the line end that closes the record; `None` when the text ends
    /// first.
    pub(in crate::intake) end: Option<usize>,
}

/// Walks over the first record of `raw`, which must not start with a line end.
pub(in crate::intake) fn walk(raw: &[u8], separator: u8) -> Walk {
    let mut walk = Walk {
        cells: Vec::new(),
        quotes: Quotes::Sound,
        end: None,
    };
    let (mut start, mut at) = (0, 0);
    loop {
        if raw.get(at) == Some(&b'"') {
            at = closing_quote(raw, at, walk.cells.len(), &mut walk.quotes);
        }
        let rest = raw.get(at..).unwrap_or(&[]);
        let ends_cell = |b: &u8| *b == separator || *b == b'\n' || *b == b'\r';
        let length = rest.iter().position(ends_cell);
        let stop = at + length.unwrap_or(rest.len());
        if walk.quotes == Quotes::TextAfter(walk.cells.len()) {
            let blank = raw
                .get(at..stop)
                .is_some_and(|tail| tail.iter().all(|b| *b == b' '));
            if blank {
                walk.quotes = Quotes::Sound;
            }
        }
        walk.cells.push(start..stop);
        match raw.get(stop) {
            Some(b) if *b == separator => (start, at) = (stop + 1, stop + 1),
            Some(_) => {
                walk.end = Some(stop);
                return walk;
            }
            None => return walk,
        }
    }
}

/// The byte after the quote that closes the one at `open`. Notes the cell for
/// its tail to be judged, or that the quote stays open.
fn closing_quote(raw: &[u8], open: usize, cell: usize, quotes: &mut Quotes) -> usize {
    let mut at = open + 1;
    while let Some(byte) = raw.get(at) {
        match (byte, raw.get(at + 1)) {
            (b'"', Some(b'"')) => at += 2,
            (b'"', _) => {
                if *quotes == Quotes::Sound {
                    *quotes = Quotes::TextAfter(cell);
                }
                return at + 1;
            }
            _ => at += 1,
        }
    }
    *quotes = Quotes::Open(open);
    raw.len()
}

/// The text of a cell without its quotes, for cells of the header.
pub(in crate::intake) fn unquoted(cell: &[u8]) -> String {
    let text = String::from_utf8_lossy(cell);
    let inner = text
        .strip_prefix('"')
        .and_then(|rest| rest.trim_end().strip_suffix('"'));
    inner.map_or_else(
        || text.trim().to_string(),
        |inner| inner.replace("\"\"", "\"").trim().to_string(),
    )
}

/// Counts the lines that end within `raw`: LF, CRLF, or a lone CR. `after_cr`
/// says whether the byte before was a CR, and is kept for the next piece.
pub(in crate::intake) fn line_ends(raw: &[u8], after_cr: &mut bool) -> u64 {
    let count = |end: u8| raw.iter().fold(0_u32, |n, b| n + u32::from(*b == end));
    if !*after_cr && count(b'\r') == 0 {
        return u64::from(count(b'\n'));
    }
    let mut ends = 0;
    for byte in raw {
        let pair = *byte == b'\n' && *after_cr;
        ends += u64::from(matches!(byte, b'\n' | b'\r') && !pair);
        *after_cr = *byte == b'\r';
    }
    ends
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_walk_finds_cells_and_judges_quotes() {
        let texts = |raw: &str| {
            let found = walk(raw.as_bytes(), b',');
            let cells: Vec<String> = found
                .cells
                .iter()
                .map(|c| raw[c.clone()].to_string())
                .collect();
            (cells.join("|"), found.quotes, found.end)
        };
        assert_eq!(texts("a,b\nc"), ("a|b".into(), Quotes::Sound, Some(3)));
        assert_eq!(
            texts("\"a,\"\"b\"\"\n\",c"),
            ("\"a,\"\"b\"\"\n\"|c".into(), Quotes::Sound, None)
        );
        assert_eq!(texts("a\"b,"), ("a\"b|".into(), Quotes::Sound, None));
        assert_eq!(
            texts("x,\"a\"b,c"),
            ("x|\"a\"b|c".into(), Quotes::TextAfter(1), None)
        );
        assert_eq!(
            texts("\"a\" ,\"b\""),
            ("\"a\" |\"b\"".into(), Quotes::Sound, None)
        );
        assert_eq!(
            texts("x,\"a\ny"),
            ("x|\"a\ny".into(), Quotes::Open(2), None)
        );
    }

    #[test]
    fn every_kind_of_line_end_counts_once() {
        for (text, lines) in [
            ("a\nb\n", 2),
            ("a\r\nb\r\n", 2),
            ("a\rb\r", 2),
            ("\r\r\n\n", 3),
        ] {
            assert_eq!(line_ends(text.as_bytes(), &mut false), lines, "{text:?}");
        }
        let mut after_cr = false;
        assert_eq!(line_ends(b"a\r", &mut after_cr), 1);
        assert_eq!(line_ends(b"\nb", &mut after_cr), 0);
    }
}
