//! Gifts: told by their reference, or else repeated as costs are.

use super::*;
use crate::trade::Gift;

/// Minor units and a day of March 2026 make the gift.
pub(super) fn gift(day: i8, amount: i64, reference: Option<&str>) -> Gift {
    Gift {
        on: Day::constant(2026, 3, day),
        beneficiary: "Alpha library".into(),
        amount: Money::from_minor(amount),
        reference: reference.map(str::to_string),
    }
}

fn import_gifts(book: &mut Book, gifts: &[Gift]) -> (Vec<Put>, ImportSummary) {
    let mut import = book.begin_import("gifts", "gifts.csv", TODAY).unwrap();
    let puts = gifts
        .iter()
        .map(|g| import.put_gift(g, Repeat::OfAFile).unwrap());
    let puts = puts.collect();
    (puts, import.commit().unwrap())
}

#[test]
fn gifts_come_back_as_put_by_day_then_as_recorded() {
    let (_folder, mut book) = new_book();
    let mut other = gift(9, 500, None);
    other.beneficiary = "Zeta \"kitchen\"".into();
    let mut gifts = vec![
        gift(9, 700, Some("T-2")),
        gift(9, 600, None),
        other,
        gift(9, 600, Some("")), // a reference of no letters is one all the same
        gift(8, 8_999_999_999_999_999, Some("t-2")),
        gift(9, 600, None),
    ];
    let (puts, summary) = import_gifts(&mut book, &gifts);
    assert_eq!(puts, vec![Put::Added; 6]);
    assert_eq!((summary.number, summary.added), (Some(1), 6));
    gifts.sort_by_key(|gift| gift.on);
    assert_eq!(book.gifts().unwrap(), gifts);
    assert_eq!(book.recorded_by(TODAY).unwrap().gifts, gifts);
    assert_eq!(book.counts().unwrap().gifts, 6);

    let before = fs::read(&book.path).unwrap();
    let (puts, summary) = import_gifts(&mut book, &gifts);
    assert_eq!(puts, vec![Put::Unchanged; 6]);
    assert_eq!(summary.number, None);
    assert_eq!(fs::read(&book.path).unwrap(), before, "not one byte");
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn a_gift_whose_reference_is_there_is_updated_and_the_old_state_kept() {
    let (_folder, mut book) = new_book();
    import_gifts(&mut book, &[gift(3, 500, Some("T-1")), gift(9, 90, None)]);
    let mut now = gift(4, 650, Some("T-1"));
    now.beneficiary = "Zeta kitchen".into();
    let (puts, _) = import_gifts(&mut book, std::slice::from_ref(&now));
    let change = |field, before: &str, after: &str| FieldChange {
        field,
        before: before.into(),
        after: after.into(),
    };
    let changed = vec![
        change("on", "2026-03-03", "2026-03-04"),
        change("beneficiary", "Alpha library", "Zeta kitchen"),
        change("amount", "5.00", "6.50"),
    ];
    assert_eq!(puts, [Put::Updated { changed }]);
    assert_eq!(book.gifts().unwrap(), [now, gift(9, 90, None)]);

    let told = [
        "2 gift T-1 on '2026-03-03' -> '2026-03-04'",
        "2 gift T-1 beneficiary 'Alpha library' -> 'Zeta kitchen'",
        "2 gift T-1 amount '5.00' -> '6.50' number",
    ];
    assert_eq!(super::changes::changes(&book), told);

    let refused = book.undo(1, TODAY).unwrap_err();
    assert_eq!(refused.mend(), "Undo import 2 first.");
    let restored = Undone {
        removed: 0,
        restored: 1,
    };
    assert_eq!(book.undo(2, TODAY).unwrap(), restored);
    assert_eq!(
        book.gifts().unwrap(),
        [gift(3, 500, Some("T-1")), gift(9, 90, None)]
    );
    assert_eq!(book.undo(1, TODAY).unwrap().removed, 2);
    assert_eq!(book.counts().unwrap(), Counts::default());
}

#[test]
fn the_same_reference_twice_in_one_import_is_told() {
    let (_folder, mut book) = new_book();
    import_gifts(&mut book, &[gift(3, 500, Some("old"))]);
    let file = [
        gift(3, 500, Some("new")),
        gift(3, 500, Some("new")),
        gift(3, 500, Some("old")),
        gift(3, 600, Some("old")),
    ];
    let (puts, _) = import_gifts(&mut book, &file);
    let twice = Put::TwiceInFile;
    assert_eq!(puts, [Put::Added, twice.clone(), Put::Unchanged, twice]);
    let file = [gift(3, 700, Some("old")), gift(3, 800, Some("old"))];
    let (puts, _) = import_gifts(&mut book, &file);
    assert!(matches!(puts[..], [Put::Updated { .. }, Put::TwiceInFile]));
    let now = [gift(3, 700, Some("old")), gift(3, 500, Some("new"))];
    assert_eq!(book.gifts().unwrap(), now);
}

#[test]
fn one_more_gift_is_added_but_a_reference_stays_one() {
    let (_folder, mut book) = new_book();
    for _ in 0..2 {
        let mut import = book.begin_import("gifts", "record", TODAY).unwrap();
        let put = import
            .put_gift(&gift(3, 500, None), Repeat::OneMore)
            .unwrap();
        assert_eq!(put, Put::Added);
        let with_reference = gift(4, 500, Some("T-1"));
        import.put_gift(&with_reference, Repeat::OneMore).unwrap();
        import.commit().unwrap();
    }
    let gifts = [
        gift(3, 500, None),
        gift(3, 500, None),
        gift(4, 500, Some("T-1")),
    ];
    assert_eq!(book.gifts().unwrap(), gifts);
}

#[test]
fn gifts_no_longer_in_their_file_are_told() {
    let (_folder, mut book) = new_book();
    let file = [gift(3, 500, Some("T-1")), gift(4, 90, None)];
    import_gifts(&mut book, &file);
    // One got a reference, the other's amount was mended.
    let mended = [gift(3, 550, Some("T-1")), gift(4, 90, Some("T-2"))];
    let mut import = book.begin_import("gifts", "gifts.csv", TODAY).unwrap();
    for gift in &mended {
        import.put_gift(gift, Repeat::OfAFile).unwrap();
    }
    assert_eq!(import.no_longer_in_file().unwrap(), [(1, 1)]);
}
