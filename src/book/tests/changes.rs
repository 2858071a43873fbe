//! What each import changed.

use super::gifts::gift;
use super::*;
use crate::trade::{AskChange, Return, Years};

/// As a line, with `number` after what is written as one.
pub(super) fn changes(book: &Book) -> Vec<String> {
    let mut lines = Vec::new();
    book.each_change(&mut |change| {
        let record = match change.record {
            RowKey::Sale { id } => format!("sale {id}"),
            RowKey::Ask { bike, on } => format!("ask {bike} {on}"),
            RowKey::Return { bike, on } => format!("return {bike} {on}"),
            RowKey::Comp { source, listing } => format!("comp {source}/{listing}"),
            RowKey::Gift { reference } => format!("gift {reference}"),
        };
        let FieldChange {
            field,
            before,
            after,
        } = &change.field;
        let number = if change.is_number { " number" } else { "" };
        lines.push(format!(
            "{} {record} {field} '{before}' -> '{after}'{number}",
            change.import
        ));
    })
    .unwrap();
    lines
}

fn import_sales(book: &mut Book, sales: &[Sale]) {
    let mut import = book.begin_import("sales", "sales.csv", TODAY).unwrap();
    for sale in sales {
        import.put_sale(sale).unwrap();
    }
    import.commit().unwrap();
}

#[test]
fn a_change_is_from_the_state_before_to_the_next_one_or_the_present() {
    let (_folder, mut book) = new_book();
    import_sales(&mut book, &[sale("b", 9000), sale("B", 8000)]);
    assert_eq!(changes(&book), Vec::<String>::new());
    let mut second = sale("b", 9000);
    (second.hours, second.note, second.bike.made) = (Some(425), None, Some(Years::from(2015)));
    import_sales(&mut book, &[second.clone()]);
    let mut third = second;
    (third.bike.condition, third.bike.made) = (None, Years::range(2014, 2016));
    import_sales(&mut book, &[third, sale("B", 8000)]);
    let told = [
        "2 sale b made '' -> '2015' number",
        "2 sale b hours '3.50' -> '4.25' number",
        "2 sale b note 'new chain' -> ''",
        "3 sale b made '2015' -> '2014..2016' number",
        "3 sale b condition '4 tidy' -> ''",
    ];
    assert_eq!(changes(&book), told);
    // An import that is undone has changed nothing.
    book.undo(3, TODAY).unwrap();
    assert_eq!(changes(&book), told[..3]);
    book.undo(2, TODAY).unwrap();
    assert_eq!(changes(&book), Vec::<String>::new());
}

#[test]
fn every_kind_of_record_that_can_change_is_named() {
    let (_folder, mut book) = new_book();
    for (price, outcome) in [(9000, Outcome::Listed), (9050, Outcome::Gone)] {
        let mut import = book.begin_import("all", "all.csv", TODAY).unwrap();
        import.put_sale(&sale("b", price)).unwrap();
        let ask = AskChange {
            bike: "b".into(),
            on: Day::constant(2026, 2, 3),
            ask: Money::from_minor(price),
        };
        import.put_ask(&ask).unwrap();
        let back = Return {
            bike: "b".into(),
            on: Day::constant(2026, 2, 14),
            refund: Money::from_minor(price - 8000),
            back: None,
        };
        import.put_return(&back).unwrap();
        let comp = Comparable {
            outcome,
            ..comp("north board", "L1", price)
        };
        import.put_comp(&comp).unwrap();
        let gift = gift(3, price, Some("T-1"));
        import.put_gift(&gift, Repeat::OfAFile).unwrap();
        import.commit().unwrap();
    }
    let told = [
        "2 sale b ask '95.00' -> '95.50' number",
        "2 sale b sold_price '90.00' -> '90.50' number",
        "2 sale b guess '91.00' -> '91.50' number",
        "2 ask b 2026-02-03 ask '90.00' -> '90.50' number",
        "2 return b 2026-02-14 refund '10.00' -> '10.50' number",
        "2 comp north board/L1 ask '90.00' -> '90.50' number",
        "2 comp north board/L1 outcome 'listed' -> 'gone'",
        "2 gift T-1 amount '90.00' -> '90.50' number",
    ];
    assert_eq!(changes(&book), told);
}

#[test]
fn a_kept_state_that_makes_no_sense_is_told_as_damage() {
    let (_folder, mut book) = new_book();
    import_sales(&mut book, &[sale("b", 9000)]);
    import_sales(&mut book, &[sale("b", 9500)]);
    for bad in ["not JSON", "[]", "{\"ask\": 1.5}"] {
        book.connection
            .execute("UPDATE superseded SET old = ?1", [bad])
            .unwrap();
        let problem = book.each_change(&mut |_| {}).unwrap_err();
        assert!(
            matches!(problem, BookProblem::Damaged { .. }),
            "{bad}: {problem:?}"
        );
    }
}
