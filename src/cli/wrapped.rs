//! Lines of text broken at the terminal's width on their way out.

use super::typed::quoted;
use crate::report::text::wrap::{width, wrap};
use std::io::{Result, Write};
use std::path::Path;

/// A writer that breaks every line that is too long, with a hanging indent. A command to
/// copy stays whole, and so does what stands in a frame beside a file's own line
/// (`3 | …`). Commands that it proposes get the book of this one, where it is not the
/// usual one: whoever types what it says must not change another book.
pub(super) struct Wrapped<'a> {
    inner: &'a mut dyn Write,
    columns: usize,
    book: Option<&'a BookNamed>,
    /// The line so far.
    line: Vec<u8>,
}

/// A book that is not the usual one, as commands name it.
pub(super) struct BookNamed {
    /// As it is typed.
    book: String,
    /// The commands that work with a book.
    commands: Vec<String>,
}

impl BookNamed {
    /// `None` where a command would find this book by itself, as the `usual` one.
    pub(super) fn of(book: &Path, usual: &Path, commands: &clap::Command) -> Option<Self> {
        let names = commands.get_subcommands().map(clap::Command::get_name);
        let names = names.filter(|name| !WITHOUT_BOOK.contains(name));
        (book != usual).then(|| Self {
            book: quoted(&book.display().to_string()),
            commands: names.map(String::from).collect(),
        })
    }

    /// The text with `--book` in the commands that it proposes.
    fn put_into(&self, text: &str) -> String {
        let mut parts = text.split(PROGRAM);
        let mut with = parts.next().unwrap_or_default().to_string();
        for part in parts {
            let word = part.split(|c: char| !c.is_ascii_alphabetic()).next();
            let works = word.is_some_and(|word| self.commands.iter().any(|name| name == word));
            let works = works && !part.starts_with("inspect --blank");
            with += PROGRAM;
            if works {
                with += "--book ";
                with += &self.book;
                with += " ";
            }
            with += part;
        }
        with
    }
}

/// What commands begin with.
const PROGRAM: &str = "wheelworth ";

/// Commands that make their own book, or need none.
const WITHOUT_BOOK: [&str; 4] = ["demo", "completions", "manual", "help"];

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
    pub(super) fn new(
        inner: &'a mut dyn Write,
        columns: usize,
        book: Option<&'a BookNamed>,
    ) -> Self {
        Self {
            inner,
            columns,
            book,
            line: Vec::new(),
        }
    }

    /// The line so far, with the book in the commands that it proposes.
    fn take_line(&mut self) -> Vec<u8> {
        let line = std::mem::take(&mut self.line);
        match (self.book, std::str::from_utf8(&line)) {
            (Some(book), Ok(text)) => book.put_into(text).into_bytes(),
            _ => line,
        }
    }

    /// Writes the line that is complete.
    fn end_line(&mut self) -> Result<()> {
        let line = self.take_line();
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
    let command = ["$ ", PROGRAM]
        .iter()
        .any(|start| text.trim_start().starts_with(start));
    command || shown || (bar.is_empty() && before.trim_start().starts_with("-->"))
}

impl Write for Wrapped<'_> {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        if self.columns == usize::MAX && self.book.is_none() {
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
        let line = self.take_line();
        self.inner.write_all(&line)?;
        self.inner.flush()
    }
}
