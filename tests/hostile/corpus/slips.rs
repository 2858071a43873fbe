//! Good files with one slip drawn at random. Whether the result is refused or
//! read is left to the program; but what is read must be what a second reading
//! finds there, and what is refused must be refused where the slip is.

use super::case::{Case, Must};
use super::csv_text::{PLAIN, read as cells_of, write};
use super::reading::read;
use super::tables::Table;
use rand::Rng as _;
use rand_chacha::ChaCha8Rng;

/// What slips in.
const SIGNS: [&str; 30] = [
    "0", "1", "9", "5", "2", ".", ",", "-", "+", "'", "/", " ", "e", "E", "x", "o", "%", "€", "$",
    "=", "#", "\u{a0}", "\u{200b}", "٣", "é", "(", ";", "\"", "\n", "\r",
];

/// So many files with a slip.
pub fn cases(table: &Table, count: usize, random: &mut ChaCha8Rng) -> Vec<Case> {
    let text = write(&table.cells(), PLAIN);
    let mut cases = Vec::new();
    while cases.len() < count {
        let (slipped, at, what) = slip(&text, random);
        if slipped != text {
            let line = 1 + text[..at].matches('\n').count() as u64;
            let must = Must::Either(vec![line, line + 1], rows(table, &slipped));
            cases.push(Case::new(
                format!("{what} at {at}, line {line}"),
                slipped,
                must,
            ));
        }
    }
    cases
}

/// A text with a slip, the byte at which it is, and its name.
pub fn slip(text: &str, random: &mut ChaCha8Rng) -> (String, usize, &'static str) {
    let places: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
    let place = random.random_range(0..places.len() - 2);
    let end = |place: usize| places.get(place).copied().unwrap_or(text.len());
    let (at, next, after) = (end(place), end(place + 1), end(place + 2));
    let (before, here) = (&text[..at], &text[at..next]);
    let sign = SIGNS[random.random_range(0..SIGNS.len())];
    let (slipped, what) = match random.random_range(0..5) {
        0 => (format!("{before}{sign}{}", &text[at..]), "a sign more"),
        1 => (format!("{before}{sign}{}", &text[next..]), "another sign"),
        2 => (format!("{before}{}", &text[next..]), "a sign less"),
        3 => (format!("{before}{here}{}", &text[at..]), "a sign twice"),
        _ => {
            let turned = format!("{before}{}{here}{}", &text[next..after], &text[after..]);
            (turned, "two signs turned")
        }
    };
    (slipped, at, what)
}

/// The rows as a second reading has them, in the columns of the table.
pub fn rows(table: &Table, text: &str) -> Option<Vec<Vec<String>>> {
    let cells = cells_of(text.as_bytes(), b',');
    let header: Vec<String> = cells[0]
        .iter()
        .map(|name| name.trim().to_lowercase())
        .collect();
    let mut known = Vec::new();
    for (name, holds, required) in table.columns {
        known.push((
            header.iter().position(|known| known == name),
            *holds,
            *required,
        ));
    }
    let filled = |row: &&Vec<String>| row.iter().any(|cell| !cell.trim().is_empty());
    let of_row = |row: &Vec<String>| {
        let cell = |column: Option<usize>| column.and_then(|column| row.get(column));
        let cells = known.iter().map(|(column, holds, required)| {
            read(*holds, *required, cell(*column).map_or("", String::as_str))
        });
        cells.collect()
    };
    cells[1..].iter().filter(filled).map(of_row).collect()
}
