//! Several bikes for one price, one in part payment, what an offer knew of a bike, and
//! refunds and offers from files.

use super::lives::{ids, quarter, shed};
use crate::support::workshop::Workshop;

#[test]
fn two_bikes_for_one_price_are_split_to_the_cent() {
    let workshop = shed();
    let sell = [
        "record",
        "sale",
        "--bike",
        "B-2",
        "--bike",
        "B-5",
        "--sold-on",
        "today",
        "--sold-price",
        "200.01",
    ];
    let output = workshop.run(&sell).done();
    let (told, _) = output.out.split_once('\n').unwrap();
    assert!(
        told.starts_with("200.01 EUR for both: ") && told.ends_with("by what each is worth"),
        "{told}"
    );
    let json = workshop.run(&["list", "--format", "json"]).done().json();
    let minor = |place: usize| (json[place]["sold_price"].as_f64().unwrap() * 100.0).round() as i64;
    assert_eq!(minor(1) + minor(4), 20_001);
    assert!(minor(4) > minor(1), "the tidy hybrid is worth more: {json}");
    // One import, one undo.
    workshop.run(&["import", "--undo", "2"]).done();
    assert_eq!(ids(&workshop, &["--state", "listed"]), ["B-2", "B-5"]);
    for (bikes, said) in [
        (["B-2", "B-2"], "stands twice"),
        (["B-2", "B-3"], "it was sold on 2026-02-20 already"),
        (["B-2", "B-99"], "the book has no such bike"),
    ] {
        let [one, other] = bikes;
        let output = workshop.run(&[
            "record",
            "sale",
            "--bike",
            one,
            "--bike",
            other,
            "--sold-on",
            "today",
            "--sold-price",
            "200",
        ]);
        output.says(output.code, &[said]);
        assert_ne!(output.code, 0);
    }
    workshop
        .run(&[
            "record",
            "sale",
            "--bike",
            "B-2",
            "--bike",
            "B-5",
            "--sold-price",
            "200",
        ])
        .says(2, &["--sold-price and --sold-on are needed"]);
}

#[test]
fn a_bike_in_part_payment_comes_in_at_what_it_was_taken_for() {
    let workshop = shed();
    let sell = |style: &str, price: &str| {
        workshop.run(&[
            "record",
            "sale",
            "--bike",
            "B-5",
            "--sold-on",
            "2026-05-01",
            "--sold-price",
            price,
            "--took-in",
            "N-1",
            "--took-in-for",
            "40",
            "--took-in-style",
            style,
        ])
    };
    sell("citty", "150").says(2, &["--took-in-style 'citty'", "Did you mean city?"]);
    sell("city", "30").says(1, &["more than --sold-price"]);
    let output = sell("city", "150").done();
    assert!(
        output.out.starts_with(
            "150.00 EUR for B-5: 110.00 in money and N-1 for 40.00, which is what N-1 cost\n"
        ),
        "{}",
        output.out
    );
    let report = quarter(&workshop, "2026-Q2");
    assert_eq!(report["sales"][0]["margin"], 150.0 - 52.0);
    let shown = workshop.run(&["show", "N-1"]).done().out;
    assert!(
        shown.contains("Bought      2026-05-01 for 40.00 EUR"),
        "{shown}"
    );
    sell("city", "150").says(1, &["the book has a bike of this id"]);
    workshop.run(&["import", "--undo", "2"]).done();
    workshop.run(&["show", "N-1"]).says(1, &["no such bike"]);
}

#[test]
fn what_an_offer_knew_is_taken_over_when_the_bike_is_bought() {
    let workshop = shed();
    let offer = [
        "offer",
        "--style",
        "hybrid",
        "--made",
        "2015",
        "--condition",
        "2",
        "--tier",
        "2",
        "--seat-tube",
        "52",
        "--new-price",
        "600",
        "--bike",
        "B-46",
    ];
    workshop.run(&offer).done();
    let buy = [
        "record",
        "sale",
        "--bike",
        "B-46",
        "--purchase",
        "35",
        "--bought-on",
        "today",
        "--tier",
        "3",
    ];
    let output = workshop.run(&buy).done();
    assert!(
        output.out.starts_with(
            "B-46: style, made, condition, seat_tube and new_price are taken over from the offer of 2026-05-02\n"
        ),
        "{}",
        output.out
    );
    let shown = workshop.run(&["show", "B-46"]).done().out;
    assert!(
        shown.starts_with("B-46        hybrid, 2015, condition 2 project, tier 3 club"),
        "{shown}"
    );
    workshop.run(&["import", "--undo", "3"]).done();
    // From a file likewise; what it says itself stands.
    workshop.file(
        "new.csv",
        "bike,style,condition,purchase\nB-46,hybrid,3,35\n",
    );
    let output = workshop.run(&["import", "sales", "@new.csv"]).done();
    assert!(
        output.out.contains(
            "B-46: made, tier, seat_tube and new_price are taken over from the offer of 2026-05-02"
        ),
        "{}",
        output.out
    );
    let shown = workshop.run(&["show", "B-46"]).done().out;
    assert!(
        shown.starts_with("B-46        hybrid, 2015, condition 3 rider, tier 2 sport"),
        "{shown}"
    );
    // Once it is in the book nothing more is taken over.
    let output = workshop.run(&["import", "sales", "@new.csv"]).done();
    assert!(!output.out.contains("taken over"), "{}", output.out);
}

#[test]
fn refunds_and_offers_come_in_from_files_too() {
    let workshop = shed();
    let file = |csv: &str, said: &[&str]| {
        workshop.file("returns.csv", csv);
        workshop.refuses(&["import", "returns", "@returns.csv"], said);
    };
    file(
        "bike,on,refund\nB-99,2026-03-01,10\n",
        &["a bike that is among the sales"],
    );
    file(
        "bike,on,refund,sold_on\nB-1,2026-03-01,10,2026-02-10\n",
        &["sold_price beside sold_on"],
    );
    file(
        "bike,on,refund,sold_on,sold_price\nB-1,2026-03-01,171,2026-02-10,170\n",
        &["at most sold_price"],
    );
    file(
        "bike,on,refund,sold_on,sold_price\nB-1,2026-03-01,170,2026-02-09,170\n",
        &["2026-02-10, the day on which B-1 was sold"],
    );
    file(
        "bike,on,refund,sold_on,sold_price\nB-1,2026-03-01,170,2026-02-10,175\n",
        &["170.00, for which B-1 was sold"],
    );
    // On the very day of the sale too: it would be a second sale.
    file(
        "bike,on,refund,sold_on,sold_price\nB-1,2026-02-10,175,2026-02-10,175\n",
        &["170.00, for which B-1 was sold"],
    );
    workshop.file(
        "returns.csv",
        "bike,on,refund,sold_on,sold_price\nB-1,2026-03-01,170,2026-02-10,170\nB-2,2026-03-01,5,,\n",
    );
    let output = workshop.run(&["import", "returns", "@returns.csv"]).done();
    assert!(
        output.err.contains("the book knows no sale of B-2"),
        "{}",
        output.err
    );
    assert_eq!(ids(&workshop, &["--state", "sold"]), ["B-3"]);
    workshop.run(&["import", "sales", "@sales.csv"]).done();
    assert_eq!(ids(&workshop, &["--state", "sold"]), ["B-3"]);
    let offer = [
        "offer",
        "--style",
        "city",
        "--made",
        "2011",
        "--condition",
        "2",
        "--bike",
        "B-47",
    ];
    workshop.run(&offer).done();
    workshop.run(&["export", "offers", "@offers.csv"]).done();
    let other = Workshop::new();
    other.file("offers.csv", workshop.text("offers.csv"));
    other.run(&["import", "offers", "@offers.csv"]).done();
    let kept = |workshop: &Workshop| workshop.run(&["offer", "--kept"]).done().out;
    assert_eq!(kept(&other), kept(&workshop));
}

#[test]
fn a_sale_is_taken_out_by_a_file_after_a_refund_too() {
    let workshop = Workshop::new();
    let sales = |sold: &str| format!("bike,style,sold_on,sold_price\nB-1,road,{sold}\n");
    workshop.file("sales.csv", sales("2026-02-10,170"));
    workshop.run(&["import", "sales", "@sales.csv"]).done();
    workshop.file("returns.csv", "bike,on,refund\nB-1,2026-03-01,10\n");
    workshop.run(&["import", "returns", "@returns.csv"]).done();
    workshop.file("sales.csv", sales(","));
    let output = workshop.run(&["import", "sales", "@sales.csv"]).done();
    assert!(output.out.contains("1 updated"), "{}", output.out);
    assert_eq!(ids(&workshop, &["--state", "sold"]), [""; 0]);
}

#[test]
fn a_bike_that_comes_back_and_is_sold_again_on_one_day_is_no_quarrel() {
    let workshop = Workshop::new();
    workshop.file(
        "sales.csv",
        "bike,style,sold_on,sold_price\nB-1,road,2026-03-01,90\n",
    );
    workshop.run(&["import", "sales", "@sales.csv"]).done();
    workshop.file(
        "returns.csv",
        "bike,on,refund,sold_on,sold_price\nB-1,2026-03-01,170,2026-02-10,170\n",
    );
    workshop.run(&["import", "returns", "@returns.csv"]).done();
    assert_eq!(ids(&workshop, &["--state", "sold"]), ["B-1"]);
}
