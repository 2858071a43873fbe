//! Costs: in, out, repeated, undone, and the books of before there were any.

use super::*;
use crate::trade::{Cost, CostKind};

/// Minor units and a day of February 2026 make the cost.
pub(super) fn cost(bike: Option<&str>, day: i8, amount: i64) -> Cost {
    Cost {
        bike: bike.map(str::to_string),
        on: Day::constant(2026, 2, day),
        kind: CostKind::Part,
        item: Some("chain".into()),
        amount: Money::from_minor(amount),
        from_box: false,
    }
}

pub(super) fn put_costs(
    book: &mut Book,
    (file, on): (&str, Day),
    costs: &[Cost],
    repeat: Repeat,
) -> (Vec<Put>, ImportSummary) {
    let mut import = book.begin_import("costs", file, on).unwrap();
    let puts = costs.iter().map(|c| import.put_cost(c, repeat).unwrap());
    let puts = puts.collect();
    (puts, import.commit().unwrap())
}

fn import_costs(book: &mut Book, costs: &[Cost]) -> (Vec<Put>, ImportSummary) {
    put_costs(book, ("costs.csv", TODAY), costs, Repeat::OfAFile)
}

/// A book with the bikes b and B, from import 1.
fn with_bikes() -> (TempDir, Book) {
    let (folder, mut book) = new_book();
    let mut import = book.begin_import("sales", "sales.csv", TODAY).unwrap();
    for id in ["b", "B"] {
        import.put_sale(&sale(id, 9000)).unwrap();
    }
    import.commit().unwrap();
    (folder, book)
}

#[test]
fn costs_come_back_as_put_by_day_then_as_recorded() {
    let (_folder, mut book) = with_bikes();
    let mut costs: Vec<Cost> = (0..)
        .zip(CostKind::ALL)
        .map(|(n, kind)| Cost {
            kind: *kind,
            ..cost(Some("b"), 10, 900 - n)
        })
        .collect();
    costs.push(Cost {
        bike: None,
        item: None,
        from_box: true,
        ..cost(None, 10, 0)
    });
    costs.push(cost(Some("B"), 9, 8_999_999_999_999_999));
    costs.push(Cost {
        item: Some("a \"5\" [x]#1, 'ü' $".into()),
        ..cost(Some("B"), 11, 1)
    });
    let (puts, summary) = import_costs(&mut book, &costs);
    assert_eq!(puts, vec![Put::Added; costs.len()]);
    assert_eq!((summary.number, summary.added), (Some(2), 9));
    costs.sort_by_key(|cost| cost.on); // stable: as recorded within a day
    assert_eq!(costs[0].bike.as_deref(), Some("B"));
    assert_eq!(book.costs().unwrap(), costs);
    assert_eq!(book.recorded_by(TODAY).unwrap().costs, costs);
    let counts = book.counts().unwrap();
    assert_eq!((counts.sales, counts.costs, counts.imports), (2, 9, 2));
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn identical_rows_of_a_file_both_count_and_the_same_file_again_changes_nothing() {
    let (_folder, mut book) = with_bikes();
    let (twice, other) = (cost(Some("b"), 3, 500), cost(None, 3, 500));
    let mut file = vec![twice.clone(), other.clone(), twice.clone()];
    let (puts, _) = import_costs(&mut book, &file);
    assert_eq!(puts, [Put::Added, Put::Added, Put::Added]);
    assert_eq!(book.costs().unwrap(), file);

    let before = fs::read(&book.path).unwrap();
    let (puts, summary) = import_costs(&mut book, &file);
    assert_eq!(puts, [Put::Unchanged, Put::Unchanged, Put::Unchanged]);
    assert_eq!((summary.number, summary.unchanged), (None, 3));
    assert_eq!(fs::read(&book.path).unwrap(), before, "not one byte");

    // A longer file adds only what is new, a third like row among it.
    file.push(twice);
    file.push(cost(Some("b"), 4, 500));
    let (puts, summary) = import_costs(&mut book, &file);
    assert_eq!(puts[3..], [Put::Added, Put::Added]);
    assert_eq!((summary.added, summary.unchanged), (2, 3));
    assert_eq!(book.costs().unwrap(), file);
    // A shorter one takes nothing away.
    let (_, summary) = import_costs(&mut book, &file[..1]);
    assert_eq!((summary.number, summary.unchanged), (None, 1));
    assert_eq!(book.costs().unwrap(), file);
}

#[test]
fn costs_that_differ_in_any_one_field_are_two() {
    let (_folder, mut book) = with_bikes();
    let first = cost(Some("b"), 3, 500);
    let differ: [fn(&mut Cost); 7] = [
        |c| c.bike = None,
        |c| c.bike = Some("B".into()),
        |c| c.on = Day::constant(2026, 2, 4),
        |c| c.kind = CostKind::Supply,
        |c| c.item = None,
        |c| c.amount = Money::from_minor(501),
        |c| c.from_box = true,
    ];
    let mut file = vec![first.clone()];
    for spoil in differ {
        let mut other = first.clone();
        spoil(&mut other);
        file.push(other);
    }
    let (puts, _) = import_costs(&mut book, &file);
    assert_eq!(puts, vec![Put::Added; 8]);
    assert_eq!(book.counts().unwrap().costs, 8);
}

#[test]
fn one_more_is_always_added() {
    let (_folder, mut book) = with_bikes();
    let one = cost(None, 3, 500);
    import_costs(&mut book, std::slice::from_ref(&one));
    for so_far in 1..4 {
        let recorded = ("record", TODAY);
        let (puts, _) = put_costs(
            &mut book,
            recorded,
            std::slice::from_ref(&one),
            Repeat::OneMore,
        );
        assert_eq!(puts, [Put::Added]);
        assert_eq!(book.costs().unwrap(), vec![one.clone(); so_far + 1]);
    }
    // A file of three stands for three of the four.
    let (puts, _) = import_costs(&mut book, &vec![one; 3]);
    assert_eq!(puts, vec![Put::Unchanged; 3]);
}

#[test]
fn the_first_of_like_rows_is_the_first_there_also_after_an_undoing() {
    let (_folder, mut book) = with_bikes();
    let one = cost(Some("b"), 3, 500);
    import_costs(&mut book, std::slice::from_ref(&one)); // import 2
    import_costs(&mut book, &[one.clone(), one.clone()]); // import 3 adds the second
    book.undo(2, TODAY).unwrap();
    assert_eq!(book.costs().unwrap(), std::slice::from_ref(&one));
    // The one that is left is the first now: a file of one changes nothing,
    // and one of two adds one.
    let (puts, _) = import_costs(&mut book, std::slice::from_ref(&one));
    assert_eq!(puts, [Put::Unchanged]);
    let (puts, _) = import_costs(&mut book, &[one.clone(), one.clone()]);
    assert_eq!(puts, [Put::Unchanged, Put::Added]);
    assert_eq!(book.costs().unwrap(), [one.clone(), one]);
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn a_cost_of_an_unknown_bike_is_left_out_and_the_others_kept() {
    let (_folder, mut book) = with_bikes();
    let mut import = book.begin_import("costs", "costs.csv", TODAY).unwrap();
    let unknown = cost(Some("x"), 3, 90);
    let problem = import.put_cost(&unknown, Repeat::OfAFile).unwrap_err();
    assert!(
        matches!(&problem, BookProblem::NoSuchBike { bike, .. } if bike == "x"),
        "{problem:?}"
    );
    let known = cost(Some("b"), 3, 90);
    import.put_cost(&known, Repeat::OfAFile).unwrap();
    assert_eq!(import.commit().unwrap().added, 1);
    assert_eq!(book.costs().unwrap(), [known]);
}

#[test]
fn bikes_with_costs_are_not_taken_away_from_under_them() {
    let (_folder, mut book) = with_bikes();
    import_costs(&mut book, &[cost(Some("b"), 3, 9000), cost(None, 3, 1)]);
    import_costs(&mut book, &[cost(Some("b"), 8, 8500)]);
    for (later, file) in [(3, "import 3 (costs.csv)"), (2, "import 2 (costs.csv)")] {
        let refused = book.undo(1, TODAY).unwrap_err();
        let said =
            format!("{file} later put asks, costs, refunds or inspections of its bikes, 1 in all");
        assert!(refused.to_string().contains(&said), "{refused}");
        assert_eq!(refused.mend(), format!("Undo import {later} first."));
        book.undo(later, TODAY).unwrap();
    }
    let undone = Undone {
        removed: 2,
        restored: 0,
    };
    assert_eq!(book.undo(1, TODAY).unwrap(), undone);
    assert_eq!(book.counts().unwrap(), Counts::default());
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn undo_takes_out_what_an_import_added_also_where_a_later_file_had_it_too() {
    let (_folder, mut book) = with_bikes();
    let months = [cost(Some("b"), 3, 500), cost(None, 20, 700)];
    import_costs(&mut book, &months[..1]); // import 2
    import_costs(&mut book, &months); // import 3 found the first there
    let undone = book.undo(2, TODAY).unwrap();
    assert_eq!((undone.removed, undone.restored), (1, 0));
    assert_eq!(book.costs().unwrap(), months[1..]);
    // As with every kind of record, its file puts it back.
    let (puts, _) = import_costs(&mut book, &months);
    assert_eq!(puts, [Put::Added, Put::Unchanged]);
    assert_eq!(book.costs().unwrap(), months);
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn what_is_no_longer_in_a_file_is_told() {
    let (_folder, mut book) = with_bikes();
    let [wrong, kept, gone] = [(3, 500), (4, 600), (5, 700)].map(|(d, a)| cost(None, d, a));
    let like = [wrong.clone(), wrong.clone(), kept.clone(), gone.clone()];
    import_costs(&mut book, &like); // import 2
    let one = |cost: &Cost| std::slice::from_ref(cost).to_vec();
    let added = cost(Some("b"), 6, 1);
    import_costs(&mut book, &one(&added)); // import 3
    let other_file = ("other.csv", TODAY);
    put_costs(&mut book, other_file, &one(&kept), Repeat::OneMore);

    // The mended file: one of the wrong rows is another now, the last is out.
    let right = cost(None, 3, 550);
    let mut import = book.begin_import("costs", "costs.csv", TODAY).unwrap();
    for cost in [&wrong, &right, &kept] {
        import.put_cost(cost, Repeat::OfAFile).unwrap();
    }
    assert_eq!(import.no_longer_in_file().unwrap(), [(2, 2), (3, 1)]);
    drop(import);
    let mut import = book.begin_import("costs", "costs.csv", TODAY).unwrap();
    for cost in like.iter().chain(&[added]) {
        import.put_cost(cost, Repeat::OfAFile).unwrap();
    }
    assert_eq!(import.no_longer_in_file().unwrap(), []);
    drop(import);
    let import = book.begin_import("costs", "a new one.csv", TODAY).unwrap();
    assert_eq!(import.no_longer_in_file().unwrap(), []);
}

#[test]
fn the_numbers_of_cost_kinds_mean_the_words_in_the_book() {
    let (_folder, book) = new_book();
    let kinds: Vec<String> = CostKind::ALL.iter().map(CostKind::to_string).collect();
    let words = book.texts("SELECT word FROM cost_kinds ORDER BY number");
    assert_eq!(words.unwrap(), kinds);
}

#[test]
fn a_book_of_before_there_were_costs_is_brought_up_to_date_with_a_copy_aside() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join(NAME);
    let old = Book::start_with(&path, &settings(), &MIGRATIONS[..2]).unwrap();
    old_import(&old, "b", 9000);
    old_import(&old, "b", 9500);
    assert!(old.costs().is_err() && old.gifts().is_err());
    drop(old);

    let mut book = Book::open(&path).unwrap();
    assert_eq!(*book.settings(), settings());
    assert_eq!(book.sales().unwrap(), [without_guess("b", 9500)]);
    assert_eq!(book.costs().unwrap(), []);
    assert_eq!(book.gifts().unwrap(), []);
    assert_eq!(book.closings(TODAY).unwrap(), []);
    book.undo(2, TODAY).unwrap();
    assert_eq!(book.sales().unwrap(), [without_guess("b", 9000)]);
    import_costs(&mut book, &[cost(Some("b"), 3, 500)]);
    assert_eq!(book.costs().unwrap(), [cost(Some("b"), 3, 500)]);
    assert_eq!(book.check(), Vec::<String>::new());
    drop(book);

    let copy = format!("{NAME}.before-v{}", MIGRATIONS.len());
    assert_eq!(files_in(&folder), [NAME, &copy]);
    let kept = folder.path().join(&copy);
    let kept = Book::open_with(&kept, &MIGRATIONS[..2], crate::book::file::connect::WAIT).unwrap();
    assert_eq!(old_prices(&kept), ["b 9500"]);
    assert_eq!(kept.texts("PRAGMA integrity_check").unwrap(), ["ok"]);
}
