//! An export of another book is not replaced, whatever was exported.

use crate::support::workshop::Workshop;

const OTHERS: &str = "bike,style,made,condition,bought_on,listed_on,ask,sold_on,sold_price\n\
    Z-1,road,2012,3,2026-01-02,2026-02-01,150,2026-02-20,140\n";
const SEEN: &str =
    "listing,source,style,ask,first_seen,last_seen\nz1,board,road,120,2026-03-01,2026-03-08\n";

/// Exports of a book with a bike and a comp of its own, in a folder with another
/// book.
fn with_exports_of_another() -> Workshop {
    let other = Workshop::new().sales(OTHERS).comps(SEEN);
    let workshop = Workshop::busy();
    for (what, file) in KINDS {
        other.run(&["export", what, &format!("@{file}")]).done();
        workshop.file(file, std::fs::read(other.path(file)).unwrap());
    }
    workshop
}

const KINDS: [(&str, &str); 6] = [
    ("sales", "s.csv"),
    ("sales", "s.parquet"),
    ("comps", "c.csv"),
    ("comps", "c.parquet"),
    ("value-model", "v.json"),
    ("time-model", "t.json"),
];

#[test]
fn what_another_book_exported_stays() {
    let workshop = with_exports_of_another();
    for (what, file) in KINDS {
        let before = std::fs::read(workshop.path(file)).unwrap();
        let said = format!("@{file}: is there already and is no earlier export of the {what}");
        workshop.refuses(&["export", what, &format!("@{file}")], &[&said]);
        assert!(
            std::fs::read(workshop.path(file)).unwrap() == before,
            "{file}"
        );
    }
}

#[test]
fn what_this_book_exported_is_replaced_when_records_were_added() {
    let workshop = Workshop::new().sales(OTHERS).comps(SEEN);
    for (what, file) in KINDS {
        workshop.run(&["export", what, &format!("@{file}")]).done();
    }
    let more = OTHERS.replace("Z-1", "Z-2");
    let workshop = workshop.sales(&more).comps(&SEEN.replace("z1", "z2"));
    for (what, file) in KINDS {
        let before = std::fs::read(workshop.path(file)).unwrap();
        workshop.run(&["export", what, &format!("@{file}")]).done();
        assert!(
            std::fs::read(workshop.path(file)).unwrap() != before,
            "{file}"
        );
    }
    // As of an earlier day it knows fewer records, of the same book.
    for (what, file) in &KINDS[4..] {
        let file = format!("@{file}");
        workshop
            .run(&["export", what, &file, "--as-of", "2026-03-05"])
            .done();
        workshop.run(&["export", what, &file]).done();
    }
}

#[test]
fn a_time_model_says_which_records_it_has_seen_by_its_day() {
    let workshop = Workshop::new().sales(OTHERS).comps(SEEN);
    let records = |day: &str| {
        let file = format!("@{day}.json");
        workshop
            .run(&["export", "time-model", &file, "--as-of", day])
            .done();
        let model: serde_json::Value =
            serde_json::from_str(&workshop.text(&format!("{day}.json"))).unwrap();
        model["records"].clone()
    };
    let sale = serde_json::json!({"kind": "sale", "id": "Z-1", "source": null});
    let comp = serde_json::json!({"kind": "comp", "id": "z1", "source": "board"});
    assert_eq!(records("2026-02-25"), serde_json::json!([sale]));
    assert_eq!(records("2026-05-02"), serde_json::json!([sale, comp]));
}
