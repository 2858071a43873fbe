//! Opening a file and judging its first bytes: what kind of file it is, its
//! byte order mark, its separator.

use super::columns::is_known;
use super::quoting::{SEPARATORS, line_ends, unquoted, walk};
use super::titles::titles_above;
use super::window::{LONGEST_RECORD, Window, read_some};
use crate::intake::field::Field;
use crate::intake::problems::file::FileProblem;
use crate::intake::settings::Settings;
use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

/// First bytes of files that are no CSV (their published signatures, from
/// memory).
const SIGNATURES: &[(&[u8], &str)] = &[
    (b"PK\x03\x04", "a spreadsheet or zip file"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet or document file"),
    (b"\x1f\x8b", "a gzip-compressed file"),
    (b"BZh", "a bzip2-compressed file"),
    (b"\xfd7zXZ", "an xz-compressed file"),
    (b"\x28\xb5\x2f\xfd", "a zstd-compressed file"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"%PDF-", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"SQLite format 3", "an SQLite database"),
    (b"PAR1", "a Parquet file"),
    (b"<!DOCTYPE html", "a page of the web"),
    (b"<!doctype html", "a page of the web"),
    (b"<html", "a page of the web"),
    (b"\xff\xfe", "UTF-16 text"),
    (b"\xfe\xff", "UTF-16 text"),
];

/// Cells of a header that are looked at to tell the separator.
const MOST_JUDGED: usize = 1000;

/// Bytes at the beginning that are looked at to tell what kind of file it is,
/// however few of them the system gives at a time.
const JUDGED: usize = 1 << 16;

const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// Opens a regular file and tells its length in bytes.
pub(in crate::intake) fn open(path: &Path) -> Result<(Box<dyn Read + Send>, u64), FileProblem> {
    let cannot = |source| FileProblem::CannotOpen {
        path: path.into(),
        source,
    };
    // Asked before opening: opening a pipe would wait for its other end.
    let about = fs::metadata(path).map_err(cannot)?;
    if about.is_dir() {
        return Err(FileProblem::IsFolder { path: path.into() });
    }
    if !about.is_file() {
        return Err(FileProblem::NotAFile { path: path.into() });
    }
    let file = File::open(path).map_err(cannot)?;
    Ok((Box::new(file), about.len()))
}

/// A file whose first bytes were judged.
pub(in crate::intake) struct Opened {
    pub(in crate::intake) window: Window,
    pub(in crate::intake) separator: u8,
    /// Bytes of the byte order mark, which the window leaves out.
    pub(in crate::intake) mark: u64,
    /// Records above the header that do not fit it; those of nothing but blanks are not
    /// counted.
    pub(in crate::intake) titles: usize,
}

/// The text of a sheet, of which nothing is to be judged but where its header is.
pub(in crate::intake) fn opened_sheet(
    text: &[u8],
    fields: &'static [Field],
    settings: &Settings,
) -> Opened {
    let start = text.get(..text.len().min(JUDGED)).unwrap_or(&[]);
    Opened {
        titles: titles_above(start, b',', fields, settings).map_or(0, |above| above.records),
        window: Window::new(text.to_vec(), Box::new(std::io::empty())),
        separator: b',',
        mark: 0,
    }
}

/// Judges the first bytes of a file.
pub(in crate::intake) fn judge(
    mut input: Box<dyn Read + Send>,
    path: &Path,
    fields: &'static [Field],
    settings: &Settings,
) -> Result<Opened, FileProblem> {
    let mut ahead = read_header(&mut *input, path)?;
    let mark = if ahead.starts_with(BYTE_ORDER_MARK) {
        BYTE_ORDER_MARK.len()
    } else {
        0
    };
    ahead.drain(..mark);
    if let Some((_, looks_like)) = SIGNATURES
        .iter()
        .find(|(first, _)| ahead.starts_with(first))
    {
        return Err(FileProblem::NotText {
            path: path.into(),
            looks_like,
        });
    }
    if ahead.iter().take(JUDGED).any(|byte| *byte == 0) {
        let named = path.extension().unwrap_or_default();
        let sheet = ["xlsx", "ods"]
            .iter()
            .any(|name| named.eq_ignore_ascii_case(name));
        let looks_like = match sheet {
            true => "binary data, and no spreadsheet either",
            false => "a file that holds NUL bytes (UTF-16 text or binary data)",
        };
        return Err(FileProblem::NotText {
            path: path.into(),
            looks_like,
        });
    }
    let start = header_start(&ahead);
    let header = ahead.get(start..).unwrap_or(&[]);
    if header.is_empty() {
        return Err(FileProblem::Empty { path: path.into() });
    }
    if header.len() > LONGEST_RECORD && !header.iter().any(|b| matches!(b, b'\n' | b'\r')) {
        let line = 1 + line_ends(ahead.get(..start).unwrap_or(&[]), &mut false);
        return Err(FileProblem::LineTooLong {
            path: path.into(),
            line,
        });
    }
    let (separator, titles) = place_of_header(header, fields, settings);
    Ok(Opened {
        titles,
        window: Window::new(ahead, input),
        separator,
        mark: mark as u64,
    })
}

/// Reads until the header is there whole, at most a little over the longest
/// record.
fn read_header(input: &mut dyn Read, path: &Path) -> Result<Vec<u8>, FileProblem> {
    let failed = |source| FileProblem::ReadFailed {
        path: path.into(),
        line: 1,
        source,
    };
    let mut ahead = Vec::new();
    let mut chunk = vec![0; JUDGED];
    while ahead.len() <= LONGEST_RECORD {
        let count = read_some(input, &mut chunk).map_err(failed)?;
        if count == 0 {
            break;
        }
        ahead.extend_from_slice(chunk.get(..count).unwrap_or(&[]));
        if ahead.len() < JUDGED {
            continue;
        }
        let header = ahead.get(header_start(&ahead)..).unwrap_or(&[]);
        if !header.is_empty() && SEPARATORS.iter().all(|s| walk(header, *s).end.is_some()) {
            break;
        }
    }
    Ok(ahead)
}

/// First byte of the first line that is not blank.
fn header_start(text: &[u8]) -> usize {
    let Some(ink) = text.iter().position(|b| !b.is_ascii_whitespace()) else {
        return text.len();
    };
    let before = text.get(..ink).unwrap_or(&[]);
    before
        .iter()
        .rposition(|b| matches!(b, b'\n' | b'\r'))
        .map_or(0, |end| end + 1)
}

/// The separator, and how many records above the header do not fit it. The first line is
/// the header wherever it may be one.
fn place_of_header(text: &[u8], fields: &'static [Field], settings: &Settings) -> (u8, usize) {
    let first = separator_of(text, fields, settings);
    if !settings.untidy {
        return (first, 0);
    }
    let mut best = (first, titles_above(text, first, fields, settings));
    for separator in SEPARATORS {
        let above = titles_above(text, separator, fields, settings);
        if above.map_or(0, |above| above.merit) > best.1.map_or(0, |above| above.merit) {
            best = (separator, above);
        }
    }
    match best.1 {
        Some(above) if above.records > 0 => (best.0, above.records),
        _ => (first, 0),
    }
}

/// The separator by which most cells of the header mean something to us; where
/// that is equal, the one that makes most cells; then the first of them.
fn separator_of(header: &[u8], fields: &'static [Field], settings: &Settings) -> u8 {
    let merit = |separator: u8| {
        let cells = walk(header, separator).cells;
        let names = cells
            .iter()
            .take(MOST_JUDGED)
            .filter_map(|cell| header.get(cell.clone()))
            .map(unquoted);
        let known = names
            .filter(|name| is_known(name, fields, settings))
            .count();
        (known, cells.len())
    };
    let mut best = (b',', merit(b','));
    for separator in SEPARATORS {
        let merit = merit(separator);
        if merit > best.1 {
            best = (separator, merit);
        }
    }
    best.0
}
