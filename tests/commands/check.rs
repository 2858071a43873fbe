//! `check`.

use crate::support::workshop::{COMPS, Workshop};

#[test]
fn check_counts_what_is_there() {
    let workshop = Workshop::busy();
    let before = workshop.book_bytes();
    let output = workshop.run(&["check"]).done();
    insta::assert_snapshot!(output.out, @"@book.sqlite is sound: 49 own bikes, 18 changes of their asks, 400 comps.");
    assert_eq!(output.err, "");
    assert!(workshop.book_bytes() == before);
    assert_eq!(
        COMPS.lines().count(),
        401,
        "the count above is that of the file"
    );
}

#[test]
fn check_finds_a_page_that_was_overwritten() {
    let workshop = Workshop::busy();
    let mut bytes = workshop.book_bytes();
    let middle = bytes.len() / 2 / 4096 * 4096;
    bytes[middle..middle + 4096].fill(0xA5);
    workshop.file("book.sqlite", &bytes);
    let output = workshop.run(&["check"]);
    output.says(1, &["@book.sqlite", "error: ", "help: "]);
    assert!(workshop.book_bytes() == bytes, "check mends nothing");
}
