//! Other programs, a full disk, a kill.

use super::*;
use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

#[test]
fn a_second_writer_waits_and_then_refuses() {
    let (folder, mut book) = new_book();
    let path = folder.path().join(NAME);
    let wait = Duration::from_millis(300);
    let mut other = Book::open_with(&path, MIGRATIONS, wait).unwrap();
    let first = book.begin_import("comps", "1.csv", TODAY).unwrap();
    let begun = Instant::now();
    let Err(problem) = other.begin_import("comps", "2.csv", TODAY) else {
        panic!("not held")
    };
    assert!(begun.elapsed() >= wait, "{:?}", begun.elapsed());
    assert!(matches!(problem, BookProblem::InUse { .. }), "{problem:?}");
    assert_eq!(all(&other), [], "reading goes on meanwhile");
    drop(first);
    assert!(other.begin_import("comps", "2.csv", TODAY).is_ok());
}

#[test]
fn a_book_that_may_only_be_read_is_read_and_not_written() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[full_comp()]);
    // As SQLite opens a file that is write-protected (file modes don't bind
    // the superuser, under whom tests may run).
    let flags = rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY;
    book.connection = Connection::open_with_flags(&book.path, flags).unwrap();
    assert_eq!(all(&book), [full_comp()]);
    let Err(problem) = book.begin_import("comps", "c.csv", TODAY) else {
        panic!("written")
    };
    assert!(
        matches!(problem, BookProblem::ReadOnly { .. }),
        "{problem:?}"
    );
    assert!(matches!(
        book.undo(1, TODAY).unwrap_err(),
        BookProblem::ReadOnly { .. }
    ));
}

#[test]
fn a_full_disk_leaves_the_book_as_it_was() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[full_comp()]);
    let before = fs::read(&book.path).unwrap();
    // SQLite's own limit on the file's pages gives the same error as a full disk.
    let pages = before.len() / 4096 + 2;
    book.connection
        .pragma_update(None, "max_page_count", pages as i64)
        .unwrap();
    let mut import = book.begin_import("comps", "c.csv", TODAY).unwrap();
    let mut puts = (0..5000).map(|n| import.put_comp(&comp("board", &n.to_string(), n)));
    let problem = puts.find_map(Result::err).unwrap();
    // A caller that does not stop gets nothing in, not even part of a file.
    assert_eq!(
        import.put_comp(&comp("board", "one more", 1)).unwrap_err(),
        problem
    );
    assert_eq!(import.commit().unwrap_err(), problem);
    assert_eq!(
        problem,
        BookProblem::Full {
            path: book.path.clone()
        }
    );
    assert_eq!(fs::read(&book.path).unwrap(), before);
    assert_eq!(all(&book), [full_comp()]);
}

/// Run as a child process: holds the book in the working folder, half imported.
#[test]
#[ignore = "the child process of the next test"]
fn child_that_imports_until_killed() {
    let mut book = Book::open(Path::new(NAME)).unwrap();
    book.connection
        .pragma_update(None, "cache_size", 20)
        .unwrap(); // so that pages reach the file
    let mut import = book.begin_import("comps", "c.csv", TODAY).unwrap();
    for n in 0..20_000 {
        import
            .put_comp(&comp("board", &format!("N{n}"), n))
            .unwrap();
        import
            .put_comp(&comp("board", &format!("L{}", n % 2000), n + 1))
            .unwrap();
    }
    println!("\nhalf way");
    std::thread::sleep(Duration::from_mins(1));
}

#[test]
fn an_import_that_is_killed_leaves_the_book_as_it_was() {
    let (folder, mut book) = new_book();
    let comps: Vec<_> = (0..2000)
        .map(|n| comp("board", &format!("L{n}"), 100 + n))
        .collect();
    import(&mut book, &comps);
    let path = book.path.clone();
    drop(book);
    let before = fs::read(&path).unwrap();
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args([
            "--ignored",
            "--exact",
            "--nocapture",
            "book::tests::interrupted::child_that_imports_until_killed",
        ])
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    assert!(lines.any(|line| line.unwrap() == "half way"));

    // While it runs, another program is told who holds the book.
    let problem = Book::open_with(&path, MIGRATIONS, Duration::from_millis(50)).unwrap_err();
    let BookProblem::InUse { holder, .. } = problem else {
        panic!("{problem:?}")
    };
    if Path::new("/proc/locks").exists() {
        let holder = holder.unwrap();
        assert!(
            holder.ends_with(&format!("process {}", child.id())),
            "{holder}"
        );
    }

    child.kill().unwrap();
    child.wait().unwrap();
    assert_ne!(
        fs::read(&path).unwrap(),
        before,
        "the kill came after pages were written"
    );
    assert_eq!(files_in(&folder).len(), 2, "a journal is left");
    let book = Book::open(&path).unwrap();
    assert_eq!(all(&book), comps);
    assert_eq!(book.check(), Vec::<String>::new());
    assert_eq!(files_in(&folder), [NAME]);
    assert_eq!(fs::read(&path).unwrap(), before);
}
