//! Laws that hold for a file of any kind: what is read does not depend on how the
//! bytes arrive, and every problem points at its place.

use std::fmt::Debug;
use std::io::{self, Read};
use std::path::Path;
use wheelworth::intake::{
    BadRow, FileProblem, Kind, Reader, Row, RowProblem, RowResult, Settings, made_visible,
};
use wheelworth::report::text::problems;

/// The path that stands in messages.
const NAME: &str = "rows.csv";

/// What a file says.
#[derive(Debug)]
pub struct Outcome<R> {
    /// The header, where it fits.
    pub header: Vec<String>,
    /// Our column and theirs, where the names differ.
    pub columns_used: Vec<(String, String)>,
    /// Its rows up to a problem that ends the reading.
    pub rows: Vec<Result<Row<R>, BadRow>>,
    /// That problem.
    pub end: Option<FileProblem>,
}

impl<R> Outcome<R> {
    /// The records of the rows that can be used.
    pub fn records(&self) -> impl Iterator<Item = &R> {
        self.rows.iter().flatten().map(|row| &row.record)
    }
}

/// Bytes that arrive so many at a time.
struct Trickle {
    bytes: Vec<u8>,
    given: usize,
    at_once: usize,
}

impl Read for Trickle {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let left = &self.bytes[self.given..];
        let count = left.len().min(out.len()).min(self.at_once);
        out[..count].copy_from_slice(&left[..count]);
        self.given += count;
        Ok(count)
    }
}

/// Reads a file to its end.
pub fn read<K: Kind>(file: &[u8], settings: &Settings) -> Outcome<K::Record> {
    read_by::<K>(file, settings, usize::MAX)
}

fn read_by<K: Kind>(file: &[u8], settings: &Settings, at_once: usize) -> Outcome<K::Record> {
    let input = Trickle {
        bytes: file.to_vec(),
        given: 0,
        at_once,
    };
    let mut found = Outcome {
        header: Vec::new(),
        columns_used: Vec::new(),
        rows: Vec::new(),
        end: None,
    };
    let mut reader = match Reader::<K>::from_reader(Box::new(input), NAME, settings) {
        Ok(reader) => reader,
        Err(problem) => {
            return Outcome {
                end: Some(problem),
                ..found
            };
        }
    };
    found.header = reader.header().to_vec();
    found.columns_used = reader.columns_used().to_vec();
    found.end = loop {
        match reader.next_row() {
            Ok(Some(row)) => found.rows.push(row),
            Ok(None) => break None,
            Err(problem) => break Some(problem),
        }
    };
    // The end is the end, and no byte is counted twice.
    assert!(matches!(reader.next_row(), Ok(None)), "a row after the end");
    let read = reader.bytes_read();
    assert!(
        read <= file.len() as u64,
        "{read} of {} bytes read",
        file.len()
    );
    assert!(
        found.end.is_some() || read == file.len() as u64,
        "{read} bytes read"
    );
    found
}

/// Reads a file to its end and holds what it says against the laws.
pub fn read_soundly<K: Kind>(file: &[u8], settings: &Settings) -> Outcome<K::Record>
where
    K::Record: Debug,
{
    let found = read::<K>(file, settings);
    let shown = format!("{found:?}");
    let at_once = 1 + file.len() % 7;
    let again = read_by::<K>(file, settings, at_once);
    assert_eq!(format!("{again:?}"), shown, "read by {at_once} bytes");
    let lines = lines(file);
    let mut last = 0;
    for row in &found.rows {
        let line = starts_on::<K>(row);
        assert!(
            line > last && line <= lines.len() as u64,
            "line {line} after line {last}"
        );
        last = line;
        if let Err(bad) = row {
            points_at_its_place(bad, &lines, found.header.len());
        }
    }
    if let Some(problem) = &found.end {
        ends_at_its_place(problem, file, &lines, settings);
    }
    found
}

fn starts_on<K: Kind>(row: &RowResult<K>) -> u64 {
    match row {
        Ok(row) => row.line,
        Err(bad) => bad.line,
    }
}

/// The lines of a file as an editor shows them.
fn lines(file: &[u8]) -> Vec<Vec<u8>> {
    let text = file.strip_prefix(b"\xef\xbb\xbf").unwrap_or(file);
    let mut lines = vec![Vec::new()];
    let mut bytes = text.iter().peekable();
    while let Some(byte) = bytes.next() {
        match byte {
            b'\n' => lines.push(Vec::new()),
            b'\r' => {
                bytes.next_if(|next| **next == b'\n');
                lines.push(Vec::new());
            }
            _ => lines.last_mut().expect("there is a first line").push(*byte),
        }
    }
    lines
}

/// Whether a terminal would obey a character or turn the direction of writing.
fn is_obeyed(c: char) -> bool {
    (c.is_control() && c != '\t')
        || ('\u{202a}'..='\u{202e}').contains(&c)
        || ('\u{2066}'..='\u{2069}').contains(&c)
}

/// A line as it is shown: what a terminal would obey, and what nobody sees, is
/// replaced.
fn harmless(line: &[u8]) -> String {
    made_visible(&String::from_utf8_lossy(line))
}

fn points_at_its_place(bad: &BadRow, lines: &[Vec<u8>], width: usize) {
    assert!(!bad.problems.is_empty(), "{bad:?}");
    let number = |problem: &RowProblem| problem.column_number;
    assert!(bad.problems.is_sorted_by_key(number), "{bad:?}");
    // Cells beyond the header have no name.
    let named = |problem: &RowProblem| number(problem) <= width || problem.column.is_empty();
    assert!(bad.problems.iter().all(named), "{bad:?}");
    for problem in &bad.problems {
        let RowProblem {
            line,
            value,
            line_text,
            at,
            expected,
            mend,
            ..
        } = problem;
        assert!(
            *line >= bad.line && *line <= lines.len() as u64,
            "{problem:?}"
        );
        let shown = harmless(&lines[*line as usize - 1]);
        let part = line_text.strip_prefix('…').unwrap_or(line_text);
        let part = part.strip_suffix('…').unwrap_or(part);
        assert!(
            shown.contains(part),
            "line {line} is {shown:?}, not {part:?}"
        );
        assert!(line_text.get(at.clone()).is_some(), "{problem:?}");
        assert!(
            !expected.is_empty() && mend.ends_with(['.', '?']),
            "{problem:?}"
        );
        let said = [value, line_text, expected, mend]
            .map(String::as_str)
            .concat();
        assert!(!said.contains(is_obeyed), "{problem:?}");
        assert!(value.chars().count() <= 61, "{problem:?}");
    }
    let drawn = problems::render(Path::new(NAME), &bad.problems);
    for problem in &bad.problems {
        let place = format!("{NAME}, line {}", problem.line);
        assert!(drawn.contains(&place), "{drawn}");
        assert!(
            !problem.mend.is_empty() && drawn.contains(problem.mend.trim_end()),
            "{drawn}"
        );
    }
}

fn ends_at_its_place(problem: &FileProblem, file: &[u8], lines: &[Vec<u8>], settings: &Settings) {
    let (message, mend) = (problem.message(), problem.mend());
    assert!(
        message.contains(NAME) && !mend.is_empty(),
        "{message}: {mend}"
    );
    // What the user gave is told as it was given.
    let given = settings
        .columns
        .iter()
        .flat_map(|(ours, theirs)| [ours, theirs]);
    if !given
        .chain(&settings.ignore)
        .any(|text| text.contains(is_obeyed))
    {
        let obeyed = |c| c != '\n' && is_obeyed(c);
        assert!(
            !message.contains(obeyed) && !mend.contains(obeyed),
            "{message:?}: {mend:?}"
        );
    }
    let line_of = |line: u64| {
        let found = (line as usize).checked_sub(1).and_then(|at| lines.get(at));
        found.unwrap_or_else(|| panic!("{message}: there are {} lines", lines.len()))
    };
    match problem {
        FileProblem::OneColumn { line, .. } | FileProblem::LineTooLong { line, .. } => {
            line_of(*line);
        }
        FileProblem::Columns { line, problems, .. } => {
            line_of(*line);
            assert!(!problems.is_empty());
        }
        FileProblem::OpenQuote { line, .. } => {
            assert!(line_of(*line).contains(&b'"'), "{message}");
        }
        FileProblem::NotUtf8 {
            line, offset, byte, ..
        } => {
            assert_eq!(file.get(*offset as usize), Some(byte), "{message}");
            assert!(std::str::from_utf8(line_of(*line)).is_err(), "{message}");
            let before = lines_before(file, *offset as usize);
            assert_eq!(*line, before, "{message}");
        }
        FileProblem::Empty { .. } | FileProblem::NoRows { .. } | FileProblem::NotText { .. } => {}
        other => panic!("a file in memory cannot have this: {other}"),
    }
}

/// The line on which a byte stands.
fn lines_before(file: &[u8], offset: usize) -> u64 {
    lines(&file[..offset]).len() as u64
}
