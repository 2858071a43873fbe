//! Records as they stood on a day, by hand; `recorded_model` compares with
//! snapshots.

use super::costs::{cost, put_costs};
use super::gifts::gift;
use super::*;
use crate::trade::{Cost, Gift};

/// A day of May 2026.
pub(super) fn may(day: i8) -> Day {
    Day::constant(2026, 5, day)
}

fn put_sales(book: &mut Book, on: Day, sales: &[Sale]) {
    let mut import = book.begin_import("sales", "sales.csv", on).unwrap();
    for sale in sales {
        import.put_sale(sale).unwrap();
    }
    import.commit().unwrap();
}

fn put_gifts(book: &mut Book, on: Day, gifts: &[Gift]) {
    let mut import = book.begin_import("gifts", "gifts.csv", on).unwrap();
    for gift in gifts {
        import.put_gift(gift, Repeat::OfAFile).unwrap();
    }
    import.commit().unwrap();
}

fn sales_by(book: &Book, day: Day) -> Vec<Sale> {
    book.recorded_by(day).unwrap().sales
}

fn costs_by(book: &Book, day: Day) -> Vec<Cost> {
    book.recorded_by(day).unwrap().costs
}

fn gifts_by(book: &Book, day: Day) -> Vec<Gift> {
    book.recorded_by(day).unwrap().gifts
}

#[test]
fn a_changed_record_is_as_it_was_before_the_change() {
    let (_folder, mut book) = new_book();
    assert_eq!(book.recorded_by(may(1)).unwrap(), Recorded::default());
    let states = [9000, 9100, 9200].map(|price| sale("b", price));
    put_sales(&mut book, may(2), &[states[0].clone(), sale("B", 1)]);
    put_sales(&mut book, may(4), &states[1..2]);
    put_sales(&mut book, may(6), &states[2..]);
    let both = |state: &Sale| vec![sale("B", 1), state.clone()];
    assert_eq!(sales_by(&book, may(1)), []);
    for (days, state) in (1..).zip(&states) {
        assert_eq!(sales_by(&book, may(2 * days)), both(state));
        assert_eq!(sales_by(&book, may(2 * days + 1)), both(state));
    }
    // The last change is undone on the 8th: it was there on the 6th and 7th.
    book.undo(3, may(8)).unwrap();
    for (day, state) in [(5, 1), (6, 2), (7, 2), (8, 1), (9, 1)] {
        assert_eq!(sales_by(&book, may(day)), both(&states[state]), "{day}");
    }
    // Another change on that day stands in its place.
    put_sales(&mut book, may(8), &states[..1]);
    for (day, state) in [(5, 1), (6, 2), (7, 2), (8, 0), (9, 0)] {
        assert_eq!(sales_by(&book, may(day)), both(&states[state]), "{day}");
    }
}

#[test]
fn what_was_undone_and_imported_again_is_there_but_in_between() {
    let (_folder, mut book) = new_book();
    let costs = [cost(None, 3, 500), cost(None, 3, 400), cost(None, 3, 500)];
    let gifts = [gift(3, 500, Some("T-1")), gift(3, 400, None)];
    for (made, undone) in [(2, 4), (6, 8)] {
        let (_, summary) = put_costs(&mut book, ("costs.csv", may(made)), &costs, Repeat::OfAFile);
        put_gifts(&mut book, may(made), &gifts);
        let first = summary.number.unwrap();
        book.undo(first, may(undone)).unwrap();
        book.undo(first + 1, may(undone)).unwrap();
    }
    for day in [2, 3, 6, 7] {
        assert_eq!(costs_by(&book, may(day)), costs, "{day}");
        assert_eq!(gifts_by(&book, may(day)), gifts, "{day}");
    }
    for day in [1, 4, 5, 8, 9] {
        assert_eq!(book.recorded_by(may(day)).unwrap(), Recorded::default());
    }
    // Made and undone on one day, it was not there at the day's end.
    put_gifts(&mut book, may(10), &gifts);
    book.undo(5, may(10)).unwrap();
    assert_eq!(gifts_by(&book, may(10)), []);
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn costs_name_the_bike_of_their_day_after_it_got_another_id() {
    let (_folder, mut book) = new_book();
    put_sales(&mut book, may(2), &[sale("b", 9000)]);
    let file = ("costs.csv", may(2));
    let of = |id| [cost(Some(id), 3, 500), cost(None, 3, 1)];
    put_costs(&mut book, file, &of("b"), Repeat::OfAFile);
    // The id was wrong: both are taken back, and the bike comes again under
    // another, in the row that the first one had.
    book.undo(2, may(4)).unwrap();
    book.undo(1, may(4)).unwrap();
    put_sales(&mut book, may(5), &[sale("other", 9000)]);
    let file = ("costs.csv", may(6));
    put_costs(&mut book, file, &of("other"), Repeat::OfAFile);
    for day in [2, 3] {
        assert_eq!(sales_by(&book, may(day)), [sale("b", 9000)]);
        assert_eq!(costs_by(&book, may(day)), of("b"));
    }
    assert_eq!(book.recorded_by(may(4)).unwrap(), Recorded::default());
    assert_eq!(sales_by(&book, may(5)), [sale("other", 9000)]);
    assert_eq!(costs_by(&book, may(5)), []);
    assert_eq!(costs_by(&book, may(6)), of("other"));
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn records_of_one_day_stay_in_the_order_in_which_they_came() {
    let (_folder, mut book) = new_book();
    // By their bytes, amounts and marks they would come in another order.
    let costs = [900, 1000, 20, 900].map(|amount| cost(None, 3, amount));
    let gifts = [
        gift(3, 900, Some("z")),
        gift(3, 1000, None),
        gift(3, 20, Some("a")),
    ];
    put_costs(&mut book, ("costs.csv", may(2)), &costs, Repeat::OfAFile);
    put_gifts(&mut book, may(2), &gifts);
    let mut mended = gifts.clone();
    mended[0].amount = Money::from_minor(901);
    put_gifts(&mut book, may(4), &mended[..1]);
    book.undo(3, may(6)).unwrap();
    for (day, gifts) in [(2, &gifts), (4, &mended), (6, &gifts)] {
        assert_eq!(costs_by(&book, may(day)), costs);
        assert_eq!(gifts_by(&book, may(day)), *gifts, "{day}");
    }
    book.undo(1, may(7)).unwrap();
    assert_eq!(costs_by(&book, may(6)), costs);
    assert_eq!(costs_by(&book, may(7)), []);
}
