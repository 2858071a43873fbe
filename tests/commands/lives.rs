//! Bikes that leave without a sale, and sales that come back.

use crate::support::workshop::Workshop;

const SALES: &str = "\
bike,style,made,condition,tier,seat_tube,bought_on,listed_on,ask,sold_on,sold_price,purchase,parts
B-1,hybrid,2014,4,2,52,2026-01-03,2026-01-20,180,2026-02-10,170,50,22
B-2,city,2010,3,1,50,2026-01-05,2026-01-25,120,,,30,10
B-3,road,2016,4,3,55,2026-01-08,2026-02-01,260,2026-02-20,250,90,25
B-4,city,2008,2,1,50,2026-01-10,,,,,15,
B-5,hybrid,2012,4,2,52,2026-01-11,2026-02-11,160,,,40,12\n";

pub fn started() -> Workshop {
    Workshop::giving_to("Reading Room", &["--give", "net"])
}

pub fn shed() -> Workshop {
    started().sales(SALES)
}

pub fn ids(workshop: &Workshop, words: &[&str]) -> Vec<String> {
    let json = workshop
        .run(&[&["list", "--format", "json"], words].concat())
        .done()
        .json();
    let lines = json.as_array().unwrap().iter();
    lines
        .map(|line| line["bike"].as_str().unwrap().to_string())
        .collect()
}

pub fn quarter(workshop: &Workshop, name: &str) -> serde_json::Value {
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
    let market = workshop.run(&["market", "--why"]).done().out;
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
        "  2026-03-02  B-4  scrapped; wheels worth 12.50 into the parts box         15.00",
        "Kept by the owner (in no sum)",
        "  2026-03-03  B-2  kept by its owner                                       40.00",
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
    for (name, told) in [
        ("2026-Q1", "Buyers got 20.00 EUR back."),
        ("2026-Q2", "One came back; buyers got 170.00 EUR back."),
    ] {
        let text = workshop.run(&["quarter", name]).done().out;
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(told), "{text}");
    }
    // Its listing ended with the sale: it is to be offered again.
    assert_eq!(ids(&workshop, &["--state", "listed"]), ["B-2", "B-5"]);
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
        "Left over   68.00 EUR, after what was handed back",
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
fn a_bike_that_came_back_asks_what_it_is_offered_at_again() {
    let workshop = shed();
    let record = |words: &str| {
        let words: Vec<&str> = words.split(' ').collect();
        let output = workshop.run(&[&["record"], &words[..]].concat()).done();
        output.out + &output.err
    };
    record("ask --bike B-1 --on 2026-01-30 --ask 172");
    record("return --bike B-1 --on 2026-04-04");
    let shown = workshop.run(&["show", "B-1"]).done().out;
    let line = shown.lines().find(|line| line.starts_with("Listed"));
    assert!(
        line.is_some_and(|line| line.ends_with(", before it came back")),
        "{shown}"
    );
    let listed = |day: &str| format!("sale --bike B-1 --listed-on {day} --ask 190");
    // A buyer had it on that day.
    let words = format!("record {}", listed("2026-03-01"));
    workshop.refuses(
        &words.split(' ').collect::<Vec<_>>(),
        &["a day from 2026-04-04 on", "B-1 came back"],
    );
    // An ask without a listing says so.
    let said = record("ask --bike B-1 --on 2026-04-05 --ask 185");
    assert!(
        said.contains("is not listed again since") && said.contains("--listed-on DAY"),
        "{said}"
    );
    workshop.run(&["import", "--undo", "4"]).done();
    // On the very day, and the ask of before is not that of today, nor anything odd.
    let said = record(&listed("2026-04-04"));
    assert!(!said.contains("2026-01-30"), "{said}");
    let own = |line: &str| workshop.run(&line.split(' ').collect::<Vec<_>>()).done();
    let list = own("list --format json --state listed").json();
    assert_eq!(
        (&list[0]["bike"], &list[0]["ask"]),
        (&"B-1".into(), &190.0.into())
    );
    let stock = own("stock --format json").json();
    let bikes = stock["bikes"].as_array().unwrap();
    let back = bikes.iter().find(|bike| bike["bike"] == "B-1").unwrap();
    assert_eq!(back["ask"], 190.0);
    let advert = own("advert --bike B-1").out;
    assert!(advert.contains("Price: 190 EUR"), "{advert}");
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
    let workshop = started();
    workshop.file("sales.csv", SALES);
    let early = ["--as-of", "2026-03-01", "import", "sales", "@sales.csv"];
    workshop.run(&early).done();
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
            && output.err.contains("the refund for B-3: 20.00 EUR less"),
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
            .contains("B-4, which left without a sale: 15.00 EUR less"),
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
