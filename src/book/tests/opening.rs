//! Making, opening, refusing; older and newer versions.

use super::*;

#[test]
fn a_new_book_keeps_its_settings_and_leaves_one_file() {
    let (folder, book) = new_book();
    assert_eq!(book.check(), Vec::<String>::new());
    book.keep_setting("half_life", "3 years").unwrap();
    book.keep_setting("half_life", "2 years").unwrap();
    drop(book);
    let book = Book::open(&folder.path().join(NAME)).unwrap();
    assert_eq!(*book.settings(), settings());
    assert_eq!(
        book.setting("half_life").unwrap().as_deref(),
        Some("2 years")
    );
    assert_eq!(book.setting("other").unwrap(), None);
    assert_eq!(files_in(&folder), [NAME]);
}

#[test]
fn start_never_overwrites_and_takes_no_nonsense() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(NAME);
    fs::write(&path, "something dear").unwrap();
    let problem = Book::start(&path, &settings()).unwrap_err();
    assert_eq!(problem, BookProblem::Exists { path: path.clone() });
    assert_eq!(fs::read(&path).unwrap(), b"something dear");

    let other = folder.path().join("other.sqlite");
    for spoil in [
        |s: &mut Settings| s.giving.share = 0,
        |s: &mut Settings| s.giving.share = 10_001,
        |s: &mut Settings| s.giving.year_starts = 13,
        |s: &mut Settings| s.giving.beneficiaries[0].weight = 0,
        |s: &mut Settings| s.giving.beneficiaries[0].name = "Alpha library".into(),
    ] {
        let mut bad = settings();
        spoil(&mut bad);
        let problem = Book::start(&other, &bad).unwrap_err();
        assert!(matches!(problem, BookProblem::Setting { .. }), "{problem}");
    }
    assert_eq!(files_in(&folder), [NAME]);

    let nowhere = folder.path().join("not there").join(NAME);
    let problem = Book::start(&nowhere, &settings()).unwrap_err();
    assert!(matches!(problem, BookProblem::NoFolder { .. }), "{problem}");
}

#[test]
fn the_rest_of_a_killed_start_does_not_confuse_the_next() {
    let folder = TempDir::new().unwrap();
    let rest = format!(".{NAME}.unfinished-1");
    fs::write(folder.path().join(&rest), "half a bo").unwrap();
    let path = folder.path().join(NAME);
    assert!(matches!(
        Book::open(&path).unwrap_err(),
        BookProblem::Missing { .. }
    ));
    Book::start(&path, &settings()).unwrap();
    assert_eq!(files_in(&folder), [rest.as_str(), NAME]);
}

#[test]
fn odd_file_names_are_plain_files() {
    let folder = TempDir::new().unwrap();
    for name in [":memory:", "file:book?mode=memory", "a b'\"c.sqlite"] {
        let path = folder.path().join(name);
        Book::start(&path, &settings()).unwrap();
        assert!(path.is_file(), "{name}");
    }
}

fn refusal(path: &Path) -> BookProblem {
    let problem = Book::open(path).unwrap_err();
    assert!(
        problem.to_string().contains(&path.display().to_string()),
        "{problem}"
    );
    assert!(!problem.mend().is_empty());
    assert_eq!(problem.path(), path);
    problem
}

#[test]
fn what_is_not_a_book_is_refused() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(NAME);
    assert!(matches!(refusal(&path), BookProblem::Missing { .. }));
    assert!(matches!(
        refusal(folder.path()),
        BookProblem::NotAFile { .. }
    ));

    for content in [
        "",
        "bike,style\n1,road\n",
        &"x".repeat(9000),
        "SQLite format 3\0",
    ] {
        fs::write(&path, content).unwrap();
        let problem = refusal(&path);
        assert!(
            matches!(problem, BookProblem::NotABook { .. }),
            "{content:.20} {problem}"
        );
        assert_eq!(fs::read(&path).unwrap(), content.as_bytes());
    }

    fs::remove_file(&path).unwrap();
    let other = Connection::open(&path).unwrap();
    other
        .execute_batch("PRAGMA application_id = 77; CREATE TABLE t (x)")
        .unwrap();
    drop(other);
    assert!(matches!(refusal(&path), BookProblem::NotABook { .. }));
}

#[test]
fn a_book_of_a_newer_version_is_refused_and_left_alone() {
    let (folder, book) = new_book();
    let newer = MIGRATIONS.len() as i64 + 1;
    book.connection
        .pragma_update(None, "user_version", newer)
        .unwrap();
    drop(book);
    let path = folder.path().join(NAME);
    let before = fs::read(&path).unwrap();
    let known = MIGRATIONS.len() as i64;
    assert_eq!(
        refusal(&path),
        BookProblem::Newer {
            path: path.clone(),
            version: newer,
            known
        }
    );
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn a_truncated_book_is_refused_wherever_it_was_cut() {
    let (folder, mut book) = new_book();
    let comps: Vec<_> = (0..500)
        .map(|n| comp("board", &format!("L{n}"), 100 + n))
        .collect();
    import(&mut book, &comps);
    drop(book);
    let path = folder.path().join(NAME);
    let whole = fs::read(&path).unwrap();
    for cut in [
        100,
        4096,
        5000,
        whole.len() / 2,
        whole.len() - 4096,
        whole.len() - 1,
    ] {
        fs::write(&path, &whole[..cut]).unwrap();
        let problem = refusal(&path);
        let damaged = matches!(problem, BookProblem::Damaged { .. });
        assert!(
            damaged || matches!(problem, BookProblem::NotABook { .. }),
            "{cut}: {problem:?}"
        );
        assert!(damaged || cut < 512, "{cut}: {problem:?}");
    }
}

#[test]
fn overwritten_pages_are_an_error_and_no_panic() {
    let (folder, mut book) = new_book();
    let comps: Vec<_> = (0..2000)
        .map(|n| comp("board", &format!("L{n}"), 100 + n))
        .collect();
    import(&mut book, &comps);
    drop(book);
    let path = folder.path().join(NAME);
    let whole = fs::read(&path).unwrap();
    let mut faulty = 0;
    for page in 1..whole.len() / 4096 {
        let mut bytes = whole.clone();
        bytes[page * 4096..(page + 1) * 4096].fill(0xA5);
        fs::write(&path, &bytes).unwrap();
        match Book::open(&path) {
            Err(problem) => {
                assert!(
                    matches!(problem, BookProblem::Damaged { .. }),
                    "{page}: {problem:?}"
                );
                faulty += 1;
            }
            Ok(book) => {
                let _ = book.each_comp(&mut |_, _| {});
                faulty += usize::from(!book.check().is_empty());
            }
        }
    }
    // Every page of the file is used (nothing was ever deleted), so each counts.
    assert_eq!(faulty, whole.len() / 4096 - 1);
}

#[test]
fn values_that_make_no_sense_are_told_as_damage() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[comp("board", "1", 5)]);
    for bad in [
        "style = 99",
        "first_seen = 20260231",
        "seat_tube = 6",
        "made = 99999",
    ] {
        book.connection
            .execute_batch(&format!("SAVEPOINT s; UPDATE comps SET {bad}"))
            .unwrap();
        let problem = book.each_comp(&mut |_, _| {}).unwrap_err();
        assert!(
            matches!(problem, BookProblem::Damaged { .. }),
            "{bad}: {problem:?}"
        );
        book.connection
            .execute_batch("ROLLBACK TO s; RELEASE s")
            .unwrap();
    }
    assert_eq!(all(&book), [comp("board", "1", 5)]);
}

#[test]
fn an_older_book_is_brought_up_to_date_and_a_copy_kept() {
    let (folder, mut book) = new_book();
    let path = book.path.clone();
    import(&mut book, &[full_comp()]);
    drop(book);
    let before = fs::read(&path).unwrap();
    let mut later = MIGRATIONS.to_vec();
    later.push("CREATE TABLE one_more (x); INSERT INTO one_more VALUES (1)");
    let version = later.len();
    let copy = format!("{NAME}.before-v{version}");
    fs::write(folder.path().join(&copy), "an earlier copy").unwrap();

    // A step that fails leaves the book as it was.
    let mut failing = MIGRATIONS.to_vec();
    failing.push("CREATE TABLE one_more (x); INSERT INTO nowhere VALUES (1)");
    Book::open_with(&path, &failing, crate::book::file::connect::WAIT).unwrap_err();
    assert_eq!(fs::read(&path).unwrap(), before);
    fs::remove_file(folder.path().join(format!("{copy}-2"))).unwrap();

    let book = Book::open_with(&path, &later, crate::book::file::connect::WAIT).unwrap();
    assert_eq!(
        book.texts("SELECT CAST(x AS TEXT) FROM one_more").unwrap(),
        ["1"]
    );
    assert_eq!(all(&book), [full_comp()]);
    drop(book);
    assert!(matches!(
        Book::open(&path).unwrap_err(),
        BookProblem::Newer { .. }
    ));
    Book::open_with(&path, &later, crate::book::file::connect::WAIT).unwrap(); // no second copy
    let second = format!("{copy}-2");
    assert_eq!(files_in(&folder), [NAME, &copy, &second]);
    assert_eq!(
        fs::read(folder.path().join(&copy)).unwrap(),
        b"an earlier copy"
    );
    let kept = Book::open(&folder.path().join(&second)).unwrap();
    assert_eq!(all(&kept), [full_comp()]);
    assert_eq!(kept.check(), Vec::<String>::new());
}

#[test]
fn what_a_migration_that_was_cut_off_left_is_no_copy_and_goes() {
    let (folder, mut book) = new_book();
    let path = book.path.clone();
    import(&mut book, &[full_comp()]);
    drop(book);
    let mut later = MIGRATIONS.to_vec();
    later.push("CREATE TABLE one_more (x)");
    let copy = format!("{NAME}.before-v{}", later.len());
    for ending in [".unfinished", ".unfinished-journal"] {
        fs::write(folder.path().join(format!("{copy}{ending}")), "cut off").unwrap();
    }
    assert_eq!(crate::book::file::copies::latest_copy(&path), None);
    Book::open_with(&path, &later, crate::book::file::connect::WAIT).unwrap();
    assert_eq!(files_in(&folder), [NAME, &copy]);
    let whole = folder.path().join(&copy);
    assert_eq!(
        crate::book::file::copies::latest_copy(&path),
        Some(whole.clone())
    );
    assert_eq!(all(&Book::open(&whole).unwrap()), [full_comp()]);
}
