//! `list` and `show`: every bike in a line, and all of one.

use crate::support::workshop::Workshop;

const SALES: &str = "\
bike,style,made,condition,bought_on,listed_on,ask,sold_on,sold_price,purchase,hours,note
B-1,city,2012,3,2026-01-05,2026-01-20,130,2026-02-10,120,20,4.5,red
B-2,road,2015,4,2026-02-01,2026-03-01,240,,,60,,
B-3,kids,,,2026-04-20,,,,,,,\n";

fn shed() -> Workshop {
    let workshop = Workshop::new().sales(SALES);
    let workshop = workshop.asks("bike,on,ask\nB-2,2026-03-20,220\n");
    workshop.file(
        "costs.csv",
        "bike,on,kind,item,amount\nB-1,2026-01-08,part,chain,12.50\n",
    );
    workshop.run(&["import", "costs", "@costs.csv"]).done();
    workshop
        .run(&["record", "sale", "--bike", "B-1", "--sold-price", "118"])
        .done();
    workshop
}

#[test]
fn every_bike_stands_in_a_line() {
    let output = shed().run(&["list"]).done();
    insta::assert_snapshot!(output.out, @r"
    3 bikes on 2026-05-02; money in EUR

    bike                                           price left over
    B-1   city 2012, rider  sold 2026-02-10       118.00     85.50
    B-2   road 2015, tidy   listed 2026-03-01     220.00
    B-3   kids              in the workshop

    The price is what was paid or is asked. All of one bike: wheelworth show ID
    ");
    assert!(output.out.lines().all(|line| line.chars().count() <= 80));
}

#[test]
fn bikes_stand_in_the_order_of_their_numbers() {
    let workshop =
        Workshop::new().sales("bike,style\n10,road\n2,city\nB-10,kids\nB-9,road\n1,road\n");
    let lines = workshop.run(&["list", "--format", "json"]).done().json();
    let ids = lines
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line["bike"].as_str().unwrap());
    assert_eq!(ids.collect::<Vec<_>>(), ["1", "2", "10", "B-9", "B-10"]);
}

#[test]
fn states_pick_lines_and_days_show_the_book_as_it_was() {
    let workshop = shed();
    let ids = |words: &[&str]| {
        let json = workshop.run(&[&["list", "--format", "json"], words].concat());
        let json = json.done().json();
        let ids = json
            .as_array()
            .unwrap()
            .iter()
            .map(|line| line["bike"].clone());
        ids.map(|id| id.as_str().unwrap().to_string())
            .collect::<Vec<_>>()
    };
    assert_eq!(ids(&[]), ["B-1", "B-2", "B-3"]);
    assert_eq!(ids(&["--state", "sold"]), ["B-1"]);
    assert_eq!(ids(&["--state", "listed"]), ["B-2"]);
    assert_eq!(ids(&["--state", "workshop"]), ["B-3"]);
    assert_eq!(
        ids(&["--state", "listed", "--as-of", "2026-02-01"]),
        ["B-1"]
    );
    assert_eq!(ids(&["--as-of", "2026-01-01"]), [""; 0]);
    let none = workshop.run(&["list", "--as-of", "2026-01-01"]).done();
    assert!(none.out.starts_with("No bike to show."), "{}", none.out);
}

#[test]
fn all_of_one_bike_is_shown() {
    let workshop = shed();
    let output = workshop.run(&["show", "B-1"]).done();
    insta::assert_snapshot!(output.out, @r"
    B-1         city, 2012, condition 3 rider, tier unknown, size unknown
    State       sold 2026-02-10
    Bought      2026-01-05 for 20.00 EUR
    Listed      2026-01-20 at 130.00 EUR
    Sold        2026-02-10 for 118.00 EUR
    Cost        2026-01-08: 12.50 EUR part, chain
    Cost in all 32.50 EUR (purchase 20.00, parts 12.50)
    Hours       4.50
    Left over   85.50 EUR, in 2026-Q1
    Note        red

    Changed since it first came in
      2026-05-02: sold_price 120.00 -> 118.00 (import 4)
    ");
    let json = workshop
        .run(&["show", "B-1", "--format", "json"])
        .done()
        .json();
    assert_eq!(json["margin"], 118.0 - 20.0 - 12.5);
    assert_eq!(json["quarter"], "2026-Q1");
    assert_eq!(json["changes"][0]["what"], "sold_price 120.00 -> 118.00");
    // Before the sale nothing of it is told.
    let early = ["show", "B-1", "--as-of", "2026-02-01"];
    let early = workshop.run(&early).done();
    assert!(!early.out.contains("Sold"), "{}", early.out);
}

#[test]
fn a_comp_is_shown_and_an_unknown_id_is_told() {
    let workshop =
        shed().comps("listing,source,style,ask,first_seen\nx1,board,road,90,2026-03-01\n");
    let look = ["record", "comp", "--listing", "x1", "--ask", "80"];
    workshop.run(&look).done();
    let output = workshop.run(&["show", "x1"]).done();
    insta::assert_snapshot!(output.out, @r"
    Comp        x1 (board)
                road, year unknown, condition unknown, tier unknown, size unknown
    First seen  2026-03-01
    Last seen   2026-05-02
    Asked       90.00 EUR
    Last ask    80.00 EUR
    Outcome     listed

    Changed since it first came in
      2026-05-02: last_seen unknown -> 2026-05-02 (import 6)
      2026-05-02: last_ask unknown -> 80.00 (import 6)
    ");
    workshop
        .run(&["show", "B-01"])
        .says(1, &["no such bike and no such comp", "Did you mean B-1?"]);
    let output = workshop.run(&["show", "X 1"]);
    output.says(1, &["no such bike", "Did you mean the comp x1?"]);
}
