//! Nothing is wiped: what a file does not say stays, and what looks like another bike
//! under a known id is refused.

use crate::support::workshop::Workshop;

const SALES: &str = "\
bike,style,made,condition,tier,seat_tube,new_price,bought_on,listed_on,ask,sold_on,sold_price,purchase,parts,fees,other_cost,hours,note
B-1,city,2012,3,2,50cm,600,2026-01-05,2026-01-20,130,2026-02-10,120,20,15,5,3,4.5,red
B-2,road,2015,4,3,56cm,,2026-02-01,2026-03-01,240,,,60,,,,,\n";

fn exported(workshop: &Workshop, table: &str) -> String {
    let name = format!("@out-{table}.csv");
    workshop.run(&["export", table, &name]).done();
    workshop.text(&name[1..])
}

fn imports(
    workshop: &Workshop,
    kind: &str,
    csv: &str,
    more: &[&str],
) -> crate::support::workshop::Output {
    workshop.file("given.csv", csv);
    workshop.run(&[&["import", kind, "@given.csv"], more].concat())
}

#[test]
fn a_column_that_is_not_in_the_file_leaves_its_field_alone() {
    let workshop = Workshop::new().sales(SALES);
    let before = exported(&workshop, "sales");
    let output = imports(&workshop, "sales", "bike,style,hours\nB-1,city,5\n", &[]).done();
    assert!(
        output.out.contains("B-1: hours 4.50 -> 5.00\n"),
        "{}",
        output.out
    );
    let expected = before.replace(",4.5,red", ",5,red");
    assert_ne!(before, expected);
    assert_eq!(exported(&workshop, "sales"), expected);
    // Every column by itself.
    let header: Vec<&str> = SALES.lines().next().unwrap().split(',').collect();
    let row: Vec<&str> = SALES.lines().nth(1).unwrap().split(',').collect();
    let before = exported(&workshop, "sales");
    for (name, cell) in header.iter().zip(&row).skip(2) {
        if ["hours", "sold_on", "sold_price"].contains(name) {
            continue; // changed above; one without the other is no sale
        }
        let file = format!("bike,style,{name}\nB-1,city,{cell}\n");
        let output = imports(&workshop, "sales", &file, &[]).done();
        assert!(
            output.out.contains("Nothing changed"),
            "{name}: {}",
            output.out
        );
    }
    assert_eq!(exported(&workshop, "sales"), before);
}

#[test]
fn an_emptied_cell_is_told() {
    let workshop = Workshop::new().sales(SALES);
    let output = imports(
        &workshop,
        "sales",
        "bike,style,condition,note\nB-1,city,,red\n",
        &[],
    );
    output.says(0, &["is empty in the book now: condition of B-1"]);
    assert!(
        output.out.contains("condition 3 rider -> unknown"),
        "{}",
        output.out
    );
}

#[test]
fn another_bike_under_a_known_id_is_refused_unless_it_is_a_correction() {
    for (row, column, said) in [
        (
            "B-1,mountain,2012,2026-02-10,120",
            "style",
            "city, the style that B-1 has",
        ),
        (
            "B-1,city,2014,2026-02-10,120",
            "made",
            "2012, the model year that B-1 has",
        ),
        (
            "B-1,city,2012,2026-04-12,120",
            "sold_on",
            "2026-02-10, the day on which B-1 was sold",
        ),
    ] {
        let workshop = Workshop::new().sales(SALES);
        let file = format!("bike,style,made,sold_on,sold_price\n{row}\n");
        workshop.file("given.csv", &file);
        let import = ["import", "sales", "@given.csv"];
        let refused = workshop.refuses(&import, &[said, "--prefix", "--correct"]);
        assert!(
            refused.err.contains(&format!("'{column}'")),
            "{}",
            refused.err
        );
        let output = workshop.run(&[&import[..], &["--correct"]].concat()).done();
        assert!(output.out.contains("1 updated"), "{}", output.out);
    }
    // A range that holds the known year is no other year; a slip of a month is none.
    let workshop = Workshop::new().sales(SALES);
    let file = "bike,style,made,sold_on,sold_price\nB-1,city,2010..2013,2026-03-10,120\n";
    imports(&workshop, "sales", file, &[]).done();
    // Bought after it was sold: next year's bike with last year's number.
    let file = "bike,style,bought_on\nB-1,city,2026-04-20\n";
    workshop.file("given.csv", file);
    workshop.refuses(
        &["import", "sales", "@given.csv"],
        &["'bought_on'", "--prefix"],
    );
}

#[test]
fn a_second_sale_of_a_sold_bike_is_refused() {
    let workshop = Workshop::new().sales(SALES);
    let sale = [
        "record",
        "sale",
        "--bike",
        "B-1",
        "--sold-on",
        "2026-02-20",
        "--sold-price",
        "95",
    ];
    workshop.refuses(
        &sale,
        &[
            "--sold-on '2026-02-20'",
            "2026-02-10, the day on which B-1 was sold",
        ],
    );
    let output = workshop.run(&[&sale[..], &["--correct"]].concat()).done();
    assert!(
        output.out.contains("sold_price 120.00 -> 95.00"),
        "{}",
        output.out
    );
    // Of the same day it is the price that is corrected.
    let sale = ["record", "sale", "--bike", "B-1", "--sold-price", "96"];
    workshop.run(&sale).done();
}

#[test]
fn next_years_numbers_get_something_before_them() {
    let workshop = Workshop::new().sales(SALES);
    let file = "bike,style,made,bought_on,sold_on,sold_price\nB-1,mountain,2018,2026-03-01,2026-04-01,180\n";
    let output = imports(&workshop, "sales", file, &["--prefix", "26-"]).done();
    assert!(output.out.contains("1 row added"), "{}", output.out);
    let costs = "bike,on,kind,amount\nB-1,2026-03-02,part,12\n,2026-03-02,supply,3\n";
    imports(&workshop, "costs", costs, &["--prefix", "26-"]).done();
    let asks = "bike,on,ask\nB-2,2026-03-20,220\n";
    imports(&workshop, "asks", asks, &["--prefix", "X-"]).says(1, &["among the sales"]);
    let sales = exported(&workshop, "sales");
    assert!(sales.contains("\n26-B-1,mountain,2018"), "{sales}");
    assert!(exported(&workshop, "costs").contains("\n26-B-1,2026-03-02,part,,12"));
    imports(&workshop, "sales", file, &["--prefix", " "]).says(2, &["--prefix"]);
}

#[test]
fn a_later_look_at_a_comp_keeps_the_first_ones_day_and_ask() {
    let workshop = Workshop::new();
    let header =
        "listing,source,style,condition,first_seen,last_seen,ask,last_ask,outcome,sold_price\n";
    let comps = |rows: &str| imports(&workshop, "comps", &format!("{header}{rows}"), &[]).done();
    comps("x1,board,city,3,2026-03-01,2026-03-05,150,,listed,\n");
    comps("x1,board,city,,2026-03-20,2026-03-25,120,,gone,\n");
    let row = |text: &str| {
        text.lines()
            .find(|l| l.starts_with("x1,"))
            .unwrap()
            .to_string()
    };
    let told = row(&exported(&workshop, "comps"));
    let expected = "x1,board,city,,3,,,,,2026-03-01,2026-03-25,150.00,120.00,gone,,";
    assert_eq!(told, expected);
    // An earlier look that is found later gives the first day and ask.
    comps("x1,board,city,,2026-02-10,2026-02-11,170,,listed,\n");
    let told = row(&exported(&workshop, "comps"));
    assert_eq!(
        told,
        expected
            .replace("2026-03-01", "2026-02-10")
            .replace("150.00", "170.00")
    );
    // The whole of it again, from the user's own list, stands by itself.
    comps("x1,board,city,4,2026-02-10,2026-03-26,165,115,sold,110\n");
    let told = row(&exported(&workshop, "comps"));
    assert_eq!(
        told,
        "x1,board,city,,4,,,,,2026-02-10,2026-03-26,165.00,115.00,sold,,110.00"
    );
    let file = format!("{header}x1,board,road,,2026-03-27,,100,,listed,\n");
    imports(&workshop, "comps", &file, &[]).says(1, &["city, the style that x1 has"]);
}

#[test]
fn a_change_that_touches_a_closed_quarter_is_told_when_it_is_entered() {
    let workshop = Workshop::new().sales(SALES);
    workshop
        .run(&["--as-of", "2026-04-02", "quarter", "2026-Q1", "--close"])
        .done();
    let told = "2026-Q1 is closed and its report stays as it is";
    let output = workshop
        .run(&["record", "sale", "--bike", "B-1", "--sold-price", "110"])
        .done();
    output.says(0, &[told, "correction in 2026-Q2: B-1: 10.00 EUR less"]);
    let output = imports(&workshop, "sales", "bike,style,hours\nB-1,city,9\n", &[]).done();
    assert!(!output.err.contains("closed"), "{}", output.err);
    let gift = [
        "record",
        "gift",
        "--beneficiary",
        "Room",
        "--on",
        "2026-03-01",
        "--amount",
        "5",
    ];
    workshop
        .run(&gift)
        .says(0, &[told, "gifts to Room: 5.00 EUR more"]);
    let costs = "bike,on,kind,amount\n,2026-03-02,supply,3\n";
    let output = imports(&workshop, "costs", costs, &["--dry-run"]);
    output.says(0, &[told, "the workshop's costs (nothing due changes)"]);
    for (number, said) in [
        ("4", "gifts to Room: 5.00 EUR less"),
        ("2", "B-1: 10.00 EUR more"),
    ] {
        workshop.run(&["import", "--undo", "3"]);
        let undo = ["import", "--undo", number];
        workshop.run(&undo).says(0, &[told, said]);
    }
    // A change of the open quarter is none of this.
    let cost = ["record", "cost", "--kind", "supply", "--amount", "3"];
    assert_eq!(workshop.run(&cost).done().err, "");
}

#[test]
fn a_sale_for_nothing_is_told() {
    let sales = "bike,style,sold_on,sold_price,note\nG1,city,2026-04-01,0,given away\n";
    let workshop = Workshop::new();
    workshop.file("sales.csv", sales);
    let told = workshop.run(&["import", "sales", "@sales.csv"]).done().err;
    assert!(told.contains("sold for 0: if it was given away"), "{told}");
    assert!(told.contains("record leave --bike ID --as given"), "{told}");
}
