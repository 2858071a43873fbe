//! Price changes of own listings: in, out, changed, undone, and the books of
//! before there were any.

use super::*;
use crate::trade::AskChange;
use proptest::prelude::*;
use std::collections::BTreeMap;

fn change(bike: &str, day: i8, ask: i64) -> AskChange {
    AskChange {
        bike: bike.into(),
        on: Day::constant(2026, 2, day),
        ask: Money::from_minor(ask),
    }
}

fn import_sales(book: &mut Book, sales: &[Sale]) -> ImportSummary {
    let mut import = book.begin_import("sales", "sales.csv", TODAY).unwrap();
    for sale in sales {
        import.put_sale(sale).unwrap();
    }
    import.commit().unwrap()
}

fn import_asks(book: &mut Book, changes: &[AskChange]) -> (Vec<Put>, ImportSummary) {
    let mut import = book.begin_import("asks", "asks.csv", TODAY).unwrap();
    let puts = changes.iter().map(|c| import.put_ask(c).unwrap()).collect();
    (puts, import.commit().unwrap())
}

/// A book with two bikes, from import 1.
fn with_bikes() -> (TempDir, Book) {
    let (folder, mut book) = new_book();
    import_sales(&mut book, &[sale("b", 9000), sale("B", 8000)]);
    (folder, book)
}

#[test]
fn asks_come_back_by_bike_and_day() {
    let (_folder, mut book) = with_bikes();
    let changes = [change("b", 8, 85), change("B", 9, 70), change("b", 3, 90)];
    let (puts, summary) = import_asks(&mut book, &changes);
    assert_eq!(puts, [Put::Added, Put::Added, Put::Added]);
    assert_eq!((summary.number, summary.added), (Some(2), 3));
    let [b8, big, b3] = changes;
    assert_eq!(book.asks().unwrap(), [big, b3, b8], "by bytes: B before b");
    let counts = book.counts().unwrap();
    assert_eq!((counts.sales, counts.asks, counts.imports), (2, 3, 2));
    assert_eq!(book.history().unwrap()[1].kind, "asks");
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn the_same_asks_again_change_nothing_and_another_ask_keeps_the_old_one() {
    let (_folder, mut book) = with_bikes();
    let changes = [change("b", 3, 9000), change("b", 8, 8500)];
    import_asks(&mut book, &changes);
    let before = fs::read(&book.path).unwrap();
    let (puts, summary) = import_asks(&mut book, &changes);
    assert_eq!(puts, [Put::Unchanged, Put::Unchanged]);
    assert_eq!(summary.number, None);
    assert_eq!(fs::read(&book.path).unwrap(), before, "not one byte");

    let (puts, _) = import_asks(&mut book, &[change("b", 8, 8000)]);
    let changed = FieldChange {
        field: "ask",
        before: "85.00".into(),
        after: "80.00".into(),
    };
    assert_eq!(
        puts,
        [Put::Updated {
            changed: vec![changed]
        }]
    );
    let told = ["3 ask b 2026-02-08 ask '85.00' -> '80.00' number"];
    assert_eq!(super::changes::changes(&book), told);
    let refused = book.undo(2, TODAY).unwrap_err();
    assert_eq!(refused.mend(), "Undo import 3 first.");
    let restored = Undone {
        removed: 0,
        restored: 1,
    };
    assert_eq!(book.undo(3, TODAY).unwrap(), restored);
    assert_eq!(book.asks().unwrap(), changes);
}

#[test]
fn the_same_bike_and_day_twice_is_told() {
    let (_folder, mut book) = with_bikes();
    let changes = [change("b", 3, 90), change("b", 3, 85), change("B", 3, 85)];
    let (puts, _) = import_asks(&mut book, &changes);
    assert_eq!(puts, [Put::Added, Put::TwiceInFile, Put::Added]);
    assert_eq!(
        book.asks().unwrap(),
        [change("B", 3, 85), change("b", 3, 90)]
    );
}

#[test]
fn an_ask_of_an_unknown_bike_is_left_out_and_the_others_kept() {
    let (_folder, mut book) = with_bikes();
    let mut import = book.begin_import("asks", "asks.csv", TODAY).unwrap();
    let problem = import.put_ask(&change("x", 3, 90)).unwrap_err();
    assert!(
        matches!(&problem, BookProblem::NoSuchBike { bike, .. } if bike == "x"),
        "{problem:?}"
    );
    import.put_ask(&change("b", 3, 90)).unwrap();
    assert_eq!(import.commit().unwrap().added, 1);
    assert_eq!(book.asks().unwrap(), [change("b", 3, 90)]);
}

#[test]
fn bikes_with_later_asks_are_not_taken_away_from_under_them() {
    let (_folder, mut book) = with_bikes();
    import_asks(&mut book, &[change("b", 3, 9000), change("b", 8, 8500)]);
    import_asks(&mut book, &[change("b", 8, 8000)]);
    let refused = book.undo(1, TODAY).unwrap_err();
    let said =
        "import 3 (asks.csv) later put asks, costs, refunds or inspections of its bikes, 1 in all";
    assert!(refused.to_string().contains(said), "{refused}");
    assert_eq!(refused.mend(), "Undo import 3 first.");
    book.undo(3, TODAY).unwrap();
    let refused = book.undo(1, TODAY).unwrap_err();
    let said =
        "import 2 (asks.csv) later put asks, costs, refunds or inspections of its bikes, 2 in all";
    assert!(refused.to_string().contains(said), "{refused}");
    book.undo(2, TODAY).unwrap();
    book.undo(1, TODAY).unwrap();
    assert_eq!(book.counts().unwrap(), Counts::default());
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn a_changed_sale_can_be_put_back_beside_its_asks() {
    let (_folder, mut book) = with_bikes();
    let mut other = sale("b", 9500);
    other.note = None;
    // Import 2 changes a bike that import 1 added, and adds one without asks.
    import_sales(&mut book, &[other, sale("c", 5000)]);
    import_asks(&mut book, &[change("b", 3, 9000)]);
    let undone = Undone {
        removed: 1,
        restored: 1,
    };
    assert_eq!(book.undo(2, TODAY).unwrap(), undone);
    assert_eq!(
        book.sales().unwrap(),
        [sale("B", 8000), sale("b", 9000)],
        "the ask stays"
    );
    assert_eq!(book.asks().unwrap(), [change("b", 3, 9000)]);
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn an_import_of_both_goes_as_a_whole() {
    let (_folder, mut book) = new_book();
    let mut import = book.begin_import("sales", "both.csv", TODAY).unwrap();
    import.put_sale(&sale("b", 9000)).unwrap();
    import.put_ask(&change("b", 3, 9000)).unwrap();
    import.commit().unwrap();
    let undone = Undone {
        removed: 2,
        restored: 0,
    };
    assert_eq!(book.undo(1, TODAY).unwrap(), undone);
    assert_eq!(book.counts().unwrap(), Counts::default());
}

#[test]
fn a_book_of_before_there_were_asks_is_brought_up_to_date() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(NAME);
    let mut old = Book::start_with(&path, &settings(), &MIGRATIONS[..1]).unwrap();
    old_import(&old, "b", 9000);
    import(&mut old, &[full_comp()]);
    assert!(old.texts("SELECT bike FROM asks").is_err());
    drop(old);

    let mut book = Book::open(&path).unwrap();
    assert_eq!(*book.settings(), settings());
    assert_eq!(book.asks().unwrap(), []);
    assert_eq!(book.sales().unwrap(), [without_guess("b", 9000)]);
    assert_eq!(all(&book), [full_comp()]);
    import_asks(&mut book, &[change("b", 3, 9000)]);
    assert_eq!(book.asks().unwrap(), [change("b", 3, 9000)]);
    assert_eq!(book.check(), Vec::<String>::new());
    drop(book);

    let copy = format!("{NAME}.before-v{}", MIGRATIONS.len());
    assert_eq!(files_in(&folder), [NAME, &copy]);
    let kept = folder.path().join(&copy);
    let kept = Book::open_with(&kept, &MIGRATIONS[..1], crate::book::file::connect::WAIT).unwrap();
    assert_eq!(old_prices(&kept), ["b 9000"]);
    assert_eq!(kept.texts("PRAGMA integrity_check").unwrap(), ["ok"]);
    assert_eq!(kept.history().unwrap().len(), 2);
    assert_eq!(all(&kept), [full_comp()]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Two imports in any order of rows leave what was put last for each bike
    /// and day, and undoing the second leaves the first.
    #[test]
    fn what_was_put_last_stands_and_undo_goes_back(
        first in prop::collection::btree_map((0..3_usize, 1..28_i8), 1..100_000_i64, 0..20),
        second in prop::collection::btree_map((0..3_usize, 1..28_i8), 1..100_000_i64, 1..20),
        backwards in any::<bool>(),
    ) {
        let ids = ["B-1", "a", "ü"]; // in the order of their bytes
        let changes = |rows: &BTreeMap<(usize, i8), i64>| -> Vec<AskChange> {
            rows.iter().map(|((bike, day), ask)| change(ids[*bike], *day, *ask)).collect()
        };
        let (_folder, mut book) = new_book();
        import_sales(&mut book, &ids.map(|id| sale(id, 9000)));
        import_asks(&mut book, &changes(&first));
        let mut rows = changes(&second);
        if backwards {
            rows.reverse();
        }
        let (_, summary) = import_asks(&mut book, &rows);
        let mut both = first.clone();
        both.extend(second);
        prop_assert_eq!(book.asks().unwrap(), changes(&both));
        if let Some(number) = summary.number {
            book.undo(number, TODAY).unwrap();
        }
        prop_assert_eq!(book.asks().unwrap(), changes(&first));
        prop_assert_eq!(book.check(), Vec::<String>::new());
    }
}
