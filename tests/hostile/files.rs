//! Files that are no CSV, or too little of one, or too much.

use crate::support::workshop::Workshop;
use std::io::Write as _;

const KINDS: [&str; 2] = ["sales", "comps"];

#[test]
fn an_empty_file() {
    let workshop = Workshop::new();
    for (name, content) in [
        ("empty.csv", ""),
        ("blank.csv", "\n\r\n  \n"),
        ("bom.csv", "\u{feff}"),
    ] {
        workshop.file(name, content);
        for kind in KINDS {
            let said = format!("@{name}: is empty");
            workshop.refuses(&["import", kind, &format!("@{name}")], &[&said, "help: "]);
        }
        workshop.refuses(&["price", "--from", &format!("@{name}")], &["is empty"]);
    }
}

#[test]
fn a_header_alone() {
    let workshop = Workshop::new();
    for (kind, header) in [
        ("sales", "bike,style"),
        ("comps", "listing,style,ask\r\n\r\n"),
    ] {
        workshop.file("header.csv", header);
        let said = ["@header.csv: has a header and no rows", "at least one row"];
        workshop.refuses(&["import", kind, "@header.csv"], &said);
    }
}

#[test]
fn one_column() {
    let workshop = Workshop::new();
    workshop.file("one.csv", "listing\nc1\nc2\n");
    let said = [
        "@one.csv, line 1: has one column only, 'listing'",
        "comma, semicolon or tab",
    ];
    workshop.refuses(&["import", "comps", "@one.csv"], &said);
}

/// 20 MB here, so that the suite stays quick; the reader gives a line up after
/// 1 MiB however long it is (`src/intake/file/limits_tests.rs` feeds it a line without
/// end and counts what it takes).
#[test]
fn megabytes_of_one_line() {
    let workshop = Workshop::new();
    let mut file =
        std::io::BufWriter::new(std::fs::File::create(workshop.path("long.csv")).unwrap());
    let piece = "road,2015,".repeat(100);
    for _ in 0..20_000 {
        file.write_all(piece.as_bytes()).unwrap();
    }
    file.into_inner().unwrap().sync_all().unwrap();
    assert_eq!(
        std::fs::metadata(workshop.path("long.csv")).unwrap().len(),
        20_000_000
    );
    for kind in KINDS {
        let output = workshop.refuses(
            &["import", kind, "@long.csv"],
            &["@long.csv, line 1: is longer than 1 MiB", "help: "],
        );
        assert!(
            output.err.len() < 1000,
            "{} bytes of message",
            output.err.len()
        );
    }
}

#[test]
fn one_long_row_among_others() {
    let workshop = Workshop::new();
    let row = format!("c2,road,{}\n", "9".repeat(2_000_000));
    workshop.file(
        "long.csv",
        format!("listing,style,ask\nc1,road,100\n{row}c3,road,120\n"),
    );
    let said = ["@long.csv, line 3: is longer than 1 MiB"];
    workshop.refuses(&["import", "comps", "@long.csv"], &said);
}

#[test]
fn a_directory() {
    let workshop = Workshop::new();
    std::fs::create_dir(workshop.path("folder.csv")).unwrap();
    let said = ["@folder.csv: is a folder, not a CSV file", "help: "];
    for line in [
        &["import", "comps", "@folder.csv"][..],
        &["price", "--from", "@folder.csv"],
    ] {
        workshop.refuses(line, &said);
    }
}

#[test]
fn no_file() {
    let workshop = Workshop::new();
    let said = ["@nowhere.csv: cannot be opened", "Check the file's name"];
    workshop.refuses(&["import", "sales", "@nowhere.csv"], &said);
}

#[cfg(unix)]
#[test]
fn a_device() {
    let workshop = Workshop::new();
    let said = ["/dev/null: is a device or a pipe"];
    workshop.refuses(&["import", "sales", "/dev/null"], &said);
}

#[test]
fn files_of_other_kinds() {
    let workshop = Workshop::new();
    for (bytes, said) in [
        (&b"PK\x03\x04rest"[..], "cannot be read as a spreadsheet"),
        (b"\x1f\x8brest", "gzip"),
        (b"%PDF-1.7", "PDF"),
        (b"\x89PNG\r\n\x1a\n", "picture"),
        (b"\xff\xfel\x00i\x00", "UTF-16"),
        (b"listing,style,ask\nc1,ro\x00ad,100\n", "NUL"),
    ] {
        workshop.file("other.csv", bytes);
        workshop.refuses(&["import", "comps", "@other.csv"], &["@other.csv", said]);
    }
    let said = ["@book.sqlite: is not a text file, but an SQLite database"];
    workshop.refuses(&["import", "comps", "@book.sqlite"], &said);
}

#[test]
fn another_encoding_is_refused_with_the_byte() {
    let workshop = Workshop::new();
    // A pound sign in Windows-1252, byte 0xA3 at offset 18 + 8.
    workshop.file("latin.csv", b"listing,style,ask\nc1,road,\xa3100\n");
    let said = [
        "@latin.csv, line 2: is not UTF-8: byte 0xA3 at offset 26",
        "iconv",
    ];
    workshop.refuses(&["import", "comps", "@latin.csv"], &said);
}

#[test]
fn a_quote_that_is_never_closed() {
    let workshop = Workshop::new();
    workshop.file(
        "quote.csv",
        "listing,style,ask\nc1,road,100\nc2,\"road,100\nc3,road,100\n",
    );
    let said = ["@quote.csv, line 3: a quote is opened here and never closed"];
    workshop.refuses(&["import", "comps", "@quote.csv"], &said);
}
