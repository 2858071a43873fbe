//! Lines of text broken at the terminal's width on their way out.

use crate::report::text::wrap::{width, wrap};
use std::io::{Result, Write};

/// A writer that breaks every line that is too long, with a hanging indent. A command to
/// copy stays whole, and so does what stands in a frame beside a file's own line
/// (`3 | …`).
pub(super) struct Wrapped<'a> {
    inner: &'a mut dyn Write,
    columns: usize,
    /// The line so far.
    line: Vec<u8>,
}

/// Columns of the terminal: as `COLUMNS` says, else as it is, else 80.
pub fn terminal_columns() -> usize {
    const USUAL: usize = 80;
    /// Below this no screen can be read.
    const LEAST: usize = 40;
    let said = std::env::var("COLUMNS").ok();
    let said = said.and_then(|text| text.trim().parse::<usize>().ok());
    let there = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    said.or_else(there).unwrap_or(USUAL).max(LEAST)
}

impl<'a> Wrapped<'a> {
    pub(super) fn new(inner: &'a mut dyn Write, columns: usize) -> Self {
        Self {
            inner,
            columns,
            line: Vec::new(),
        }
    }

    /// Writes the line that is complete.
    fn end_line(&mut self) -> Result<()> {
        let line = std::mem::take(&mut self.line);
        match std::str::from_utf8(&line) {
            Ok(text) if width(text) > self.columns && !stays_whole(text) => {
                let blanks = text.len() - text.trim_start_matches(' ').len();
                // The last column of a wide table would leave no room for its words.
                let indent = blanks.min(self.columns / 2);
                let text = &text[blanks - indent..];
                let (first, rest) = text.split_at(indent + mark(&text[indent..]));
                let hang = " ".repeat(width(first));
                for line in wrap(rest, self.columns, first, &hang) {
                    writeln!(self.inner, "{line}")?;
                }
                Ok(())
            }
            _ => {
                self.inner.write_all(&line)?;
                self.inner.write_all(b"\n")
            }
        }
    }
}

/// Bytes of a mark at the start of a line, with its blank: a number, a dash, an arrow.
fn mark(text: &str) -> usize {
    let Some((word, _)) = text.split_once(' ') else {
        return 0;
    };
    let number = word.strip_suffix('.').is_some_and(|digits| {
        !digits.is_empty() && digits.bytes().all(|digit| digit.is_ascii_digit())
    });
    if number || ["-", "!", "=>"].contains(&word) {
        word.len() + 1
    } else {
        0
    }
}

/// Whether a line is a command, or shows a file's own: a number or nothing, then a bar.
fn stays_whole(text: &str) -> bool {
    let (before, bar) = text.split_once('|').unwrap_or((text, ""));
    let shown = text.contains('|') && before.bytes().all(|b| b == b' ' || b.is_ascii_digit());
    let command = ["$ ", "wheelworth "]
        .iter()
        .any(|start| text.trim_start().starts_with(start));
    command || shown || (bar.is_empty() && before.trim_start().starts_with("-->"))
}

impl Write for Wrapped<'_> {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        if self.columns == usize::MAX {
            return self.inner.write(bytes);
        }
        for part in bytes.split_inclusive(|byte| *byte == b'\n') {
            match part.strip_suffix(b"\n") {
                Some(end) => {
                    self.line.extend_from_slice(end);
                    self.end_line()?;
                }
                None => self.line.extend_from_slice(part),
            }
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> Result<()> {
        self.inner.write_all(&std::mem::take(&mut self.line))?;
        self.inner.flush()
    }
}
