//! The book's promises: all or nothing, nothing lost, nothing read that is not a book.

use super::schema::MIGRATIONS;
use super::*;
use crate::trade::{Bike, Comparable, Condition, Currency, Day, Money, Outcome, Sale, SeatTube};
use crate::trade::{Style, Tier, sale::Sold};
use std::fs;
use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

const TODAY: Day = Day::constant(2026, 5, 2);
const NAME: &str = "wheelworth.sqlite";

fn settings() -> Settings {
    let mut settings = Settings::new(Currency::from_code("EUR").unwrap());
    settings.give = Give::Net;
    settings.share = 1250;
    settings.year_starts = 7;
    for (name, weight) in [("Zeta kitchen", 70), ("Alpha library", 30)] {
        settings.beneficiaries.push(Beneficiary { name: name.into(), weight });
    }
    settings
}

fn new_book() -> (TempDir, Book) {
    let folder = TempDir::new().unwrap();
    let book = Book::start(&folder.path().join(NAME), &settings()).unwrap();
    (folder, book)
}

fn comp(source: &str, listing: &str, ask: i64) -> Comparable {
    Comparable {
        listing: listing.into(),
        source: source.into(),
        bike: Bike { made: Some(2015), ..Bike::of(Style::Touring) },
        listed_on: None,
        first_seen: Some(Day::constant(2026, 4, 1)),
        last_seen: Some(Day::constant(2026, 4, 20)),
        ask: Money::from_minor(ask),
        last_ask: None,
        outcome: Outcome::Listed,
        ended_on: None,
        sold_price: None,
    }
}

fn full_comp() -> Comparable {
    Comparable {
        listing: "L=1;\"ü\"".into(),
        source: "north board".into(),
        bike: Bike {
            style: Style::Other,
            made: Some(1890),
            condition: Some(Condition::Mint),
            tier: Some(Tier::Pro),
            seat_tube: SeatTube::from_tenths(5334),
            new_price: Some(Money::from_minor(8_999_999_999_999_999)),
        },
        listed_on: Some(Day::constant(2024, 2, 29)),
        first_seen: Some(Day::constant(2024, 3, 1)),
        last_seen: Some(Day::constant(2024, 12, 31)),
        ask: Money::from_minor(12_345),
        last_ask: Some(Money::from_minor(0)),
        outcome: Outcome::Gone,
        ended_on: Some(Day::constant(2024, 12, 30)),
        sold_price: Some(Money::from_minor(11_000)),
    }
}

fn sale(id: &str, price: i64) -> Sale {
    Sale {
        id: id.into(),
        bike: Bike { condition: Some(Condition::Tidy), ..Bike::of(Style::Road) },
        bought_on: Some(Day::constant(2026, 1, 3)),
        listed_on: Some(Day::constant(2026, 2, 1)),
        ask: Some(Money::from_minor(price + 500)),
        sold: Some(Sold { on: Day::constant(2026, 2, 11), price: Money::from_minor(price) }),
        purchase: Some(Money::from_minor(4000)),
        parts: None,
        fees: Some(Money::from_minor(0)),
        other_cost: None,
        hours: Some(350),
        note: Some("new chain".into()),
    }
}

fn import(book: &mut Book, comps: &[Comparable]) -> (Vec<Put>, ImportSummary) {
    let mut import = book.begin_import("comps", "comps.csv", TODAY).unwrap();
    let puts = comps.iter().map(|comp| import.put_comp(comp).unwrap()).collect();
    (puts, import.commit().unwrap())
}

fn all(book: &Book) -> Vec<Comparable> {
    let mut comps = Vec::new();
    book.each_comp(&mut |comp| comps.push(comp)).unwrap();
    comps
}

fn files_in(folder: &TempDir) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

// Making and opening.

#[test]
fn a_new_book_keeps_its_settings_and_leaves_one_file() {
    let (folder, book) = new_book();
    assert_eq!(book.check(), Vec::<String>::new());
    book.keep_setting("half_life", "3 years").unwrap();
    book.keep_setting("half_life", "2 years").unwrap();
    drop(book);
    let book = Book::open(&folder.path().join(NAME)).unwrap();
    assert_eq!(*book.settings(), settings());
    assert_eq!(book.setting("half_life").unwrap().as_deref(), Some("2 years"));
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
        |s: &mut Settings| s.share = 0,
        |s: &mut Settings| s.share = 10_001,
        |s: &mut Settings| s.year_starts = 13,
        |s: &mut Settings| s.beneficiaries[0].weight = 0,
        |s: &mut Settings| s.beneficiaries[0].name = "Alpha library".into(),
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
    assert!(matches!(Book::open(&path).unwrap_err(), BookProblem::Missing { .. }));
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
    assert!(problem.to_string().contains(&path.display().to_string()), "{problem}");
    assert!(!problem.mend().is_empty());
    assert_eq!(problem.path(), path);
    problem
}

#[test]
fn what_is_not_a_book_is_refused() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(NAME);
    assert!(matches!(refusal(&path), BookProblem::Missing { .. }));
    assert!(matches!(refusal(folder.path()), BookProblem::NotAFile { .. }));

    for content in ["", "bike,style\n1,road\n", &"x".repeat(9000), "SQLite format 3\0"] {
        fs::write(&path, content).unwrap();
        let problem = refusal(&path);
        assert!(matches!(problem, BookProblem::NotABook { .. }), "{content:.20} {problem}");
        assert_eq!(fs::read(&path).unwrap(), content.as_bytes());
    }

    fs::remove_file(&path).unwrap();
    let other = Connection::open(&path).unwrap();
    other.execute_batch("PRAGMA application_id = 77; CREATE TABLE t (x)").unwrap();
    drop(other);
    assert!(matches!(refusal(&path), BookProblem::NotABook { .. }));
}

#[test]
fn a_book_of_a_newer_version_is_refused_and_left_alone() {
    let (folder, book) = new_book();
    let newer = MIGRATIONS.len() as i64 + 1;
    book.connection.pragma_update(None, "user_version", newer).unwrap();
    drop(book);
    let path = folder.path().join(NAME);
    let before = fs::read(&path).unwrap();
    let known = MIGRATIONS.len() as i64;
    assert_eq!(refusal(&path), BookProblem::Newer { path: path.clone(), version: newer, known });
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn a_truncated_book_is_refused_wherever_it_was_cut() {
    let (folder, mut book) = new_book();
    let comps: Vec<_> = (0..500).map(|n| comp("board", &format!("L{n}"), 100 + n)).collect();
    import(&mut book, &comps);
    drop(book);
    let path = folder.path().join(NAME);
    let whole = fs::read(&path).unwrap();
    for cut in [100, 4096, 5000, whole.len() / 2, whole.len() - 4096, whole.len() - 1] {
        fs::write(&path, &whole[..cut]).unwrap();
        let problem = refusal(&path);
        let damaged = matches!(problem, BookProblem::Damaged { .. });
        assert!(damaged || matches!(problem, BookProblem::NotABook { .. }), "{cut}: {problem:?}");
        assert!(damaged || cut < 512, "{cut}: {problem:?}");
    }
}

#[test]
fn overwritten_pages_are_an_error_and_no_panic() {
    let (folder, mut book) = new_book();
    let comps: Vec<_> = (0..2000).map(|n| comp("board", &format!("L{n}"), 100 + n)).collect();
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
                assert!(matches!(problem, BookProblem::Damaged { .. }), "{page}: {problem:?}");
                faulty += 1;
            }
            Ok(book) => {
                let _ = book.each_comp(&mut |_| {});
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
    for bad in ["style = 99", "first_seen = 20260231", "seat_tube = 3", "made = 99999"] {
        book.connection.execute_batch(&format!("SAVEPOINT s; UPDATE comps SET {bad}")).unwrap();
        let problem = book.each_comp(&mut |_| {}).unwrap_err();
        assert!(matches!(problem, BookProblem::Damaged { .. }), "{bad}: {problem:?}");
        book.connection.execute_batch("ROLLBACK TO s; RELEASE s").unwrap();
    }
    assert_eq!(all(&book), [comp("board", "1", 5)]);
}

// Records.

#[test]
fn records_come_back_as_they_were_put() {
    let (_folder, mut book) = new_book();
    let comps = [full_comp(), comp("", "", 1)];
    import(&mut book, &comps);
    assert_eq!(all(&book), comps);
    let mut rows = Vec::new();
    book.each_comp_lean(&mut |row, lean| rows.push((row, *lean))).unwrap();
    let sources = book.sources().unwrap();
    for ((row, lean), whole) in rows.into_iter().zip(&comps) {
        let (_, source) = sources.iter().find(|(number, _)| *number == lean.source).unwrap();
        assert_eq!(lean.with_texts(source.clone(), whole.listing.clone()), *whole);
        assert_eq!(book.comp_by_row(row).unwrap().as_ref(), Some(whole));
    }
    assert_eq!(book.comp_by_row(99).unwrap(), None);

    let (mut on_hand, sold) = (sale("b", 1), sale("B", 18_000));
    on_hand.sold = None;
    on_hand.note = None;
    let mut import = book.begin_import("sales", "sales.csv", TODAY).unwrap();
    for sale in [&on_hand, &sold] {
        assert_eq!(import.put_sale(sale).unwrap(), Put::Added);
    }
    import.commit().unwrap();
    assert_eq!(book.sales().unwrap(), [sold.clone(), on_hand], "by bytes: B before b");
    assert_eq!(book.sale("B").unwrap(), Some(sold));
    assert_eq!(book.sale("x").unwrap(), None);
    assert_eq!(book.counts().unwrap(), Counts { sales: 2, comps: 2, imports: 2 });
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn the_numbers_of_styles_and_outcomes_mean_the_words_in_the_book() {
    let (_folder, book) = new_book();
    let styles: Vec<String> = Style::ALL.iter().map(Style::to_string).collect();
    assert_eq!(book.texts("SELECT word FROM styles ORDER BY number").unwrap(), styles);
    let outcomes: Vec<String> = Outcome::ALL.iter().map(Outcome::to_string).collect();
    assert_eq!(book.texts("SELECT word FROM outcomes ORDER BY number").unwrap(), outcomes);
}

#[test]
fn comps_that_may_be_one_bike_are_grouped() {
    let (_folder, mut book) = new_book();
    let like = |listing: &str, first_seen: Option<Day>| Comparable {
        listing: listing.into(),
        first_seen,
        ..full_comp()
    };
    let day = |month, day| Some(Day::constant(2024, month, day));
    let mut known_little = like("two facts only", day(3, 1));
    (known_little.bike.made, known_little.bike.tier) = (None, None);
    let mut dearer = like("other ask", day(3, 1));
    dearer.last_ask = Some(Money::from_minor(1));
    let mut undated = like("no day", None);
    undated.listed_on = None;
    let comps = [
        like("row 1: 30 days after the next but one", day(4, 27)), // 28 March + 30
        like("row 2: alone", day(5, 28)),                          // 27 April + 31
        like("row 3", day(2, 27)),
        like("row 4: 30 days on", day(3, 28)), // 27 February + 30 in a leap year
        known_little.clone(),
        Comparable { listing: "two facts, again".into(), ..known_little },
        dearer,
        undated,
    ];
    import(&mut book, &comps);
    assert_eq!(book.double_listings().unwrap(), [[3, 4, 1]]);
}

// Imports.

#[test]
fn the_same_file_again_changes_nothing_and_leaves_no_entry() {
    let (_folder, mut book) = new_book();
    let comps = [full_comp(), comp("a", "1", 5), comp("b", "1", 6)];
    let (puts, summary) = import(&mut book, &comps);
    assert_eq!(puts, [Put::Added, Put::Added, Put::Added]);
    assert_eq!(summary, ImportSummary { number: Some(1), added: 3, updated: 0, unchanged: 0 });
    let before = fs::read(&book.path).unwrap();
    let (puts, summary) = import(&mut book, &comps);
    assert_eq!(puts, [Put::Unchanged, Put::Unchanged, Put::Unchanged]);
    assert_eq!(summary, ImportSummary { number: None, added: 0, updated: 0, unchanged: 3 });
    assert_eq!(book.history().unwrap().len(), 1);
    assert_eq!(fs::read(&book.path).unwrap(), before, "not one byte");
}

#[test]
fn a_changed_row_is_updated_and_says_so() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[full_comp()]);
    let mut now = full_comp();
    now.bike.condition = None;
    now.bike.style = Style::Road;
    now.last_ask = Some(Money::from_minor(11_950));
    now.first_seen = Some(Day::constant(2024, 3, 2));
    now.outcome = Outcome::Sold;
    let (puts, summary) = import(&mut book, std::slice::from_ref(&now));
    let change = |field, before: &str, after: &str| FieldChange {
        field,
        before: before.into(),
        after: after.into(),
    };
    let changed = vec![
        change("style", "other", "road"),
        change("condition", "5 mint", ""),
        change("first_seen", "2024-03-01", "2024-03-02"),
        change("last_ask", "0.00", "119.50"),
        change("outcome", "gone", "sold"),
    ];
    assert_eq!(puts, [Put::Updated { changed }]);
    assert_eq!(summary, ImportSummary { number: Some(2), added: 0, updated: 1, unchanged: 0 });
    assert_eq!(all(&book), [now]);

    let listing = full_comp().listing;
    let key = RowKey::Comp { source: "north board", listing: &listing };
    let earlier = book.history_of(key).unwrap();
    assert_eq!(earlier.len(), 1);
    assert_eq!((earlier[0].written_by, earlier[0].replaced_by), (1, 2));
    assert_eq!(earlier[0].replaced_on, TODAY);
    assert!(earlier[0].fields.contains(&("condition", "5 mint".to_string())));
    assert!(earlier[0].fields.contains(&("seat_tube", "53.34 cm".to_string())));
    assert_eq!(book.history_of(RowKey::Sale { id: "none" }).unwrap(), []);
}

#[test]
fn a_row_that_comes_twice_in_one_import_is_told() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[comp("a", "old", 5)]);
    let comps =
        [comp("a", "new", 1), comp("a", "new", 2), comp("a", "old", 5), comp("a", "old", 6)];
    let (puts, _) = import(&mut book, &comps);
    assert_eq!(puts, [Put::Added, Put::TwiceInFile, Put::Unchanged, Put::TwiceInFile]);
    let comps = [comp("a", "old", 7), comp("a", "old", 8)];
    let (puts, _) = import(&mut book, &comps);
    assert!(matches!(puts[..], [Put::Updated { .. }, Put::TwiceInFile]));
    assert_eq!(all(&book), [comp("a", "old", 7), comp("a", "new", 1)]);
}

#[test]
fn a_dropped_import_leaves_the_book_as_it_was() {
    let (folder, mut book) = new_book();
    import(&mut book, &[comp("a", "1", 5)]);
    let before = fs::read(&book.path).unwrap();
    let mut dry = book.begin_import("comps", "more.csv", TODAY).unwrap();
    dry.remember_columns(&["x".into()], &[("ask".into(), "x".into())], None);
    assert!(matches!(dry.put_comp(&comp("a", "1", 6)).unwrap(), Put::Updated { .. }));
    assert_eq!(dry.put_comp(&comp("new source", "2", 6)).unwrap(), Put::Added);
    assert_eq!(dry.put_sale(&sale("B-1", 100)).unwrap(), Put::Added);
    drop(dry);
    assert_eq!(all(&book), [comp("a", "1", 5)]);
    assert_eq!(book.sales().unwrap(), []);
    assert_eq!(book.sources().unwrap(), [(1, "a".to_string())]);
    assert_eq!(book.remembered_columns("comps", &["x".into()]).unwrap(), None);
    assert_eq!(fs::read(&book.path).unwrap(), before);
    assert_eq!(files_in(&folder), [NAME]);
}

#[test]
fn columns_are_remembered_for_exactly_their_header() {
    let (_folder, mut book) = new_book();
    let header: Vec<String> = vec!["Titel".into(), "Preis \"VB\"".into()];
    let map = vec![("ask".to_string(), "Preis \"VB\"".to_string())];
    let remember = |book: &mut Book, dates: Option<&str>| {
        let mut import = book.begin_import("comps", "c.csv", TODAY).unwrap();
        import.remember_columns(&header, &map, dates);
        assert_eq!(import.commit().unwrap().number, None);
    };
    remember(&mut book, None);
    remember(&mut book, Some("dmy"));
    let found = book.remembered_columns("comps", &header).unwrap();
    let dates = Some("dmy".to_string());
    assert_eq!(found, Some(RememberedColumns { map: map.clone(), dates }));
    assert_eq!(book.remembered_columns("sales", &header).unwrap(), None);
    assert_eq!(book.remembered_columns("comps", &header[..1]).unwrap(), None);
    assert_eq!(book.history().unwrap(), []);
}

// Undo.

#[test]
fn undo_goes_back_step_by_step_and_refuses_to_jump() {
    let (_folder, mut book) = new_book();
    let state = |asks: &[(&str, i64)]| -> Vec<Comparable> {
        asks.iter().map(|(listing, ask)| comp("a", listing, *ask)).collect()
    };
    let states = [
        state(&[("1", 10), ("2", 20)]),
        state(&[("1", 11), ("2", 20), ("3", 30)]),
        state(&[("1", 12), ("2", 20), ("3", 30)]),
    ];
    for state in &states {
        import(&mut book, state);
    }
    assert_eq!(all(&book), states[2]);
    let refused = book.undo(1, TODAY).unwrap_err();
    assert_eq!(refused.mend(), "undo import 2 first");
    let refused = book.undo(2, TODAY).unwrap_err();
    assert!(refused.to_string().contains("import 3 (comps.csv) later changed 1"), "{refused}");
    assert_eq!(all(&book), states[2]);

    assert_eq!(book.undo(3, TODAY).unwrap(), Undone { removed: 0, restored: 1 });
    assert_eq!(all(&book), states[1]);
    assert_eq!(book.undo(2, TODAY).unwrap(), Undone { removed: 1, restored: 1 });
    assert_eq!(all(&book), states[0]);
    let again = book.undo(2, TODAY).unwrap_err();
    assert!(matches!(again, BookProblem::AlreadyUndone { number: 2, .. }), "{again}");
    assert_eq!(book.undo(1, TODAY).unwrap(), Undone { removed: 2, restored: 0 });
    assert_eq!(book.counts().unwrap(), Counts::default());
    assert_eq!(book.sources().unwrap(), []);
    let none = book.undo(4, TODAY).unwrap_err();
    assert!(matches!(none, BookProblem::NoSuchImport { number: 4, .. }), "{none}");

    let history = book.history().unwrap();
    let told: Vec<_> =
        history.iter().map(|e| (e.number, e.added, e.updated, e.unchanged)).collect();
    assert_eq!(told, [(1, 2, 0, 0), (2, 1, 1, 1), (3, 0, 1, 2)]);
    assert!(history.iter().all(|entry| entry.undone_on == Some(TODAY) && entry.on == TODAY));
    // What was undone can be imported again.
    let (_, summary) = import(&mut book, &states[2]);
    assert_eq!(summary, ImportSummary { number: Some(4), added: 3, updated: 0, unchanged: 0 });
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn an_import_that_nobody_built_on_can_be_undone_out_of_turn() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[full_comp()]);
    import(&mut book, &[comp("a", "1", 1)]);
    let mut sales = book.begin_import("sales", "s.csv", TODAY).unwrap();
    sales.put_sale(&sale("B-1", 9000)).unwrap();
    sales.commit().unwrap();
    let mut changed = book.begin_import("sales", "s.csv", TODAY).unwrap();
    let mut other = sale("B-1", 9500);
    other.note = None;
    changed.put_sale(&other).unwrap();
    changed.commit().unwrap();
    assert_eq!(book.undo(1, TODAY).unwrap(), Undone { removed: 1, restored: 0 });
    assert_eq!(all(&book), [comp("a", "1", 1)]);
    assert_eq!(book.undo(4, TODAY).unwrap(), Undone { removed: 0, restored: 1 });
    assert_eq!(book.sales().unwrap(), [sale("B-1", 9000)]);
}

// Versions.

#[test]
fn an_older_book_is_brought_up_to_date_and_a_copy_kept() {
    let (folder, mut book) = new_book();
    let path = book.path.clone();
    import(&mut book, &[full_comp()]);
    drop(book);
    let before = fs::read(&path).unwrap();
    let mut later = MIGRATIONS.to_vec();
    later.push("CREATE TABLE gifts (x) ; INSERT INTO gifts VALUES (1)");
    let version = later.len();
    let copy = format!("{NAME}.before-v{version}");
    fs::write(folder.path().join(&copy), "an earlier copy").unwrap();

    // A step that fails leaves the book as it was.
    let mut failing = MIGRATIONS.to_vec();
    failing.push("CREATE TABLE gifts (x); INSERT INTO nowhere VALUES (1)");
    Book::open_with(&path, &failing, opening::WAIT).unwrap_err();
    assert_eq!(fs::read(&path).unwrap(), before);
    fs::remove_file(folder.path().join(format!("{copy}-2"))).unwrap();

    let book = Book::open_with(&path, &later, opening::WAIT).unwrap();
    assert_eq!(book.texts("SELECT CAST(x AS TEXT) FROM gifts").unwrap(), ["1"]);
    assert_eq!(all(&book), [full_comp()]);
    drop(book);
    assert!(matches!(Book::open(&path).unwrap_err(), BookProblem::Newer { .. }));
    Book::open_with(&path, &later, opening::WAIT).unwrap(); // no second copy
    let second = format!("{copy}-2");
    assert_eq!(files_in(&folder), [NAME, &copy, &second]);
    assert_eq!(fs::read(folder.path().join(&copy)).unwrap(), b"an earlier copy");
    let kept = Book::open(&folder.path().join(&second)).unwrap();
    assert_eq!(all(&kept), [full_comp()]);
    assert_eq!(kept.check(), Vec::<String>::new());
}

// Other programs.

#[test]
fn a_second_writer_waits_and_then_refuses() {
    let (folder, mut book) = new_book();
    let path = folder.path().join(NAME);
    let wait = Duration::from_millis(300);
    let mut other = Book::open_with(&path, MIGRATIONS, wait).unwrap();
    let first = book.begin_import("comps", "1.csv", TODAY).unwrap();
    let begun = Instant::now();
    let Err(problem) = other.begin_import("comps", "2.csv", TODAY) else { panic!("not held") };
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
    let Err(problem) = book.begin_import("comps", "c.csv", TODAY) else { panic!("written") };
    assert!(matches!(problem, BookProblem::ReadOnly { .. }), "{problem:?}");
    assert!(matches!(book.undo(1, TODAY).unwrap_err(), BookProblem::ReadOnly { .. }));
}

#[test]
fn a_full_disk_leaves_the_book_as_it_was() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[full_comp()]);
    let before = fs::read(&book.path).unwrap();
    // SQLite's own limit on the file's pages gives the same error as a full disk.
    let pages = before.len() / 4096 + 2;
    book.connection.pragma_update(None, "max_page_count", pages as i64).unwrap();
    let mut import = book.begin_import("comps", "c.csv", TODAY).unwrap();
    let mut puts = (0..5000).map(|n| import.put_comp(&comp("board", &n.to_string(), n)));
    let problem = puts.find_map(Result::err).unwrap();
    drop(import);
    assert_eq!(problem, BookProblem::Full { path: book.path.clone() });
    assert_eq!(fs::read(&book.path).unwrap(), before);
    assert_eq!(all(&book), [full_comp()]);
}

/// Run as a child process: holds the book in the working folder, half imported.
#[test]
#[ignore = "the child process of the next test"]
fn child_that_imports_until_killed() {
    let mut book = Book::open(Path::new(NAME)).unwrap();
    book.connection.pragma_update(None, "cache_size", 20).unwrap(); // so that pages reach the file
    let mut import = book.begin_import("comps", "c.csv", TODAY).unwrap();
    for n in 0..20_000 {
        import.put_comp(&comp("board", &format!("N{n}"), n)).unwrap();
        import.put_comp(&comp("board", &format!("L{}", n % 2000), n + 1)).unwrap();
    }
    println!("\nhalf way");
    std::thread::sleep(Duration::from_secs(60));
}

#[test]
fn an_import_that_is_killed_leaves_the_book_as_it_was() {
    let (folder, mut book) = new_book();
    let comps: Vec<_> = (0..2000).map(|n| comp("board", &format!("L{n}"), 100 + n)).collect();
    import(&mut book, &comps);
    let path = book.path.clone();
    drop(book);
    let before = fs::read(&path).unwrap();
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args([
            "--ignored",
            "--exact",
            "--nocapture",
            "book::tests::child_that_imports_until_killed",
        ])
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    assert!(lines.any(|line| line.unwrap() == "half way"));

    // While it runs, another program is told who holds the book.
    let problem = Book::open_with(&path, MIGRATIONS, Duration::from_millis(50)).unwrap_err();
    let BookProblem::InUse { holder, .. } = problem else { panic!("{problem:?}") };
    if Path::new("/proc/locks").exists() {
        let holder = holder.unwrap();
        assert!(holder.ends_with(&format!("process {}", child.id())), "{holder}");
    }

    child.kill().unwrap();
    child.wait().unwrap();
    assert_ne!(fs::read(&path).unwrap(), before, "the kill came after pages were written");
    assert_eq!(files_in(&folder).len(), 2, "a journal is left");
    let book = Book::open(&path).unwrap();
    assert_eq!(all(&book), comps);
    assert_eq!(book.check(), Vec::<String>::new());
    assert_eq!(files_in(&folder), [NAME]);
    assert_eq!(fs::read(&path).unwrap(), before);
}
