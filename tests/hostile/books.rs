//! Books that are none, cut short, locked, or may not be written.

use crate::support::workshop::{TODAY, Workshop};
use std::time::{Duration, Instant};

/// Every command that needs a book.
const LINES: [&[&str]; 5] = [
    &["check"],
    &["price", "--style", "road"],
    &["import", "comps", "@comps.csv"],
    &["import", "asks", "@asks.csv"],
    &["import", "--history"],
];

const COMPS: &str = "listing,style,ask,first_seen\nc1,road,100,2026-04-01\n";

fn with_comps() -> Workshop {
    let workshop = Workshop::new();
    workshop.file("comps.csv", COMPS);
    workshop.file("asks.csv", "bike,on,ask\nS1,2026-04-01,100\n");
    workshop
}

#[test]
fn not_a_book_at_all() {
    for (content, said) in [
        (&b"bike,style\nS1,road\n"[..], "its content is not SQLite"),
        (b"", "it is empty"),
        (&[0_u8; 8192], "is not a book"),
    ] {
        let workshop = with_comps();
        workshop.file("book.sqlite", content);
        for line in LINES {
            workshop.refuses(
                line,
                &["@book.sqlite is not a book of wheelworth", said, "help: "],
            );
        }
    }
}

#[test]
fn a_database_of_another_program() {
    let workshop = with_comps();
    std::fs::remove_file(workshop.book()).unwrap();
    let other = rusqlite::Connection::open(workshop.book()).unwrap();
    other
        .execute_batch("CREATE TABLE sales (bike TEXT)")
        .unwrap();
    drop(other);
    for line in LINES {
        workshop.refuses(
            line,
            &[
                "@book.sqlite is not a book of wheelworth",
                "of another program",
            ],
        );
    }
}

#[test]
fn a_book_of_a_newer_program() {
    let workshop = with_comps();
    let book = rusqlite::Connection::open(workshop.book()).unwrap();
    book.pragma_update(None, "user_version", 99).unwrap();
    drop(book);
    for line in LINES {
        workshop.refuses(
            line,
            &["@book.sqlite has version 99", "help: Use the newer program"],
        );
    }
}

#[test]
fn a_directory_in_place_of_the_book() {
    let workshop = with_comps();
    std::fs::create_dir(workshop.path("folder")).unwrap();
    for line in LINES {
        let line = [&["--book", "@folder"], line].concat();
        workshop
            .run_as_typed(&line, TODAY)
            .says(1, &["@folder is not a file but a directory"]);
    }
}

#[test]
fn a_truncated_book() {
    let whole = Workshop::busy();
    let bytes = whole.book_bytes();
    // Cut within the first page, at a page's end, within a page, and at the last byte.
    for length in [
        50,
        3000,
        8192,
        bytes.len() / 2 / 4096 * 4096 + 100,
        bytes.len() - 1,
    ] {
        let workshop = with_comps();
        workshop.file("book.sqlite", &bytes[..length]);
        for line in LINES {
            let output = workshop.refuses(line, &["@book.sqlite", "help: "]);
            let told = ["is damaged or cut short", "is not a book of wheelworth"];
            assert!(
                told.iter().any(|t| output.err.contains(t)),
                "{length}: {}",
                output.err
            );
        }
    }
}

#[test]
fn a_locked_book_is_waited_for_and_then_said_to_be_in_use() {
    let workshop = with_comps();
    let other = rusqlite::Connection::open(workshop.book()).unwrap();
    other.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let start = Instant::now();
    let said = [
        "the book @book.sqlite is in use by another program",
        "help: Wait until",
    ];
    let before = workshop.files();
    workshop
        .run(&["import", "comps", "@comps.csv"])
        .says(1, &said);
    let waited = start.elapsed();
    // Five seconds are promised.
    assert!(waited >= Duration::from_millis(4_500), "{waited:?}");
    assert_eq!(workshop.files(), before);
    other.execute_batch("ROLLBACK").unwrap();
    drop(other);
    workshop.run(&["import", "comps", "@comps.csv"]).done();
}

#[test]
fn a_lock_that_is_let_go_in_time_does_no_harm() {
    let workshop = with_comps();
    let other = rusqlite::Connection::open(workshop.book()).unwrap();
    other.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let holder = std::thread::spawn(move || {
        std::thread::sleep(Duration::from_millis(400));
        other.execute_batch("ROLLBACK").unwrap();
    });
    workshop.run(&["import", "comps", "@comps.csv"]).done();
    holder.join().unwrap();
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_only_be_read() {
    use std::os::unix::fs::PermissionsExt as _;
    let workshop = with_comps();
    let mode =
        |mode| std::fs::set_permissions(workshop.folder(), std::fs::Permissions::from_mode(mode));
    let (book, files) = (workshop.book_bytes(), workshop.files());
    mode(0o555).unwrap();
    let run = |words: &[&str]| workshop.run_without_powers(words);
    let import = run(&["import", "comps", "@comps.csv"]);
    let price = run(&["price", "--style", "road"]);
    let start = run(&["--book", "@other.sqlite", "start", "--currency", "EUR"]);
    mode(0o755).unwrap();
    import.says(1, &["book.sqlite cannot be written", "help: Allow writing"]);
    price.done();
    start.says(1, &["@other.sqlite cannot be written"]);
    assert!(workshop.book_bytes() == book, "the book changed");
    assert_eq!(workshop.files(), files);
}
