//! Files as people send them, and as nobody should.

use crate::intake::{BadRow, Bikes, Comps, FileProblem, Kind, Reader, Row, Settings};
use crate::trade::{Comparable, Currency, Day};
use std::io::Cursor;
use std::path::Path;

pub(in crate::intake) fn settings() -> Settings {
    Settings::new(
        Currency::from_code("EUR").unwrap(),
        Day::constant(2024, 12, 31),
    )
}

pub(in crate::intake) fn open<K: Kind>(
    bytes: impl AsRef<[u8]>,
    settings: &Settings,
) -> Result<Reader<K>, FileProblem> {
    Reader::from_reader(
        Box::new(Cursor::new(bytes.as_ref().to_vec())),
        "x.csv",
        settings,
    )
}

pub(in crate::intake) type Rows<R> = Vec<Result<Row<R>, BadRow>>;

/// Every row, and the problem that ended the reading, if one did.
pub(in crate::intake) fn read<K: Kind>(
    bytes: impl AsRef<[u8]>,
) -> (Rows<K::Record>, Option<FileProblem>) {
    let mut reader = match open::<K>(bytes, &settings()) {
        Ok(reader) => reader,
        Err(problem) => return (Vec::new(), Some(problem)),
    };
    let mut rows = Vec::new();
    loop {
        match reader.next_row() {
            Ok(Some(row)) => rows.push(row),
            Ok(None) => return (rows, None),
            Err(problem) => {
                assert!(
                    matches!(reader.next_row(), Ok(None)),
                    "the reading ends at a problem"
                );
                return (rows, Some(problem));
            }
        }
    }
}

pub(in crate::intake) fn comps(bytes: impl AsRef<[u8]>) -> Rows<Comparable> {
    let (rows, problem) = read::<Comps>(bytes);
    assert!(problem.is_none(), "{problem:?}");
    rows
}

fn problem(bytes: impl AsRef<[u8]>) -> FileProblem {
    let (_, problem) = read::<Comps>(bytes);
    let problem = problem.expect("a problem");
    assert!(problem.message().starts_with("x.csv"), "{problem}");
    assert!(!problem.mend().is_empty());
    problem
}

pub(in crate::intake) fn ids(rows: &Rows<Comparable>) -> Vec<(u64, &str)> {
    rows.iter()
        .map(|row| row.as_ref().unwrap())
        .map(|row| (row.line, row.record.listing.as_str()))
        .collect()
}

#[test]
fn separators_marks_and_line_ends_are_told_apart() {
    let plain = "listing,style,ask\nx1,road,10\nx2,city,20\n";
    let texts = [
        plain.to_string(),
        plain.replace(',', ";"),
        plain.replace(',', "\t"),
        plain.replace('\n', "\r\n"),
        plain.replace('\n', "\r"),
        format!("\u{feff}{plain}"),
        plain.trim_end().to_string(),
        plain.replace("listing,style,ask", "\"listing\",\"style\",\"ask\""),
        plain
            .replace("listing,style,ask", " Listing ,STYLE,ask,,")
            .replace("0\n", "0,\n"),
    ];
    for text in texts {
        assert_eq!(ids(&comps(&text)), [(2, "x1"), (3, "x2")], "{text:?}");
    }
}

#[test]
fn the_separator_is_the_one_that_makes_sense_of_the_header() {
    let mut settings = settings();
    settings.columns = vec![("ask".into(), "a,b,c,d".into())];
    let mut reader = open::<Comps>("listing;style;a,b,c,d\nx;road;1,50\n", &settings).unwrap();
    assert_eq!(reader.separator(), ';');
    assert_eq!(
        reader.columns_used(),
        [("ask".to_string(), "a,b,c,d".to_string())]
    );
    assert_eq!(
        reader
            .next_row()
            .unwrap()
            .unwrap()
            .unwrap()
            .record
            .ask
            .minor(),
        150
    );
}

#[test]
fn blank_lines_are_skipped_and_lines_still_counted() {
    let rows =
        comps("\n\n  \nlisting,style,ask\n\r\n\nx1,road,10\n , ,\n   \n\"\",,\nx2,city,20\n\n");
    assert_eq!(ids(&rows), [(7, "x1"), (11, "x2")]);
}

#[test]
fn quoted_cells_may_hold_separators_and_quotes() {
    let rows = comps(
        "listing,source,style,seat_tube,ask\n\"a,\"\"1\"\"\",no\"te,road,\"20\"\"\",\"1,250.00\"\n",
    );
    let comp = &rows[0].as_ref().unwrap().record;
    assert_eq!(
        (comp.listing.as_str(), comp.source.as_str()),
        ("a,\"1\"", "no\"te")
    );
    assert_eq!(
        (comp.bike.seat_tube.unwrap().tenths(), comp.ask.minor()),
        (5080, 125_000)
    );
}

/// The one problem of the second row of a file whose other rows are good.
pub(in crate::intake) fn placed(row: &str) -> crate::intake::RowProblem {
    let text = format!("listing,source,style,ask\nx1,board,road,10\n{row}\nx3,board,road,10\n");
    let rows = comps(text);
    assert_eq!(rows.iter().filter(|row| row.is_ok()).count(), 2, "{rows:?}");
    let bad = rows.into_iter().find_map(Result::err).unwrap();
    assert_eq!(bad.problems.len(), 1, "{bad:?}");
    bad.problems.into_iter().next().unwrap()
}

#[test]
fn a_problem_says_where_what_and_the_mend() {
    let found = placed("x2,\"a, b\",\"rood\",10");
    assert_eq!(
        (found.line, found.column.as_str(), found.column_number),
        (3, "style", 3)
    );
    assert_eq!(
        (found.value.as_str(), found.mend.as_str()),
        ("rood", "Did you mean road?")
    );
    assert_eq!(found.line_text, "x2,\"a, b\",\"rood\",10");
    assert_eq!(&found.line_text[found.at.clone()], "\"rood\"");
    assert!(
        found
            .to_string()
            .starts_with("line 3, column style: 'rood', expected a style (road, ")
    );
}

#[test]
fn ragged_rows_are_bad_rows() {
    for (row, cells) in [
        ("x2,board,road", "not 3"),
        ("x2,board,road,10,9", "not 5"),
        ("x2", "not 1"),
    ] {
        let found = placed(row);
        assert!(
            found.expected.starts_with("4 cells") && found.expected.ends_with(cells),
            "{found}"
        );
        assert_eq!(
            (found.line, found.column_number, found.line_text.as_str()),
            (3, 0, row)
        );
    }
    assert!(comps("listing,style,ask\nx,road,10,, ,\n")[0].is_ok());
}

#[test]
fn control_characters_are_refused_and_not_shown() {
    for (cell, told) in [
        ("a\u{1b}[31mb", "U+001B"),
        ("a\tb", "a tab"),
        ("\"a\nb\"", "a line break"),
        ("a\u{85}b", "U+0085"),
    ] {
        let found = placed(&format!("x2,{cell},road,10"));
        assert!(found.expected.contains(told), "{found}");
        assert!(!found.line_text.contains('\u{1b}') && !found.value.contains('\n'));
    }
}

#[test]
fn text_after_a_closing_quote_is_refused() {
    let found = placed("x2,board,road,\"12\"5");
    assert_eq!(
        (found.column.as_str(), found.value.as_str()),
        ("ask", "125")
    );
    assert!(found.expected.contains("closes the cell"));
}

/// Or else a file of rejects would mend `"12"5` to 125 by itself.
#[test]
fn text_after_a_closing_quote_stays_with_its_quotes_in_the_cells() {
    let rows = comps("listing,style,ask\n\"x\"1,\"road\" ,\"12\"5\n");
    let cells = &rows[0].as_ref().unwrap_err().cells;
    assert_eq!(cells, &["\"x\"1", "road ", "\"12\"5"]);
}

#[test]
fn the_apostrophe_before_a_formula_is_taken_away_once() {
    let text = "listing,source,style,ask\n'=1,''@x,road,10\n'a,'-,road,10\n''b,''',road,10\n";
    let texts: Vec<(String, String)> = comps(text)
        .into_iter()
        .map(|row| row.unwrap().record)
        .map(|comp| (comp.listing, comp.source))
        .collect();
    let pairs = [("=1", "'@x"), ("'a", "-"), ("''b", "'''")];
    assert_eq!(texts, pairs.map(|(a, b)| (a.to_string(), b.to_string())));
}

#[test]
fn blanks_are_trimmed_but_ids_tell() {
    let rows = comps("listing,source,style,ask\n\u{a0}x1 , board\u{a0}, road,\u{202f}10 \n");
    let row = rows[0].as_ref().unwrap();
    assert_eq!(
        (row.record.listing.as_str(), row.record.source.as_str()),
        ("x1", "board")
    );
    assert_eq!(row.notes.len(), 1);
}

#[test]
fn the_cells_of_a_bad_row_are_kept_as_they_stand() {
    let rows = comps("listing,source,style,ask\n' x,\"a \"\"b\"\"\",road, offers\n");
    assert_eq!(
        rows[0].as_ref().unwrap_err().cells,
        ["' x", "a \"b\"", "road", " offers"]
    );
}

#[test]
fn files_without_rows_or_columns_are_refused() {
    for text in ["", "\u{feff}", "\n\n", "  \r\n \n"] {
        assert!(
            matches!(problem(text), FileProblem::Empty { .. }),
            "{text:?}"
        );
    }
    for text in ["listing,style,ask", "listing,style,ask\n\n,,\n"] {
        assert!(
            matches!(problem(text), FileProblem::NoRows { .. }),
            "{text:?}"
        );
    }
    for text in [
        "listing\nx1\n",
        "listing|style|ask\nx|road|1\n",
        "just text",
        "listing,,\nx\n",
    ] {
        assert!(
            matches!(problem(text), FileProblem::OneColumn { line: 1, .. }),
            "{text:?}"
        );
    }
}

#[test]
fn files_that_are_no_text_are_refused() {
    let zip = b"PK\x03\x04\x14\0".to_vec();
    let wide: Vec<u8> = "listing,style"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let marked: Vec<u8> = [b"\xff\xfe".to_vec(), wide.clone()].concat();
    for bytes in [zip, wide, marked, b"\x1f\x8b\x08abc".to_vec(), vec![0; 100]] {
        assert!(
            matches!(problem(&bytes), FileProblem::NotText { .. }),
            "{bytes:?}"
        );
    }
}

#[test]
fn bytes_that_are_not_utf8_are_placed() {
    let text = b"\xef\xbb\xbflisting,style,ask\r\n\r\nx1,road,10\r\nx2,ro\xe9d,10\r\n";
    let (rows, end) = read::<Comps>(text);
    assert_eq!(rows.len(), 1);
    let Some(FileProblem::NotUtf8 {
        line, offset, byte, ..
    }) = end
    else {
        panic!("{end:?}")
    };
    assert_eq!((line, offset, byte), (4, 41, 0xe9));
    assert_eq!(text[41], 0xe9);
    assert!(matches!(
        problem(b"listing,st\xffle\nx,road\n"),
        FileProblem::NotUtf8 {
            line: 1,
            offset: 10,
            ..
        }
    ));
}

#[test]
fn an_open_quote_is_placed_where_it_was_opened() {
    let (rows, end) = read::<Comps>("listing,style,ask\nx1,road,10\nx2,\"road,10\nx3,road,10\n");
    assert_eq!(rows.len(), 1);
    assert!(
        matches!(end, Some(FileProblem::OpenQuote { line: 3, .. })),
        "{end:?}"
    );
    let long = format!(
        "listing,style,ask\nx1,\"a\nb\",\"{}",
        "road,10\n".repeat(1 << 18)
    );
    assert!(matches!(
        problem(long),
        FileProblem::OpenQuote { line: 3, .. }
    ));
    assert!(matches!(
        problem("listing,\"style,ask\nx1,road\n"),
        FileProblem::OpenQuote { line: 1, .. }
    ));
}

#[test]
fn paths_that_are_no_files_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let open = |path: &Path| Reader::<Bikes>::open(path, &settings()).err().unwrap();
    assert!(matches!(open(folder.path()), FileProblem::IsFolder { .. }));
    let missing = open(&folder.path().join("none.csv"));
    assert!(matches!(missing, FileProblem::CannotOpen { .. }));
    assert!(missing.message().contains("none.csv") && missing.mend().contains("name"));
    #[cfg(unix)]
    assert!(matches!(
        open(Path::new("/dev/null")),
        FileProblem::NotAFile { .. }
    ));
}
