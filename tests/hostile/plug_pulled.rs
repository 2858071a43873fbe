//! The plug is pulled: the program is killed at a hundred random moments, and the
//! book is as before the command or as after it, never in between.

use crate::support::program::program;
use crate::support::workshop::Workshop;
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use std::fs;
use std::process::Stdio;
use std::time::Instant;

/// Kills of each of the five commands, at any moment.
const KILLS: usize = 20;
/// So many of a command's kills at least must come while the book is written.
const WRITING: usize = 5;
/// Kills more at most until that is so.
const TRIES: usize = 200;
const TABLES: [&str; 6] = ["sales", "comps", "asks", "costs", "gifts", "inspections"];

/// Everything that the book says of itself.
fn said(workshop: &Workshop) -> String {
    let mut said = String::new();
    for table in TABLES {
        let _ = fs::remove_file(workshop.path("table.csv"));
        workshop.run(&["export", table, "@table.csv"]).done();
        said += &workshop.text("table.csv");
    }
    for line in [
        &["import", "--history"][..],
        &["quarter", "2026-Q1"],
        &["offer", "--kept"],
    ] {
        said += &workshop.run(line).done().out;
    }
    said
}

/// Kills the command at random moments; `before` is the book's file.
fn pull(workshop: &Workshop, before: &[u8], line: &[&str], seed: u64) {
    let start = || {
        let _ = fs::remove_file(workshop.path("book.sqlite-journal"));
        fs::write(workshop.book(), before).unwrap();
        let mut run = program(workshop.folder());
        run.args(["--book", "book.sqlite", "--as-of", "2026-05-02"])
            .args(line);
        run.stdout(Stdio::null()).stderr(Stdio::null());
        run.spawn().unwrap()
    };
    let begun = Instant::now();
    assert!(start().wait().unwrap().success(), "{line:?}");
    let whole = begun.elapsed();
    let done = said(workshop);
    fs::write(workshop.book(), before).unwrap();
    let not_done = said(workshop);
    let journal = workshop.path("book.sqlite-journal");
    let begun_to_write = || fs::metadata(&journal).is_ok_and(|file| file.len() > 0);
    let look = || {
        let sound = workshop.run(&["check"]).done();
        assert!(sound.out.contains("is sound"), "{line:?}: {}", sound.out);
        let now = said(workshop);
        assert!(now == not_done || now == done, "{line:?} was done in part");
        // SQLite may leave a journal that was not needed yet for the next writer to
        // take away: without it the book says the same.
        let _ = fs::remove_file(&journal);
        assert_eq!(said(workshop), now, "{line:?}");
        let beside = |name: &String| {
            name.starts_with("book.sqlite-")
                || name.ends_with(".part")
                || name.contains(".unfinished")
        };
        let left: Vec<String> = workshop.files().into_iter().filter(beside).collect();
        assert_eq!(left, [""; 0], "{line:?}");
        now == not_done
    };
    let (mut in_time, mut writing) = (0, 0);
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    for _ in 0..KILLS {
        let mut child = start();
        std::thread::sleep(whole.mul_f64(chance.random_range(0.0..1.1)));
        let _ = child.kill();
        child.wait().unwrap();
        writing += usize::from(begun_to_write());
        in_time += usize::from(look());
    }
    // A journal that holds something means that the kill came while the book was
    // written. Short commands are hardly ever met there by the clock: these are
    // waited for.
    for _ in 0..TRIES {
        if writing >= WRITING {
            break;
        }
        let mut child = start();
        while !begun_to_write() && child.try_wait().unwrap().is_none() {
            std::thread::yield_now();
        }
        let _ = child.kill();
        child.wait().unwrap();
        if begun_to_write() {
            writing += 1;
            in_time += usize::from(look());
        }
    }
    assert!(in_time > 0, "{line:?}: every kill came too late");
    assert!(
        writing >= WRITING,
        "{line:?}: {writing} kills met the writing"
    );
}

fn long_comps() -> String {
    let row = |n: u32| {
        format!(
            "K{n},ads,hybrid,2015,3,2,52,,2026-03-{:02},{}\n",
            1 + n % 28,
            90 + n % 160
        )
    };
    let header = "listing,source,style,made,condition,tier,seat_tube,new_price,listed_on,ask\n";
    header.to_string() + &(0..20_000).map(row).collect::<String>()
}

fn shop() -> (Workshop, Vec<u8>) {
    let workshop = Workshop::busy();
    let bytes = workshop.book_bytes();
    (workshop, bytes)
}

#[test]
fn an_import_of_several_files_that_is_killed_is_done_whole_or_not_at_all() {
    let (workshop, before) = shop();
    workshop.file("a.csv", long_comps());
    workshop.file("b.csv", long_comps().replace("\nK", "\nM"));
    pull(
        &workshop,
        &before,
        &["import", "comps", "a.csv", "b.csv"],
        1,
    );
}

#[test]
fn an_undo_that_is_killed_is_done_whole_or_not_at_all() {
    let (workshop, _) = shop();
    workshop.file("a.csv", long_comps());
    workshop.run(&["import", "comps", "@a.csv"]).done();
    let before = workshop.book_bytes();
    pull(&workshop, &before, &["import", "--undo", "4"], 2);
}

#[test]
fn a_record_that_is_killed_is_done_whole_or_not_at_all() {
    let (workshop, before) = shop();
    let line = "record cost --kind supply --item grease --amount 8.40";
    let line: Vec<&str> = line.split(' ').collect();
    pull(&workshop, &before, &line, 3);
}

#[test]
fn a_closing_that_is_killed_is_done_whole_or_not_at_all() {
    let workshop = Workshop::giving_to("A room", &["--give", "net"]);
    let workshop = workshop.sales(crate::support::workshop::SALES);
    let before = workshop.book_bytes();
    pull(&workshop, &before, &["quarter", "2026-Q1", "--close"], 4);
}

/// A book of version 5 is one of today without the tables of offers, of what was
/// learnt, and of rules and renames.
fn of_version_5(workshop: &Workshop) -> Vec<u8> {
    let book = rusqlite::Connection::open(workshop.book()).unwrap();
    book.execute_batch(
        "DROP TABLE rule_beneficiaries; DROP TABLE rules; DROP TABLE means; DROP TABLE renames; \
         DROP TABLE returns; DROP TABLE ways_to_leave; ALTER TABLE sales DROP COLUMN guess; \
         ALTER TABLE sales DROP COLUMN left_as; ALTER TABLE sales DROP COLUMN left_on; \
         ALTER TABLE sales DROP COLUMN box_value; ALTER TABLE sales DROP COLUMN box_item; \
         DROP TABLE offers; DROP TABLE learnt_from; DROP TABLE learnt; DROP TABLE learnt_comps; \
         PRAGMA user_version = 5",
    )
    .unwrap();
    drop(book);
    workshop.book_bytes()
}

#[test]
fn a_migration_that_is_killed_is_done_whole_or_not_at_all() {
    let (workshop, _) = shop();
    let old = of_version_5(&workshop);
    pull(&workshop, &old, &["check"], 5);
    // Each time that it came as far as the copy there is one, and every one is whole:
    // put back, it says what the book says.
    let now = said(&workshop);
    let files = workshop.files();
    let copies: Vec<&String> = files.iter().filter(|n| n.contains(".before-v")).collect();
    assert!(copies.len() > WRITING, "{copies:?}");
    for copy in copies {
        fs::copy(workshop.path(copy), workshop.book()).unwrap();
        workshop.run(&["check"]).done();
        assert_eq!(said(&workshop), now, "{copy}");
    }
}

#[test]
fn the_copy_from_before_a_migration_can_be_put_back() {
    let (workshop, _) = shop();
    of_version_5(&workshop);
    workshop.run(&["check"]).done();
    let now = said(&workshop);
    let bytes = workshop.book_bytes();
    fs::write(workshop.book(), &bytes[..bytes.len() / 2]).unwrap();
    // A later copy that was cut off while it was written, its journal beside it.
    workshop.file("book.sqlite.before-v9-2", &bytes[..bytes.len() / 2]);
    workshop.file("book.sqlite.before-v9-2-journal", &bytes[..512]);
    let refused = workshop.run(&["check"]);
    refused.says(
        1,
        &[
            "damaged",
            "Put back your last copy",
            "book.sqlite.before-v9 is how",
        ],
    );
    fs::copy(workshop.path("book.sqlite.before-v9"), workshop.book()).unwrap();
    workshop.run(&["check"]).done();
    assert_eq!(said(&workshop), now);
}

#[test]
fn where_no_more_can_be_written_the_book_stays_as_it_was() {
    let (workshop, before) = shop();
    workshop.file("a.csv", long_comps());
    let told = said(&workshop);
    // No file may grow beyond 400 kB: to the program that is a disk that takes no more.
    let line = format!(
        "trap '' XFSZ; ulimit -f 400; exec '{}' --book book.sqlite --as-of 2026-05-02 import comps a.csv",
        env!("CARGO_BIN_EXE_wheelworth")
    );
    let mut shell = std::process::Command::new("bash");
    let tried = shell
        .args(["-c", &line])
        .current_dir(workshop.folder())
        .output()
        .unwrap();
    let err = String::from_utf8(tried.stderr).unwrap();
    assert_eq!(tried.status.code(), Some(1), "{err}");
    assert!(err.contains("book.sqlite"), "{err}");
    assert_eq!(said(&workshop), told);
    assert!(workshop.book_bytes().len() <= before.len() + 4096);
}

#[test]
fn two_programs_that_write_at_once_both_get_in_or_are_told() {
    let (workshop, _) = shop();
    let row = |n: usize| format!("listing,source,style,ask\nZ{n},ads,road,{}\n", 100 + n);
    for n in 0..8 {
        workshop.file(&format!("z{n}.csv"), row(n));
    }
    let start = |n: usize| {
        let mut run = program(workshop.folder());
        run.args([
            "--book",
            "book.sqlite",
            "import",
            "comps",
            &format!("z{n}.csv"),
        ]);
        run.stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let children: Vec<_> = (0..8).map(start).collect();
    let mut taken = 0;
    for child in children {
        let output = child.wait_with_output().unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        match output.status.code() {
            Some(0) => taken += 1,
            code => assert!(code == Some(1) && err.contains("in use"), "{code:?}: {err}"),
        }
    }
    workshop.run(&["export", "comps", "@all.csv"]).done();
    let there = workshop
        .text("all.csv")
        .lines()
        .filter(|l| l.starts_with('Z'))
        .count();
    assert_eq!(there, taken);
    assert!(taken >= 1);
}

#[test]
fn a_program_that_waits_for_its_input_holds_no_lock() {
    let (workshop, _) = shop();
    let fifo = workshop.path("pipe.csv");
    let made = std::process::Command::new("mkfifo")
        .arg(&fifo)
        .status()
        .unwrap();
    assert!(made.success());
    let mut run = program(workshop.folder());
    run.args(["--book", "book.sqlite", "import", "comps", "pipe.csv"]);
    let mut waiting = run
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let line = ["record", "cost", "--kind", "supply", "--amount", "3"];
    let recorded = workshop.run(&line);
    let _ = waiting.kill();
    waiting.wait().unwrap();
    recorded.done();
}
