//! Inspections: facts that stay as they were found.

use super::*;
use crate::trade::inspection::{CheckResult, Finding, Inspection, Measure, Sheet, item};

fn inspection(bike: &str, day: i8, result: CheckResult) -> Inspection {
    let mut sheet = Sheet::new();
    let pads = Measure::Length(15);
    sheet.put(item("front pads").unwrap(), Finding::measured(result, pads));
    let mut tyre = Finding::of(CheckResult::Pass);
    tyre.note = Some("new; \"ü\"".into());
    sheet.put(item("front tyre").unwrap(), tyre);
    Inspection {
        bike: bike.into(),
        on: Day::constant(2026, 4, day),
        sheet,
    }
}

fn keep(book: &mut Book, inspections: &[Inspection]) -> (Vec<Put>, ImportSummary) {
    let mut import = book.begin_import("inspection", "sheet.csv", TODAY).unwrap();
    let puts = inspections.iter();
    let puts = puts
        .map(|one| import.put_inspection(one).unwrap())
        .collect();
    (puts, import.commit().unwrap())
}

fn with_bikes() -> (TempDir, Book) {
    let (folder, mut book) = new_book();
    let mut import = book.begin_import("sales", "sales.csv", TODAY).unwrap();
    for id in ["a", "b"] {
        import.put_sale(&sale(id, 9000)).unwrap();
    }
    import.commit().unwrap();
    (folder, book)
}

#[test]
fn a_second_inspection_is_a_second_record_and_the_same_one_is_none() {
    let (_folder, mut book) = with_bikes();
    let failed = inspection("a", 3, CheckResult::Fail);
    let passed = inspection("a", 3, CheckResult::Pass);
    let other = inspection("b", 1, CheckResult::Pass);
    let (puts, _) = keep(&mut book, std::slice::from_ref(&failed));
    assert_eq!(puts, [Put::Added]);
    let (puts, summary) = keep(&mut book, &[failed.clone(), passed.clone(), other.clone()]);
    assert_eq!(puts, [Put::Unchanged, Put::Added, Put::Added]);
    assert_eq!((summary.added, summary.unchanged), (2, 1));
    // By day, then as recorded: the later record of a day stands last.
    let all = [other, failed, passed];
    assert_eq!(book.inspections(TODAY).unwrap(), all);
    assert_eq!(
        book.inspections(Day::constant(2026, 4, 2)).unwrap(),
        all[..1]
    );
    assert_eq!(book.counts().unwrap().inspections, 3);
    let (_, again) = keep(&mut book, &all);
    assert_eq!((again.number, again.unchanged), (None, 3));
    assert_eq!(book.history().unwrap().len(), 3);
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn what_was_found_cannot_be_written_over() {
    let (_folder, mut book) = with_bikes();
    keep(&mut book, &[inspection("a", 3, CheckResult::Fail)]);
    for sql in [
        "UPDATE inspection_rows SET result = 'pass'",
        "UPDATE inspections SET \"on\" = 20260501",
    ] {
        let error = book.connection.execute(sql, []).unwrap_err();
        assert!(error.to_string().contains("never written over"), "{error}");
    }
}

#[test]
fn an_undo_takes_the_rows_out_and_the_bikes_go_last() {
    let (_folder, mut book) = with_bikes();
    let first = inspection("a", 3, CheckResult::Fail);
    keep(&mut book, std::slice::from_ref(&first));
    keep(&mut book, &[inspection("a", 4, CheckResult::Pass)]);
    let undone = book.undo(3, TODAY).unwrap();
    assert_eq!((undone.removed, undone.restored), (1, 0));
    assert_eq!(book.inspections(TODAY).unwrap(), [first]);
    let problem = book.undo(1, TODAY).unwrap_err().to_string();
    let said =
        "import 2 (sheet.csv) later put asks, costs, refunds or inspections of its bikes, 1 in all";
    assert!(problem.contains(said), "{problem}");
    book.undo(2, TODAY).unwrap();
    book.undo(1, TODAY).unwrap();
    assert_eq!(book.counts().unwrap(), Counts::default());
    let left = book.texts("SELECT item FROM inspection_rows").unwrap();
    assert_eq!(left, Vec::<String>::new());
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn an_unknown_bike_is_refused_and_others_can_be_put() {
    let (_folder, mut book) = with_bikes();
    let mut import = book.begin_import("inspection", "sheet.csv", TODAY).unwrap();
    let unknown = inspection("x", 3, CheckResult::Pass);
    let problem = import.put_inspection(&unknown).unwrap_err();
    assert!(matches!(problem, BookProblem::NoSuchBike { bike, .. } if bike == "x"));
    let known = inspection("a", 3, CheckResult::Pass);
    assert_eq!(import.put_inspection(&known).unwrap(), Put::Added);
    import.commit().unwrap();
    assert_eq!(book.inspections(TODAY).unwrap(), [known]);
}

#[test]
fn an_item_that_nobody_knows_is_a_damaged_book() {
    let (_folder, mut book) = with_bikes();
    keep(&mut book, &[inspection("a", 3, CheckResult::Pass)]);
    let sql = "INSERT INTO inspection_rows VALUES (1, 'wings', 'pass', NULL, NULL)";
    book.connection.execute(sql, []).unwrap();
    assert!(book.inspections(TODAY).is_err());
}

#[test]
fn a_book_of_before_there_were_inspections_is_brought_up_to_date_with_a_copy_aside() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(NAME);
    let old = Book::start_with(&path, &settings(), &MIGRATIONS[..3]).unwrap();
    old_import(&old, "a", 9000);
    assert!(old.inspections(TODAY).is_err());
    drop(old);

    let mut book = Book::open(&path).unwrap();
    assert_eq!(*book.settings(), settings());
    assert_eq!(book.sales().unwrap(), [without_guess("a", 9000)]);
    assert_eq!(book.inspections(TODAY).unwrap(), []);
    let one = inspection("a", 3, CheckResult::Pass);
    keep(&mut book, std::slice::from_ref(&one));
    assert_eq!(book.inspections(TODAY).unwrap(), [one]);
    assert_eq!(book.check(), Vec::<String>::new());
    drop(book);

    let copy = format!("{NAME}.before-v{}", MIGRATIONS.len());
    assert_eq!(files_in(&folder), [NAME, &copy]);
    let kept = folder.path().join(&copy);
    let kept = Book::open_with(&kept, &MIGRATIONS[..3], crate::book::file::connect::WAIT).unwrap();
    assert_eq!(old_prices(&kept), ["a 9000"]);
    assert_eq!(kept.texts("PRAGMA integrity_check").unwrap(), ["ok"]);
}
