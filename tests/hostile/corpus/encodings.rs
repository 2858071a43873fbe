//! Files in other encodings, and files that are no text.

use super::case::{Case, FILE};
use super::csv_text::{PLAIN, write};
use super::tables::Table;
use rand::Rng as _;
use rand_chacha::ChaCha8Rng;

/// The good rows in encodings other than UTF-8, and bytes that no text has.
pub fn cases(table: &Table, random: &mut ChaCha8Rng) -> Vec<Case> {
    let text = write(&table.cells(), PLAIN);
    let refused = |name: &str, bytes: Vec<u8>, said: &[&str]| Case::refused(name, bytes, said);
    let utf16 = |big: bool| -> Vec<u8> {
        let each = text.encode_utf16().map(|unit| match big {
            true => unit.to_be_bytes(),
            false => unit.to_le_bytes(),
        });
        each.flatten().collect()
    };
    let utf32: Vec<u8> = text
        .chars()
        .flat_map(|c| u32::from(c).to_le_bytes())
        .collect();
    let marked = |mark: &[u8], bytes: Vec<u8>| [mark, &bytes].concat();
    let no_text = "is not a text file";
    let mut cases = vec![
        refused("UTF-16 LE", utf16(false), &[no_text, "NUL"]),
        refused("UTF-16 BE", utf16(true), &[no_text, "NUL"]),
        refused(
            "UTF-16 LE with mark",
            marked(b"\xff\xfe", utf16(false)),
            &[no_text, "UTF-16"],
        ),
        refused(
            "UTF-16 BE with mark",
            marked(b"\xfe\xff", utf16(true)),
            &[no_text, "UTF-16"],
        ),
        refused("UTF-32", utf32, &[no_text]),
        refused("UTF-7", text.replace(',', "+ACw-").into(), &["line 1"]),
    ];
    // Bytes that UTF-8 does not have (RFC 3629, sections 3 and 10), at the start of
    // a cell of some row.
    for (name, bytes) in [
        ("Latin-1: ü", &b"\xfc"[..]),
        ("Windows-1252: the euro sign", b"\x80"),
        ("Windows-1252: a dash", b"\x96"),
        ("Mac Roman: ü", b"\x9f"),
        ("Shift JIS", b"\x8e\xa9\x93\x5d"),
        ("a sequence cut short", b"\xe2\x82"),
        ("an overlong slash", b"\xc0\xaf"),
        ("an overlong NUL", b"\xc0\x80"),
        ("half a pair", b"\xed\xa0\x80"),
        ("beyond U+10FFFF", b"\xf4\x90\x80\x80"),
        ("0xFF", b"\xff"),
        ("a byte that goes on from nothing", b"\xbf"),
    ] {
        let (spoiled, line, at) = insert(&text, bytes, random);
        let said = format!(
            "{FILE}, line {line}: is not UTF-8: byte 0x{:02X} at offset {at} of the file",
            bytes[0]
        );
        cases.push(refused(name, spoiled, &[&said]));
    }
    // The ü of UTF-8, read as Latin-1 and written again, is text like any other; in
    // a word it is refused, in a text it cannot be seen.
    let (spoiled, ..) = insert(&text, b"\0", random);
    cases.push(refused("a NUL", spoiled, &["NUL"]));
    for (name, start) in STARTS {
        let after = write(&table.cells(), PLAIN).into_bytes();
        let said = match name.contains("spreadsheets") {
            true => "cannot be read as a spreadsheet",
            false => no_text,
        };
        cases.push(refused(name, marked(start, after), &[said]));
    }
    let cut = [&b"PAR1"[..], text.as_bytes()].concat();
    cases.push(refused(
        "Parquet, by its first bytes",
        cut,
        &["as a Parquet file"],
    ));
    for (name, text, said) in [
        ("nothing", "", "is empty"),
        ("a mark alone", "\u{feff}", "is empty"),
        ("line ends alone", "\n\r\n\r\r", "is empty"),
        ("blanks alone", "  \t \n", "is empty"),
        (
            "a page",
            "<!DOCTYPE html>\n<html><body>Log in, please</body></html>\n",
            "a page of the web",
        ),
        (
            "JSON",
            "{\"bike\": \"B-1\", \"ask\": 3}\n{\"bike\": \"B-2\"}\n",
            "line 1",
        ),
        (
            "a letter",
            "Dear all,\nthe bikes are sold, thank you.\n",
            "line 1",
        ),
    ] {
        cases.push(refused(name, text.into(), &[said]));
    }
    cases
}

/// First bytes of files of other kinds, by their published formats.
const STARTS: [(&str, &[u8]); 11] = [
    ("gzip", b"\x1f\x8b\x08\0"),
    ("zip, and the newer spreadsheets", b"PK\x03\x04\x14\0"),
    (
        "the older spreadsheets",
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
    ),
    ("bzip2", b"BZh9"),
    ("xz", b"\xfd7zXZ\0"),
    ("zstd", b"\x28\xb5\x2f\xfd"),
    ("7z", b"7z\xbc\xaf\x27\x1c"),
    ("PDF", b"%PDF-1.7\n"),
    ("SQLite", b"SQLite format 3\0"),
    ("a picture", b"\x89PNG\r\n\x1a\n\0"),
    ("a program", b"\x7fELF\x02\x01\x01\0"),
];

/// The text with bytes put in at the start of a row drawn at random, its line, and
/// the bytes before it.
fn insert(text: &str, bytes: &[u8], random: &mut ChaCha8Rng) -> (Vec<u8>, usize, usize) {
    let rows = text.lines().count();
    let row = random.random_range(1..rows);
    let before: usize = text.lines().take(row).map(|line| line.len() + 1).sum();
    let (start, end) = text.as_bytes().split_at(before);
    ([start, bytes, end].concat(), row + 1, before)
}
