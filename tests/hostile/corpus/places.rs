//! Paths that lead to no file, or to one that must not be read or written.

use crate::support::program::program;
use crate::support::workshop::Workshop;
use std::ffi::{OsStr, OsString};
use std::os::unix::ffi::{OsStrExt as _, OsStringExt as _};
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::process::{Command, Stdio};

const KINDS: [&str; 5] = ["sales", "comps", "asks", "costs", "gifts"];

const ROWS: &str = "listing,style,ask\nx1,road,100\n";

/// Every command that reads a file; `FILE` stands for it.
fn readers() -> Vec<Vec<&'static str>> {
    let mut lines: Vec<Vec<&str>> = KINDS
        .iter()
        .map(|kind| vec!["import", kind, "FILE"])
        .collect();
    lines.extend(
        [
            "price --from FILE",
            "price --style road --date-code A1 --date-codes FILE",
            "offer --style road --jobs FILE",
            "offer --style road --parts FILE",
            "offer --style road --sheet FILE",
            "inspect FILE",
        ]
        .map(|line| line.split(' ').collect()),
    );
    lines
}

/// Asserts that every command refuses the path and says so.
fn nobody_reads(workshop: &Workshop, path: &str, said: &str) {
    for line in readers() {
        let words: Vec<&str> = line
            .iter()
            .map(|word| if *word == "FILE" { path } else { word })
            .collect();
        let output = workshop.refuses(&words, &[&format!("{path}: "), said, "help: "]);
        assert!(output.err.len() < 1000, "{}", output.err);
    }
}

#[test]
fn what_is_no_file_is_not_read() {
    let workshop = Workshop::new();
    std::fs::create_dir(workshop.path("folder.csv")).unwrap();
    symlink("loop.csv", workshop.path("loop.csv")).unwrap();
    symlink("nowhere", workshop.path("dangling.csv")).unwrap();
    let made = Command::new("mkfifo")
        .arg(workshop.path("pipe.csv"))
        .status();
    assert!(made.unwrap().success());
    for (path, said) in [
        ("/dev/zero", "is a device or a pipe"),
        ("/dev/null", "is a device or a pipe"),
        ("/dev/full", "is a device or a pipe"),
        ("/dev/urandom", "is a device or a pipe"),
        ("@pipe.csv", "is a device or a pipe"),
        ("@folder.csv", "is a folder"),
        ("@loop.csv", "cannot be opened"),
        ("@dangling.csv", "cannot be opened"),
        ("@nowhere.csv", "cannot be opened"),
        ("@folder.csv/in.csv", "cannot be opened"),
        ("@book.sqlite", "is not a text file, but an SQLite database"),
        ("@book.sqlite/in.csv", "cannot be opened"),
    ] {
        nobody_reads(&workshop, path, said);
    }
}

#[test]
fn a_link_to_a_file_is_that_file() {
    let workshop = Workshop::new();
    workshop.file("real.csv", ROWS);
    symlink("real.csv", workshop.path("one.csv")).unwrap();
    symlink("one.csv", workshop.path("two.csv")).unwrap();
    let output = workshop.run(&["import", "comps", "@two.csv"]).done();
    assert!(output.out.contains("1 row added"), "{}", output.out);
}

#[test]
fn a_file_without_permission() {
    let workshop = Workshop::new();
    let path = workshop.file("secret.csv", ROWS);
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
    let book = workshop.book_bytes();
    for line in readers() {
        let words = line
            .iter()
            .map(|word| if *word == "FILE" { "@secret.csv" } else { word });
        let output = workshop.run_without_powers(&words.collect::<Vec<_>>());
        let said = ["secret.csv: cannot be opened", "Allow yourself to read it"];
        output.says(1, &said);
        assert_eq!(output.out, "", "{line:?}");
    }
    assert!(workshop.book_bytes() == book, "the book changed");
}

#[test]
fn a_path_that_is_no_text() {
    let workshop = Workshop::new();
    let name = OsString::from_vec(b"br\xfcder \x1b[2J.csv".to_vec());
    std::fs::write(workshop.folder().join(&name), ROWS).unwrap();
    std::fs::write(
        workshop.folder().join(OsStr::from_bytes(b"bad\xff.csv")),
        "x\n",
    )
    .unwrap();
    let run = |words: &[&OsStr]| {
        let mut command = program(workshop.folder());
        command
            .args(["--book", "book.sqlite", "import", "comps"])
            .args(words);
        command.output().unwrap()
    };
    let output = run(&[&name]);
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let output = run(&[OsStr::from_bytes(b"bad\xff.csv")]);
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("bad\u{fffd}.csv, line 1: has one column only"),
        "{said}"
    );
    let history = workshop.run(&["import", "--history"]).done().out;
    assert!(history.contains("br\u{fffd}der"), "{history}");
}

/// Nothing is put in place of a device, a folder, the book or the input.
#[test]
fn results_are_not_written_over_what_is_no_result() {
    let workshop = Workshop::new().sales("bike,style,new_price\nB-1,road,900\n");
    std::fs::create_dir(workshop.path("folder.csv")).unwrap();
    workshop.file("comps.csv", "listing,style,ask\nx1,road,100\nx2,boat,9\n");
    workshop.file("notes.svg", "no picture\n");
    let refused = |line: &str, said: &str| {
        let words: Vec<&str> = line.split(' ').collect();
        workshop.refuses(&words, &[said, "help: "]);
    };
    let skip = "import comps @comps.csv --skip-bad";
    for (place, said) in [
        ("/dev/full", "/dev/full: is there already"),
        ("/dev/null", "/dev/null: is there already"),
        ("@folder.csv", "@folder.csv: is there already"),
        ("@book.sqlite", "@book.sqlite: is there already"),
        ("@comps.csv", "@comps.csv: is there already"),
        ("@nowhere/bad.csv", "@nowhere/bad.csv: cannot be written"),
        (
            "@comps.csv/bad.csv",
            "@comps.csv/bad.csv: cannot be written",
        ),
    ] {
        refused(&format!("{skip} {place}"), said);
    }
    symlink("/dev/full", workshop.path("full.csv")).unwrap();
    symlink("/dev/full", workshop.path("full.svg")).unwrap();
    symlink("/dev/full", workshop.path("full.html")).unwrap();
    symlink("book.sqlite", workshop.path("link.csv")).unwrap();
    for line in [
        "export sales @full.csv",
        "quarter 2026-Q2 --csv @full.csv",
        "quarter 2026-Q2 --html @full.html",
        "price --bike B-1 --chart @full.svg",
        "inspect --blank @full.csv",
    ] {
        refused(line, "is a device or a pipe, not a file");
    }
    for line in [
        "export sales @link.csv",
        "export sales @folder.csv",
        "export sales @comps.csv",
        "quarter 2026-Q2 --csv @comps.csv",
        "quarter 2026-Q2 --csv @link.csv",
        "inspect --blank @comps.csv",
        "inspect --blank @link.csv",
        "price --bike B-1 --chart @notes.svg",
    ] {
        let words: Vec<&str> = line.split(' ').collect();
        workshop.refuses(&words, &["help: "]);
    }
}

/// A full disk behind the standard output is told, not swallowed. (Linux alone has one.)
#[cfg(target_os = "linux")]
#[test]
fn a_result_that_cannot_be_written_is_told() {
    let workshop = Workshop::new().sales("bike,style,new_price\nB-1,road,900\n");
    workshop.file("comps.csv", ROWS);
    for line in [
        "check",
        "price --bike B-1 --format json",
        "stock",
        "import --history",
        "import comps comps.csv",
        "--help",
        "priors",
    ] {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full");
        let mut command = program(workshop.folder());
        command
            .args(["--book", "book.sqlite"])
            .args(line.split(' '));
        command.stdout(Stdio::from(full.unwrap()));
        let output = command.output().unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(1), "{line}: {said}");
        assert!(
            said.contains("cannot be written") || said.contains("cannot write"),
            "{said}"
        );
    }
}

/// A cell of 10 MB, and a line of 10 MB in small cells: given up after 1 MiB, as
/// `src/intake/file/limits_tests.rs` counts.
#[test]
fn ten_megabytes_in_one_row() {
    let workshop = Workshop::new();
    let size = 10 << 20;
    for (row, said) in [
        (
            format!("x2,{},100", "a".repeat(size)),
            "line 3: is longer than 1 MiB",
        ),
        (
            format!("x2,\"{}\",100", "a\n".repeat(size / 2)),
            "line 3: a quote is opened here",
        ),
        (
            format!("x2,\"{}\",100", "\"\"".repeat(size / 2)),
            "line 3: a quote is opened here",
        ),
        (
            format!("x2,{},100", "\"".repeat(size)),
            "line 3: a quote is opened here",
        ),
        ("road,".repeat(size / 5), "line 3: is longer than 1 MiB"),
        ("\u{feff}".repeat(size / 3), "line 3: is longer than 1 MiB"),
    ] {
        workshop.file("giant.csv", format!("{ROWS}{row}\n"));
        let said = format!("@giant.csv, {said}");
        let output = workshop.refuses(&["import", "comps", "@giant.csv"], &[&said]);
        assert!(
            output.err.len() < 1000,
            "{} bytes of message",
            output.err.len()
        );
    }
}
