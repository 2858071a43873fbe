//! Lines above the header: a title, a day, an empty line.
//!
//! The header is the first line that fits best among the first twenty: the one with most
//! cells that name a field, by our name, by `--column` or `--ignore`, or as people call
//! it. The first line stays the header unless a later one names at least two fields and
//! more than it does, and holds no number. A line of one cell is no header: below such
//! lines alone one field is enough.

use super::columns::is_known;
use super::quoting::{unquoted, walk};
use super::synonyms::field_of;
use crate::intake::field::Field;
use crate::intake::settings::Settings;

/// Lines among which the header is looked for, those of nothing left out.
const LOOKED_AT: usize = 20;

/// Cells of a line that are looked at.
const MOST_CELLS: usize = 300;

/// Names that a header below the first line must have.
const LEAST: usize = 2;

/// A name that is ours counts this many of one that people give.
const OURS: usize = 2;

/// Where the header stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::intake) struct Above {
    /// Records above it that are not blank.
    pub(in crate::intake) records: usize,
    /// How well it fits.
    pub(in crate::intake) merit: usize,
}

/// How well a line fits as a header, and how many of its cells name a field.
fn fits(cells: &[String], fields: &'static [Field], settings: &Settings) -> (usize, usize) {
    let (mut merit, mut named) = (0, Vec::new());
    for cell in cells.iter().filter(|cell| !cell.is_empty()) {
        if is_known(cell, fields, settings) {
            merit += OURS;
            named.push(cell.to_lowercase());
        } else if let Some(field) =
            field_of(cell, fields, |field| !named.contains(&field.to_string()))
        {
            merit += 1;
            named.push(field.to_string());
        }
    }
    named.sort_unstable();
    named.dedup();
    (merit, named.len())
}

/// Whether a cell is a number, an amount or a day, which no name of a column is.
fn is_a_value(cell: &str) -> bool {
    let digits = cell.bytes().filter(u8::is_ascii_digit).count();
    let letters = cell.chars().filter(|c| c.is_alphabetic()).count();
    digits > 0 && digits > letters
}

/// Where the header stands in a text that begins with its first line with anything in it;
/// `None` where no line names a field.
pub(in crate::intake) fn titles_above(
    text: &[u8],
    separator: u8,
    fields: &'static [Field],
    settings: &Settings,
) -> Option<Above> {
    if !settings.untidy {
        return None;
    }
    let (mut at, mut records) = (0, 0);
    let mut best: Option<Above> = None;
    let mut lone = true;
    while records < LOOKED_AT {
        let rest = text.get(at..).unwrap_or(&[]);
        let ends = rest
            .iter()
            .take_while(|b| matches!(b, b'\n' | b'\r'))
            .count();
        let line = rest.get(ends..).unwrap_or(&[]);
        if line.is_empty() {
            break;
        }
        let walked = walk(line, separator);
        let cells = walked.cells.iter().take(MOST_CELLS);
        let cells = cells.filter_map(|cell| line.get(cell.clone()));
        let cells: Vec<String> = cells
            .map(|cell| unquoted(cell).trim().to_string())
            .collect();
        let filled = cells.iter().filter(|cell| !cell.is_empty()).count();
        if filled > 0 {
            let (merit, named) = fits(&cells, fields, settings);
            let least = if lone { 1 } else { LEAST };
            let is_header = named >= least && !cells.iter().any(|cell| is_a_value(cell));
            let may_be = filled > 1 && (records == 0 || is_header);
            lone &= filled == 1;
            if may_be && merit > best.map_or(0, |best| best.merit) {
                best = Some(Above { records, merit });
            }
            records += 1;
        }
        match walked.end {
            Some(end) => at += ends + end,
            None => break,
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::kind::Kind as _;
    use crate::intake::kinds::sales::Sales;
    use crate::trade::{Currency, Day};

    fn above(text: &str) -> usize {
        let currency = Currency::from_code("EUR").unwrap();
        let settings = Settings::new(currency, Day::constant(2026, 5, 2));
        titles_above(text.as_bytes(), b',', Sales::FIELDS, &settings)
            .map_or(0, |above| above.records)
    }

    #[test]
    fn the_line_that_fits_best_is_the_header() {
        assert_eq!(above("bike,style,ask\n1,road,90\n"), 0);
        assert_eq!(
            above("My bikes,,\n,,\nas of May,,\nbike,style,ask\n1,road,90\n"),
            2
        );
        assert_eq!(above("Bikes 2025\n\nRad,Typ,Preis\n1,Rennrad,90\n"), 1);
        assert_eq!(above("Sold this year\n\nWhat,Price,How\n1,90,cash\n"), 1);
        // A header that nobody knows stays one, and so does one with a row like it.
        assert_eq!(above("a,b,c\n1,road,90\n"), 0);
        assert_eq!(above("Nr,Typ,VB\nbike,style,7\n"), 0);
        assert_eq!(above("bike,style,ask\nbike,style,ask\n"), 0);
    }
}
