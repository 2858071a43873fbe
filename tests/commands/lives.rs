//! Bikes that leave without a sale, sales that come back, several bikes for one price,
//! one in part payment, and what an offer knew.

use crate::support::workshop::Workshop;

const SALES: &str = "\
bike,style,made,condition,tier,seat_tube,bought_on,listed_on,ask,sold_on,sold_price,purchase,parts
B-1,hybrid,2014,4,2,52,2026-01-03,2026-01-20,180,2026-02-10,170,50,22
B-2,city,2010,3,1,50,2026-01-05,2026-01-25,120,,,30,10
B-3,road,2016,4,3,55,2026-01-08,2026-02-01,260,2026-02-20,250,90,25
B-4,city,2008,2,1,50,2026-01-10,,,,,15,
B-5,hybrid,2012,4,2,52,2026-01-11,2026-02-11,160,,,40,12\n";

fn shed() -> Workshop {
    let workshop = Workshop::empty();
    let start = [
        "start",
        "--currency",
        "EUR",
        "--give",
        "net",
        "--beneficiary",
        "Reading Room",
    ];
    workshop.run(&start).done();
    workshop.sales(SALES)
}

fn ids(workshop: &Workshop, words: &[&str]) -> Vec<String> {
    let json = workshop
        .run(&[&["list", "--format", "json"], words].concat())
        .done()
        .json();
    let lines = json.as_array().unwrap().iter();
    lines
        .map(|line| line["bike"].as_str().unwrap().to_string())
        .collect()
}

fn quarter(workshop: &Workshop, name: &str) -> serde_json::Value {
    workshop
        .run(&["quarter", name, "--format", "json"])
        .done()
        .json()
}

#[test]
fn a_bike_that_leaves_is_in_no_stock_and_its_cost_is_the_workshops() {
    let workshop = shed();
    let output = workshop
        .run(&[
            "record",
            "leave",
            "--bike",
            "B-4",
            "--as",
            "scrapped",
            "--on",
            "2026-03-02",
            "--box-value",
            "12.50",
            "--box-item",
            "wheels",
        ])
        .done();
    assert!(
        output
            .out
            .contains("its cost so far, 15.00 EUR, counts among the workshop's costs"),
        "{}",
        output.out
    );
    let kept = [
        "record",
        "leave",
        "--bike",
        "B-2",
        "--as",
        "kept",
        "--on",
        "2026-03-03",
    ];
    let output = workshop.run(&kept).done();
    assert!(
        output.out.contains("counts to nobody but its owner"),
        "{}",
        output.out
    );
    assert_eq!(ids(&workshop, &["--state", "left"]), ["B-2", "B-4"]);
    assert_eq!(ids(&workshop, &["--state", "on-hand"]), ["B-5"]);
    // Before it left it was there.
    assert_eq!(
        ids(&workshop, &["--state", "listed", "--as-of", "2026-03-01"]),
        ["B-2", "B-5"]
    );
    let stock = workshop.run(&["stock"]).done().out;
    assert!(
        stock.contains("1 bike on hand") && !stock.contains("B-2"),
        "{stock}"
    );
    workshop
        .run(&["price", "--bike", "B-2"])
        .says(1, &["it left on 2026-03-03 (kept)"]);
    let accuracy = workshop
        .run(&["accuracy", "--format", "json"])
        .done()
        .json();
    assert_eq!(accuracy["leave_one_out"]["sales"], 2);
    let market = workshop.run(&["market"]).done().out;
    assert!(market.contains("listed"), "{market}");
    let report = quarter(&workshop, "2026-Q1");
    assert_eq!(report["workshop_costs"], 15.0);
    assert_eq!(report["due"], 98.0 + 135.0 - 15.0);
    assert_eq!(
        report["left"],
        serde_json::json!([
            {"bike": "B-4", "left_on": "2026-03-02", "left_as": "scrapped", "direct_cost": 15.0,
             "counted": 15.0, "box_value": 12.5, "box_item": "wheels"},
            {"bike": "B-2", "left_on": "2026-03-03", "left_as": "kept", "direct_cost": 40.0,
             "counted": 0.0, "box_value": null, "box_item": null},
        ])
    );
    let text = workshop.run(&["quarter", "2026-Q1"]).done().out;
    for line in [
        "  2026-03-02  B-4  scrapped; wheels worth 12.50 into the parts box                   15.00",
        "Kept by the owner (in no sum)",
        "  2026-03-03  B-2  kept by its owner                                                 40.00",
    ] {
        assert!(text.contains(line), "'{line}' is not in\n{text}");
    }
    // The beneficiary is told of no cost.
    let beneficiary = workshop
        .run(&["quarter", "2026-Q1", "--for", "beneficiary"])
        .done()
        .out;
    assert!(
        !beneficiary.contains("B-4") && !beneficiary.contains("B-2"),
        "{beneficiary}"
    );
    workshop.run(&["import", "--undo", "3"]).done();
    workshop.run(&["import", "--undo", "2"]).done();
    assert_eq!(ids(&workshop, &["--state", "left"]), [""; 0]);
    assert_eq!(quarter(&workshop, "2026-Q1")["workshop_costs"], 0.0);
}

#[test]
fn what_cannot_be_of_a_bike_that_leaves_is_refused() {
    let workshop = shed();
    let leave = |words: &[&str], said: &[&str]| {
        let words = [&["record", "leave"], words].concat();
        let output = workshop.run(&words);
        assert_ne!(output.code, 0, "{}", output.out);
        output.says(output.code, said);
    };
    leave(
        &["--bike", "B-3", "--as", "given"],
        &["it was sold on 2026-02-20"],
    );
    leave(&["--bike", "B-33", "--as", "given"], &["Did you mean B-3?"]);
    leave(
        &["--bike", "B-2", "--as", "gvien"],
        &["--as 'gvien'", "Did you mean given?"],
    );
    leave(
        &["--bike", "B-2", "--as", "given", "--on", "2026-01-01"],
        &["--on '2026-01-01'", "a day not before"],
    );
    leave(
        &["--bike", "B-2", "--as", "given", "--box-value", "3"],
        &["--box-value '3'", "not scrapped"],
    );
    let file = |csv: &str, said: &[&str]| {
        workshop.file("left.csv", csv);
        workshop.refuses(&["import", "sales", "@left.csv"], said);
    };
    file(
        "bike,style,left_on\nB-9,city,2026-03-01\n",
        &["left_as beside left_on"],
    );
    file(
        "bike,style,left_as\nB-9,city,kept\n",
        &["left_on beside left_as"],
    );
    file(
        "bike,style,left_on,left_as,sold_on,sold_price\nB-9,city,2026-03-01,kept,2026-02-01,10\n",
        &["nothing beside sold_on"],
    );
    file(
        "bike,style,bought_on,left_on,left_as\nB-9,city,2026-03-02,2026-03-01,given\n",
        &["a day not before bought_on"],
    );
    // Against what the book has.
    file(
        "bike,style,left_on,left_as\nB-3,road,2026-03-01,given\n",
        &["B-3 was sold on 2026-02-20 by the book"],
    );
    workshop
        .run(&[
            "record",
            "leave",
            "--bike",
            "B-2",
            "--as",
            "given",
            "--on",
            "2026-03-01",
        ])
        .done();
    file(
        "bike,style,sold_on,sold_price\nB-2,city,2026-03-05,80\n",
        &["B-2 left on 2026-03-01 (given)"],
    );
    workshop.refuses(
        &[
            "record",
            "sale",
            "--bike",
            "B-2",
            "--sold-on",
            "today",
            "--sold-price",
            "80",
        ],
        &["it left on 2026-03-01 (given)", "--left-on ''"],
    );
    workshop
        .run(&[
            "record",
            "sale",
            "--bike",
            "B-2",
            "--left-on",
            "",
            "--left-as",
            "",
            "--sold-on",
            "today",
            "--sold-price",
            "80",
        ])
        .done();
}

#[test]
fn a_sale_that_comes_back_is_told_where_it_happens_and_the_bike_can_be_sold_again() {
    let workshop = shed();
    let part = [
        "record",
        "return",
        "--bike",
        "B-3",
        "--refund",
        "20",
        "--on",
        "2026-03-03",
    ];
    let output = workshop.run(&part).done();
    assert!(output.out.contains("the buyer keeps it"), "{}", output.out);
    let back = ["record", "return", "--bike", "B-1", "--on", "2026-04-04"];
    let output = workshop.run(&back).done();
    assert!(
        output
            .out
            .contains("170.00 EUR handed back; it is stock again"),
        "{}",
        output.out
    );
    let report = quarter(&workshop, "2026-Q1");
    assert_eq!(report["due"], 98.0 + 135.0 - 20.0);
    assert_eq!(report["sales"].as_array().unwrap().len(), 2);
    // The money goes and the cost is in stock again: 72 - 170.
    let report = quarter(&workshop, "2026-Q2");
    assert_eq!(report["carried_forward"], 98.0);
    assert_eq!(report["returns"][0]["cost_back"], 72.0);
    assert_eq!(
        ids(&workshop, &["--state", "listed"]),
        ["B-1", "B-2", "B-5"]
    );
    assert_eq!(
        ids(&workshop, &["--state", "sold", "--as-of", "2026-04-03"]),
        ["B-1", "B-3"]
    );
    workshop
        .run(&[
            "record",
            "sale",
            "--bike",
            "B-1",
            "--sold-on",
            "2026-04-20",
            "--sold-price",
            "140",
        ])
        .done();
    let report = quarter(&workshop, "2026-Q2");
    assert_eq!(
        (&report["due"], &report["carried_forward"]),
        (&0.0.into(), &30.0.into())
    );
    let shown = workshop.run(&["show", "B-1"]).done().out;
    let lived = [
        "Sold        2026-02-10 for 170.00 EUR",
        "Came back   2026-04-04: 170.00 EUR handed back; stock again",
        "Sold        2026-04-20 for 140.00 EUR",
        "Left over   68.00 EUR, in 2026-Q2",
    ];
    let places: Vec<Option<usize>> = lived.iter().map(|line| shown.find(line)).collect();
    assert!(
        places.iter().all(Option::is_some) && places.is_sorted(),
        "{shown}"
    );
    // The price that counts is what was left of it.
    let list = workshop.run(&["list", "--format", "json"]).done().json();
    assert_eq!(list[2]["sold_price"], 230.0);
    // The file of before changes nothing: the sale that came back is known.
    let again = workshop.run(&["import", "sales", "@sales.csv"]).done();
    assert!(again.out.contains("Nothing changed."), "{}", again.out);
    let refuses = |words: &[&str], said: &[&str]| {
        workshop.refuses(&[&["record", "return"], words].concat(), said);
    };
    refuses(&["--bike", "B-3", "--refund", "231"], &["from 0 to 230.00"]);
    refuses(&["--bike", "B-2"], &["by the book it is not sold"]);
    refuses(
        &["--bike", "B-1", "--on", "2026-04-19"],
        &["B-1 was sold on 2026-04-20"],
    );
    refuses(
        &["--bike", "B-3", "--refund", "1", "--on", "2026-03-03"],
        &["a refund for B-3 of that day already"],
    );
    for number in ["4", "3", "2"] {
        workshop.run(&["import", "--undo", number]).done();
    }
    assert_eq!(quarter(&workshop, "2026-Q1")["due"], 233.0);
    assert_eq!(quarter(&workshop, "2026-Q2")["carried_forward"], 0.0);
}

#[test]
fn what_is_handed_back_waits_where_there_is_nothing_to_take_it_from_also_under_give_price() {
    let workshop = Workshop::empty();
    workshop
        .run(&[
            "start",
            "--currency",
            "EUR",
            "--give",
            "price",
            "--share",
            "50",
        ])
        .done();
    let workshop = workshop.sales(SALES);
    workshop
        .run(&["record", "return", "--bike", "B-1", "--on", "2026-04-04"])
        .done();
    let first = quarter(&workshop, "2026-Q1");
    assert_eq!(
        (&first["due"], &first["carried_forward"]),
        (&210.0.into(), &0.0.into())
    );
    let second = quarter(&workshop, "2026-Q2");
    assert_eq!(
        (&second["due"], &second["carried_forward"]),
        (&0.0.into(), &170.0.into())
    );
    let sell = [
        "record",
        "sale",
        "--bike",
        "B-5",
        "--sold-on",
        "2026-04-30",
        "--sold-price",
        "200",
    ];
    workshop.run(&sell).done();
    let second = quarter(&workshop, "2026-Q2");
    assert_eq!(
        (&second["due"], &second["carried_forward"]),
        (&15.0.into(), &0.0.into())
    );
    // What was shared out was 50 % of 250 and 200, the sales that hold.
    assert_eq!(second["closing"], 225.0);
}

#[test]
fn a_closed_quarter_stays_and_what_touches_it_is_told() {
    let workshop = shed();
    let april = |words: &[&str]| workshop.run(&[&["--as-of", "2026-04-10"], words].concat());
    april(&["quarter", "2026-Q1", "--close"]).done();
    let closed = workshop.run(&["quarter", "2026-Q1"]).done().out;
    // A refund of today is no change of what is closed.
    let output = april(&["record", "return", "--bike", "B-1"]).done();
    assert!(!output.err.contains("closed"), "{}", output.err);
    let report = quarter(&workshop, "2026-Q2");
    assert_eq!(report["corrections"], serde_json::json!([]));
    assert_eq!(report["carried_forward"], 98.0);
    // One that is dated in it is.
    let output = april(&[
        "record",
        "return",
        "--bike",
        "B-3",
        "--refund",
        "20",
        "--on",
        "2026-03-03",
    ])
    .done();
    assert!(
        output.err.contains("2026-Q1 is closed")
            && output.err.contains("the refund for B-3 20.00 EUR less"),
        "{}",
        output.err
    );
    let output = april(&[
        "record",
        "leave",
        "--bike",
        "B-4",
        "--as",
        "stolen",
        "--on",
        "2026-03-30",
    ])
    .done();
    assert!(
        output
            .err
            .contains("B-4, which left without a sale 15.00 EUR less"),
        "{}",
        output.err
    );
    let report = quarter(&workshop, "2026-Q2");
    let what: Vec<&str> = report["corrections"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["what"].as_str().unwrap())
        .collect();
    assert_eq!(
        what,
        [
            "refund recorded afterwards, handed back 20.00",
            "leaving without a sale recorded afterwards; cost 15.00",
        ]
    );
    assert_eq!(report["carried_forward"], 98.0 + 20.0 + 15.0);
    assert_eq!(workshop.run(&["quarter", "2026-Q1"]).done().out, closed);
}

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
