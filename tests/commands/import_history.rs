//! `import --history`: the imports, and what they replaced.

use super::import::TWO_SALES;
use crate::support::workshop::{TODAY, Workshop};
use serde_json::{Value, json};
use wheelworth::book::{Book, Repeat};
use wheelworth::trade::{Gift, Money};

fn history(workshop: &Workshop) -> String {
    workshop.run(&["import", "--history"]).done().out
}

fn json_history(workshop: &Workshop, more: &[&str]) -> Value {
    let words = ["import", "--history", "--format", "json"];
    workshop.run(&[&words, more].concat()).done().json()
}

#[test]
fn history_lists_the_imports() {
    let workshop = Workshop::new();
    let nothing = workshop.run(&["import", "--history"]).done();
    assert_eq!(nothing.out, "Nothing was imported yet.\n");
    let workshop = workshop
        .sales(TWO_SALES)
        .sales(&TWO_SALES.replace(",90", ",91"));
    workshop.run(&["import", "--undo", "2"]).done();
    let output = workshop.run(&["import", "--history"]).done();
    insta::assert_snapshot!(output.out, @r"
    1  2026-05-02  sales   2 added  0 updated  0 unchanged  @sales.csv
    2  2026-05-02  sales   0 added  1 updated  1 unchanged  @sales.csv  taken back on 2026-05-02
    ");
    let json = workshop
        .run(&["import", "--history", "--format", "json"])
        .done()
        .json();
    let expected = serde_json::json!([
        {"import": 1, "on": "2026-05-02", "kind": "sales", "file": "@sales.csv",
         "added": 2, "updated": 0, "unchanged": 0, "undone_on": null, "changes": []},
        {"import": 2, "on": "2026-05-02", "kind": "sales", "file": "@sales.csv",
         "added": 0, "updated": 1, "unchanged": 1, "undone_on": "2026-05-02", "changes": []},
    ]);
    assert_eq!(json, expected);
    assert_eq!(
        workshop.run(&["import", "comps", "--history"]).done().out,
        "Nothing was imported yet.\n"
    );
}

/// Two bikes whose price and year change twice, with an ask, two comps and a
/// gift that change once.
fn changed() -> Workshop {
    let workshop = Workshop::new()
        .sales(TWO_SALES)
        .sales(&TWO_SALES.replace(",90", ",95.50"))
        .sales(
            &TWO_SALES
                .replace("S2,city,2012,3", "S2,city,,4")
                .replace(",90", ",97"),
        );
    let workshop = workshop.sales("bike,style,listed_on,ask\nB-7,road,2026-03-01,170\n");
    let comps = "listing,source,style,ask\nx/1,board,city,80\nx2,,city,90\n";
    let workshop = workshop
        .asks("bike,on,ask\nB-7,2026-03-09,160\n")
        .asks("bike,on,ask\nB-7,2026-03-09,150\n")
        .comps(comps);
    workshop.file("comps.csv", comps.replace("city", "kids"));
    let import = ["import", "comps", "@comps.csv", "--correct"];
    workshop.run(&import).done();
    let mut book = Book::open(&workshop.book()).unwrap();
    for amount in [900, 1000] {
        let gift = Gift {
            on: TODAY,
            beneficiary: "Ferry Lane Reading Room".into(),
            amount: Money::from_minor(amount),
            reference: Some("T-1".into()),
        };
        let mut import = book.begin_import("gifts", "gifts.csv", TODAY).unwrap();
        import.put_gift(&gift, Repeat::OfAFile).unwrap();
        import.commit().unwrap();
    }
    workshop
}

#[test]
fn what_an_import_changed_stands_below_it() {
    insta::assert_snapshot!(history(&changed()), @r"
     1  2026-05-02  sales   2 added  0 updated  0 unchanged  @sales.csv
     2  2026-05-02  sales   0 added  1 updated  1 unchanged  @sales.csv
        S2: sold_price 90.00 -> 95.50
     3  2026-05-02  sales   0 added  1 updated  1 unchanged  @sales.csv
        S2: made 2012 -> unknown
        S2: condition 3 rider -> 4 tidy
        S2: sold_price 95.50 -> 97.00
     4  2026-05-02  sales   1 added  0 updated  0 unchanged  @sales.csv
     5  2026-05-02  asks    1 added  0 updated  0 unchanged  @asks.csv
     6  2026-05-02  asks    0 added  1 updated  0 unchanged  @asks.csv
        B-7 on 2026-03-09: ask 160.00 -> 150.00
     7  2026-05-02  comps   2 added  0 updated  0 unchanged  @comps.csv
     8  2026-05-02  comps   0 added  2 updated  0 unchanged  @comps.csv
        x/1 (board): style city -> kids
        x2: style city -> kids
     9  2026-05-02  gifts   1 added  0 updated  0 unchanged  gifts.csv
    10  2026-05-02  gifts   0 added  1 updated  0 unchanged  gifts.csv
        T-1: amount 9.00 -> 10.00
    ");
}

#[test]
fn json_has_the_changes_of_every_import() {
    let workshop = changed();
    let all = json_history(&workshop, &[]);
    let changes: Vec<&Value> = all
        .as_array()
        .unwrap()
        .iter()
        .map(|e| &e["changes"])
        .collect();
    let one = |record: &str, field: &str, before: Value, after: Value| json!({"record": record, "field": field, "before": before, "after": after});
    let expected = [
        json!([]),
        json!([one("S2", "sold_price", json!(90.0), json!(95.5))]),
        json!([
            one("S2", "made", json!(2012), json!(null)),
            one("S2", "condition", json!("3 rider"), json!("4 tidy")),
            one("S2", "sold_price", json!(95.5), json!(97.0)),
        ]),
        json!([]),
        json!([]),
        json!([one("B-7 on 2026-03-09", "ask", json!(160.0), json!(150.0))]),
        json!([]),
        json!([
            one("x/1 (board)", "style", json!("city"), json!("kids")),
            one("x2", "style", json!("city"), json!("kids")),
        ]),
        json!([]),
        json!([one("T-1", "amount", json!(9.0), json!(10.0))]),
    ];
    assert_eq!(changes, expected.iter().collect::<Vec<_>>());
    // Of one kind only.
    let asks = workshop.run(&["import", "asks", "--history", "--format", "json"]);
    let asks = asks.done().json();
    assert_eq!(asks.as_array().unwrap().len(), 2);
    assert_eq!(asks[1], all[5]);
}

#[test]
fn what_an_undone_import_changed_is_not_told() {
    let workshop = changed();
    workshop.run(&["import", "--undo", "3"]).done();
    let all = json_history(&workshop, &[]);
    assert_eq!(all[2]["undone_on"], "2026-05-02");
    assert_eq!(
        (&all[2]["updated"], &all[2]["changes"]),
        (&json!(1), &json!([]))
    );
    // The change before it is to what stands now again.
    assert_eq!(all[1]["changes"][0]["after"], 95.5);
}

#[test]
fn twenty_changes_are_told_and_the_others_counted() {
    let rows = |price: i64| -> String {
        let row = |n| format!("B-{n},road,2026-04-01,{price}\n");
        let rows: String = (100..123).map(row).collect();
        format!("bike,style,sold_on,sold_price\n{rows}")
    };
    let workshop = Workshop::new().sales(&rows(150)).sales(&rows(160));
    let text = history(&workshop);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 2 + 20 + 1);
    assert_eq!(lines[2], "      B-100: sold_price 150.00 -> 160.00");
    assert_eq!(lines[21], "      B-119: sold_price 150.00 -> 160.00");
    assert_eq!(lines[22], "      and 3 more");
    let all = json_history(&workshop, &[]);
    assert_eq!(all[1]["changes"].as_array().unwrap().len(), 23);
}
