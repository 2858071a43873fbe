//! `check`.

use crate::support::workshop::{COMPS, TODAY, Workshop};
use wheelworth::book::{Book, Repeat};
use wheelworth::trade::{Cost, CostKind, Gift, Money};

#[test]
fn check_counts_what_is_there() {
    let workshop = Workshop::busy();
    let before = workshop.book_bytes();
    let output = workshop.run(&["check"]).done();
    insta::assert_snapshot!(output.out, @"@book.sqlite is sound: 49 own bikes, 18 changes of their asks, 400 comps, 0 costs, 0 gifts.");
    assert_eq!(output.err, "");
    assert!(workshop.book_bytes() == before);
    assert_eq!(
        COMPS.lines().count(),
        401,
        "the count above is that of the file"
    );
}

#[test]
fn check_counts_costs_and_gifts() {
    let workshop = Workshop::new().sales("bike,style\nB-7,road\n");
    let mut book = Book::open(&workshop.book()).unwrap();
    let mut import = book.begin_import("costs", "costs.csv", TODAY).unwrap();
    for amount in [100, 200] {
        let cost = Cost {
            bike: Some("B-7".into()),
            on: TODAY,
            kind: CostKind::Part,
            item: None,
            amount: Money::from_minor(amount),
            from_box: false,
        };
        import.put_cost(&cost, Repeat::OfAFile).unwrap();
    }
    let gift = Gift {
        on: TODAY,
        beneficiary: "Ferry Lane Reading Room".into(),
        amount: Money::from_minor(900),
        reference: None,
    };
    import.put_gift(&gift, Repeat::OfAFile).unwrap();
    import.commit().unwrap();
    drop(book);
    let output = workshop.run(&["check"]).done();
    insta::assert_snapshot!(output.out, @"@book.sqlite is sound: 1 own bike, 0 changes of their asks, 0 comps, 2 costs, 1 gift.");
    let mut json = workshop.run(&["check", "--format", "json"]).done().json();
    let book = json["book"].take();
    assert!(book.as_str().unwrap().ends_with("book.sqlite"), "{book}");
    let expected = serde_json::json!({
        "book": null, "sound": true,
        "sales": 1, "asks": 0, "comps": 0, "costs": 2, "gifts": 1, "returns": 0, "inspections": 0, "offers": 0,
    });
    assert_eq!(json, expected);
}

#[test]
fn check_finds_a_page_that_was_overwritten() {
    let workshop = Workshop::busy();
    let mut bytes = workshop.book_bytes();
    let middle = bytes.len() / 2 / 4096 * 4096;
    bytes[middle..middle + 4096].fill(0xA5);
    workshop.file("book.sqlite", &bytes);
    let output = workshop.run(&["check"]);
    output.says(1, &["@book.sqlite", "error: ", "help: "]);
    assert!(workshop.book_bytes() == bytes, "check mends nothing");
}
