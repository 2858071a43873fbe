//! A disk that takes no more, and folders in which nobody may write, not even the
//! superuser: each command says so and what to do, and the book is as before.

#![cfg(target_os = "linux")]

use crate::support::program::both;
use crate::support::workshop::Workshop;
use std::process::{Command, Output};

fn shop() -> Workshop {
    Workshop::giving_to("A room", &[])
        .sales(crate::support::workshop::SALES)
        .comps(crate::support::workshop::COMPS)
}

/// Runs a command in the workshop by a shell that has done `first`.
fn by_shell(workshop: &Workshop, first: &str, line: &str) -> Output {
    let program = env!("CARGO_BIN_EXE_wheelworth");
    let line = format!("{first} exec '{program}' --as-of 2026-05-02 {line}");
    Command::new("bash")
        .args(["--norc", "-c", &line])
        .current_dir(workshop.folder())
        .env("WHEELWORTH_BOOK", "book.sqlite")
        .output()
        .unwrap()
}

/// Exit status 1, the words `told` and a help line; the files are as before.
fn refused(workshop: &Workshop, first: &str, line: &str, told: &str) {
    let (files, book) = (workshop.files(), workshop.book_bytes());
    let output = by_shell(workshop, first, line);
    let said = both(&output);
    assert_eq!(output.status.code(), Some(1), "{line}: {said}");
    assert!(
        said.contains(told) && said.contains("help: "),
        "{line}: {said}"
    );
    assert_eq!(workshop.files(), files, "{line}");
    assert!(workshop.book_bytes() == book, "{line} changed the book");
}

#[test]
fn where_a_disk_is_full_every_command_leaves_the_book_as_it_was() {
    let workshop = shop();
    // No file may grow beyond 8 KiB, which all of these must.
    let full = "trap '' XFSZ; ulimit -f 8;";
    for (line, told) in [
        (
            "record cost --kind supply --item grease --amount 8.40",
            "book.sqlite",
        ),
        (
            "record sale --bike B-46 --sold-on 2026-04-30 --sold-price 150",
            "book.sqlite",
        ),
        ("quarter 2026-Q1 --close", "book.sqlite"),
        (
            "quarter 2026-Q1 --html page.html",
            "page.html: cannot be written",
        ),
        ("import --undo 2", "book.sqlite"),
        ("export comps out.csv", "out.csv: cannot be written"),
        (
            "price --style road --made 2015 --chart p.svg",
            "p.svg: cannot be written",
        ),
        (
            "offer --style road --made 2012 --condition 3 --tier 2 --bike B-99",
            "book.sqlite",
        ),
        ("demo shed", "shed"),
    ] {
        refused(&workshop, full, line, told);
    }
    assert!(by_shell(&workshop, "", "check").status.success());
}

#[test]
fn where_nobody_may_write_every_command_says_so() {
    let workshop = shop();
    for line in [
        "--book /sys/new.sqlite start --currency EUR",
        "export comps /sys/out.csv",
        "export value-model /sys/model.json",
        "price --style road --made 2015 --chart /sys/p.svg",
        "quarter 2026-Q1 --html /sys/page.html",
        "quarter 2026-Q1 --csv /sys/quarter.csv",
        "market --charts /sys/pictures",
        "accuracy --charts /sys/pictures",
        "inspect --blank /sys/sheet.csv",
        "manual --into /sys/man",
        "demo /sys/shed",
    ] {
        refused(&workshop, "", line, "/sys");
    }
}
