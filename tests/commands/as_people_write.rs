//! What people have goes in: years known roughly, notes of several lines, days in words,
//! hours that are minutes, an end that became known later.

use crate::support::workshop::Workshop;

fn exported(workshop: &Workshop, table: &str) -> String {
    workshop.run(&["export", table, "@out.csv"]).done();
    workshop.text("out.csv")
}

#[test]
fn years_notes_and_hours_as_people_keep_them() {
    let workshop = Workshop::new();
    let sales = "bike,style,made,seat_tube,hours,note\n\
        A1,road,~2012,56cm,90,\"blue\nrack\tmissing\"\n\
        A2,kids,2010/11,14cm,2,\n\
        A3,city,90s,,1,\n";
    workshop.file("sales.csv", sales);
    let output = workshop.run(&["import", "sales", "@sales.csv"]);
    output.says(
        0,
        &["line 2: 90 hours for one bike: check that they are not minutes"],
    );
    output.says(
        0,
        &["line 2: line breaks and tabs in a free text were made blanks"],
    );
    let text = exported(&workshop, "sales");
    for row in [
        "A1,road,2010..2014,,,56cm,,,,,,,,,,,90,blue rack missing",
        "A2,kids,2010..2011,,,14cm,",
        "A3,city,1990..1999,",
    ] {
        assert!(text.contains(row), "{row} in {text}");
    }
    workshop.file(
        "more.csv",
        "bike,style,seat_tube\nA4,kids,20\nA5,mountain,29er\nA6,kids,45cm\n",
    );
    let said = [
        "'20', expected a seat-tube length, not the size of a wheel",
        "'29er'",
        "12 to 40 cm",
    ];
    workshop.refuses(&["import", "sales", "@more.csv"], &said);
    let price = workshop.run(&["price", "--style", "mountain", "--seat-tube", "27.5"]);
    price.says(
        2,
        &["--seat-tube '27.5': expected a seat-tube length, not the size of a wheel"],
    );
}

#[test]
fn flags_take_days_in_words_and_files_do_not() {
    let workshop = Workshop::new();
    let gift = [
        "record",
        "gift",
        "--beneficiary",
        "Room",
        "--amount",
        "5",
        "--on",
    ];
    workshop.run(&[&gift[..], &["yesterday"]].concat()).done();
    workshop.run(&[&gift[..], &["Today"]].concat()).done();
    let text = exported(&workshop, "gifts");
    assert!(
        text.contains("2026-05-01,Room") && text.contains("2026-05-02,Room"),
        "{text}"
    );
    let price = [
        "price",
        "--style",
        "road",
        "--format",
        "json",
        "--as-of",
        "yesterday",
    ];
    assert_eq!(workshop.run(&price).done().json()["as_of"], "2026-05-01");
    workshop.file("gifts.csv", "on,beneficiary,amount\ntoday,Room,5\n");
    workshop.refuses(
        &["import", "gifts", "@gifts.csv"],
        &["'today', expected a day"],
    );
}

#[test]
fn an_end_may_become_known_after_the_listing_was_last_seen() {
    let comps = "listing,style,first_seen,last_seen,ask,outcome,ended_on,sold_price\n\
        x1,road,2026-03-01,2026-03-10,200,sold,2026-03-20,180\n";
    let workshop = Workshop::new().comps(comps);
    let known = |day: &str| {
        let market = ["--as-of", day, "market", "--format", "json"];
        workshop.run(&market).done().json()["comps"]["outcomes"].clone()
    };
    assert_eq!(known("2026-03-15")["listed"], 1);
    assert_eq!(known("2026-03-20")["sold"], 1);
}

#[test]
fn an_empty_file_to_fill_in_comes_with_its_columns() {
    let workshop = Workshop::new();
    for kind in ["sales", "comps", "asks", "costs", "gifts", "inspections"] {
        let output = workshop
            .run(&["import", kind, "--blank", "@blank.csv"])
            .done();
        assert!(output.out.contains("must be filled in"), "{}", output.out);
        let import = ["import", kind, "@blank.csv"];
        workshop.refuses(&import, &["has a header and no rows"]);
        // Written once more, and never over something else.
        workshop
            .run(&["import", kind, "--blank", "@blank.csv"])
            .done();
        workshop.file("blank.csv", "mine\n");
        workshop.refuses(
            &["import", kind, "--blank", "@blank.csv"],
            &["no empty file"],
        );
        std::fs::remove_file(workshop.path("blank.csv")).unwrap();
    }
}
