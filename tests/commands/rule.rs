//! `rule`: the rule of giving and its changes, and what money does.

use crate::support::workshop::Workshop;

const SALES: &str = "\
bike,style,listed_on,ask,sold_on,sold_price,purchase
B-1,city,2026-01-20,160,2026-02-01,150,30
B-2,city,2026-02-20,100,2026-04-11,90,20\n";

fn shed() -> Workshop {
    let workshop = Workshop::giving_to("Reading room", &[]).sales(SALES);
    workshop
        .run(&["record", "gift", "--amount", "80", "--on", "2026-04-20"])
        .done();
    workshop
}

fn closed() -> Workshop {
    let workshop = shed();
    workshop.run(&["quarter", "2026-Q1", "--close"]).done();
    workshop
}

#[test]
fn a_change_holds_from_its_quarter_on_and_is_told() {
    let workshop = shed();
    let before = workshop.run(&["quarter", "2026-Q1"]).done().out;
    let output = workshop
        .run(&[
            "rule",
            "--from",
            "2026-04-01",
            "--give",
            "net",
            "--share",
            "50",
            "--beneficiary",
            "Ferry club=3",
            "--beneficiary",
            "Night kitchen",
        ])
        .done();
    insta::assert_snapshot!(output.out, @"
    From 1 April 2026 (2026-Q2) on: 50 % of what is left of the sale prices after
    purchase, parts, fees and other costs of the bikes sold, and the workshop's
    costs, is due; labour is not charged. If the costs are higher than the prices,
    nothing is due and the shortfall waits for the next quarter. For Ferry club (75
    %) and Night kitchen (25 %).
    Quarters before it stay as they are. Another 'wheelworth rule' from the same day
    takes its place.
    What is owed to Reading room stays owed.
    ");
    assert_eq!(workshop.run(&["quarter", "2026-Q1"]).done().out, before);
    let json = workshop
        .run(&["quarter", "2026-Q2", "--format", "json"])
        .done()
        .json();
    assert_eq!(
        json["rule"],
        serde_json::json!({"give": "net", "share": 50})
    );
    let balances: Vec<_> = json["beneficiaries"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            let name = one["name"].as_str().unwrap().to_string();
            let figure = |what: &str| one[what].as_f64().unwrap();
            (
                name,
                [
                    figure("opening"),
                    figure("due"),
                    figure("given"),
                    figure("closing"),
                ],
            )
        })
        .collect();
    // Half of 90 - 20, 3 : 1; 150 are owed of the first quarter, 80 were handed over.
    let expected = [
        ("Ferry club".to_string(), [0.0, 26.25, 0.0, 26.25]),
        ("Night kitchen".to_string(), [0.0, 8.75, 0.0, 8.75]),
        ("Reading room".to_string(), [150.0, 0.0, 80.0, 70.0]),
    ];
    assert_eq!(balances, expected);
    insta::assert_snapshot!(workshop.run(&["rule"]).done().out, @"
    The rule of giving; the year starts in January

    From the start on
      The whole sale price of each bike is due.
      For Reading room.

    From 1 April 2026 (2026-Q2) on, in force now, set on 2 May 2026
      50 % of what is left of the sale prices after purchase, parts, fees and other
      costs of the bikes sold, and the workshop's costs, is due; labour is not
      charged. If the costs are higher than the prices, nothing is due and the
      shortfall waits for the next quarter.
      For Ferry club (75 %) and Night kitchen (25 %).
    ");
    // A gift to whom the first rule named is no slip.
    let gift = [
        "record",
        "gift",
        "--amount",
        "5",
        "--beneficiary",
        "Reading room",
    ];
    let gift = workshop.run(&gift).done();
    assert!(!gift.err.contains("not among"), "{}", gift.err);
}

#[test]
fn a_change_takes_the_place_of_one_from_the_same_day_and_what_is_not_given_stays() {
    let workshop = shed();
    let change = |words: &[&str]| {
        workshop
            .run(&[&["rule", "--from"], words].concat())
            .done()
            .out
    };
    change(&["2026-07-01", "--give", "net"]);
    change(&["2026-04-01", "--share", "40"]);
    let told = change(&["2026-04-01", "--share", "50"]);
    assert!(
        told.contains("takes the place of the change from the same day"),
        "{told}"
    );
    assert!(
        told.contains("From 1 July 2026 on the rule that was set for then holds"),
        "{told}"
    );
    let back = change(&["2026-07-01", "--give", "price"]);
    assert!(!back.contains("A shortfall"), "{back}");
    assert!(change(&["2026-07-01", "--give", "price"]).contains("Nothing was changed"));
    let json = workshop.run(&["rule", "--format", "json"]).done().json();
    let rules: Vec<_> = json["rules"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            (
                one["from"].clone(),
                one["give"].clone(),
                one["share"].clone(),
                one["in_force"].clone(),
            )
        })
        .collect();
    let expected = serde_json::json!([
        [null, "price", 100, false],
        ["2026-04-01", "price", 50, true],
        ["2026-07-01", "price", 100, false]
    ]);
    let rules = serde_json::to_value(rules).unwrap();
    assert_eq!(rules, expected);
    // Net after net: what is short waits, and what ends is told only where it does.
    change(&["2026-04-01", "--give", "net"]);
    let told = change(&["2026-07-01", "--give", "price", "--share", "90"]);
    assert!(
        told.contains("A shortfall of the quarter before ends there"),
        "{told}"
    );
}

#[test]
fn a_day_within_a_quarter_or_in_a_closed_one_is_refused_and_nothing_is_changed() {
    let workshop = closed();
    let before = workshop.book_bytes();
    for (words, code, said) in [
        (
            &["--give", "net"][..],
            2,
            &[
                "from which day on?",
                "--from 2026-04-01 or --from 2026-07-01",
            ][..],
        ),
        (
            &["--from", "2026-05-12", "--give", "net"],
            2,
            &[
                "first day of a quarter",
                "--from 2026-04-01 or --from 2026-07-01",
            ],
        ),
        (
            &["--from", "2026-01-01", "--give", "net"],
            1,
            &["2026-Q1 is closed", "begins on 2026-04-01"],
        ),
        (
            &["--from", "2025-10-01", "--give", "net"],
            1,
            &["2025-Q4 lies before 2026-Q1, which is closed"],
        ),
        (
            &["--from", "2026-07-01"],
            2,
            &["what changes from that day on?"],
        ),
        (
            &["--from", "7/2026", "--give", "net"],
            2,
            &["--from '7/2026'"],
        ),
        (
            &["--from", "2026-07-01", "--share", "0"],
            2,
            &["--share '0'"],
        ),
        (
            &["--from", "2026-07-01", "--beneficiary", "A=0"],
            2,
            &["a whole number above 0"],
        ),
        (
            &[
                "--from",
                "2026-07-01",
                "--beneficiary",
                "A",
                "--beneficiary",
                "A",
            ],
            2,
            &["'A' is given twice"],
        ),
        (
            &["--means", "meal"],
            2,
            &["what money does, = and what one costs"],
        ),
        (&["--means", "=2"], 2, &["a word or a few"]),
        (&["--means", "meal/=2"], 2, &["a word or a few"]),
        (&["--means", "meal=0"], 2, &["an amount above 0"]),
        (
            &["--means", "meal=2.405"],
            2,
            &["more decimals than EUR has"],
        ),
        (&["--means", "meal=$2"], 2, &["--means '$2'"]),
        (
            &["--means", "meal=2", "--from", "2026-05-03"],
            2,
            &["not one in the future"],
        ),
        (
            &["--means", "meal=2", "--for", "Reading rom"],
            1,
            &["names no such", "Did you mean Reading room?"],
        ),
        (
            &["--means", "meal=2", "--share", "20"],
            2,
            &["cannot be used with"],
        ),
    ] {
        let output = workshop.run(&[&["rule"], words].concat());
        output.says(code, said);
        assert_eq!(output.out, "", "{words:?}");
        assert!(workshop.book_bytes() == before, "{words:?}");
    }
}

#[test]
fn quarters_follow_the_year_of_the_book() {
    let workshop = Workshop::empty();
    workshop
        .run(&["start", "--currency", "EUR", "--year-starts", "3"])
        .done();
    workshop
        .run(&["rule", "--from", "2026-04-01", "--share", "50"])
        .says(2, &["--from 2026-03-01 or --from 2026-06-01"]);
    let told = workshop
        .run(&["rule", "--from", "2026-06-01", "--share", "50"])
        .done();
    assert!(told.out.contains("1 June 2026 (2026-Q2)"), "{}", told.out);
    assert!(
        told.out.replace('\n', " ").contains("nobody by name yet"),
        "{}",
        told.out
    );
    let figure = workshop.run(&["rule", "--means", "meal=2"]);
    figure.says(1, &["names nobody", "Name a beneficiary first"]);
}

#[test]
fn pages_of_closed_quarters_stay_as_they_were_handed_out() {
    let workshop = closed();
    let page = |workshop: &Workshop| {
        ["text", "json"].map(|form| {
            workshop
                .run(&["quarter", "2026-Q1", "--format", form])
                .done()
                .out
        })
    };
    let before = page(&workshop);
    let rule = [
        "rule",
        "--from",
        "2026-04-01",
        "--give",
        "net",
        "--beneficiary",
        "Choir",
    ];
    workshop.run(&rule).done();
    workshop
        .run(&["rule", "--means", "meal=2.40", "--for", "Reading room"])
        .done();
    assert_eq!(page(&workshop), before);
    // And no correction comes of it.
    let open = workshop
        .run(&["quarter", "2026-Q2", "--format", "json"])
        .done()
        .json();
    assert_eq!(open["corrections"], serde_json::json!([]));
    assert_eq!(open["opening"], 150.0);
}

#[test]
fn the_report_says_what_the_money_handed_over_does() {
    let workshop = shed();
    let told = workshop.run(&["rule", "--means", "meal=2.40"]).done();
    insta::assert_snapshot!(told.out, @r#"
    By the figure of Reading room of 2 May 2026, one meal costs 2.40 EUR.
    The quarter's report says of 48.00 EUR handed over to them: about 20 meals. For
    other words give --means "meal/SEVERAL=2.40"; a figure of the same day takes its
    place.
    "#);
    let says =
        "is about 33 meals, by the figure of Reading room of 2 May 2026 (one meal: 2.40 EUR).";
    for whom in ["--for=beneficiary", "--for=workshop"] {
        let text = workshop.run(&["quarter", "2026-Q2", whom]).done().out;
        let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(line.contains(says), "{text}");
    }
    workshop
        .run(&["quarter", "2026-Q2", "--html", "@page.html"])
        .done();
    assert!(workshop.text("page.html").contains(says));
    let json = workshop
        .run(&["quarter", "2026-Q2", "--format", "json"])
        .done()
        .json();
    let expected = serde_json::json!([{
        "beneficiary": "Reading room", "on": "2026-05-02", "unit": "meal", "units": "meals",
        "amount": 2.4, "given": 80.0, "count": 33,
    }]);
    assert_eq!(json["means"], expected);
    // Nothing was handed over in the first quarter.
    let first = workshop
        .run(&["quarter", "2026-Q1", "--format", "json"])
        .done()
        .json();
    assert_eq!(first["means"], serde_json::json!([]));
    // One of it, words of the user's own, and the figure of an earlier day.
    let means = [
        "rule",
        "--means",
        "trip to the sea/trips to the sea=80",
        "--from",
        "yesterday",
    ];
    workshop.run(&means).done();
    let early = ["quarter", "2026-Q2", "--as-of", "2026-05-01"];
    let text = workshop.run(&early).done().out;
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        line.contains("is about 1 trip to the sea, by the figure of Reading room of 1 May 2026"),
        "{text}"
    );
    for (one, several) in [
        ("box", "boxes"),
        ("puppy", "puppies"),
        ("day", "days"),
        ("bus pass", "bus passes"),
    ] {
        let told = workshop
            .run(&["rule", "--means", &format!("{one}=1")])
            .done()
            .out;
        assert!(told.contains(&format!("about 20 {several}.")), "{told}");
    }
}
