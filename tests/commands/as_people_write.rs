//! What people have goes in: years known roughly, notes of several lines, days in words,
//! hours that are minutes, an end that became known later.

use crate::support::program::{both, program};
use crate::support::workshop::Workshop;
use std::io::Write as _;
use std::process::Stdio;

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

#[test]
fn two_orders_of_days_in_one_column_are_refused() {
    let gifts = "on,beneficiary,amount\n25/02/2026,Room,5\n2026-02-26,Room,5\n02/27/2026,Room,5\n";
    let workshop = Workshop::new();
    workshop.file("gifts.csv", gifts);
    let said = [
        "line 4, column 1 'on': '02/27/2026'",
        "this can only be month first, and '25/02/2026' (line 2) only day first",
    ];
    workshop.refuses(&["import", "gifts", "@gifts.csv"], &said);
    workshop.file("gifts.csv", gifts.replace("02/27", "27/02"));
    workshop.run(&["import", "gifts", "@gifts.csv"]).done();
}

#[test]
fn a_file_may_come_through_standard_input() {
    let workshop = Workshop::new();
    let import = |text: &str| {
        let mut command = program(workshop.folder());
        command.args([
            "--book",
            "book.sqlite",
            "--as-of",
            "2026-05-02",
            "import",
            "gifts",
            "-",
        ]);
        command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        child
            .stdin
            .take()
            .unwrap()
            .write_all(text.as_bytes())
            .unwrap();
        both(&child.wait_with_output().unwrap())
    };
    let said = import("on,beneficiary,amount\n2026-02-26,Room,5\n2026-02-27,Room,1.234\n");
    assert!(
        said.contains("standard input, line 3, column 3 'amount': '1.234'"),
        "{said}"
    );
    // A later row tells how an earlier one is to be read, here too.
    let said = import("on;beneficiary;amount\n2026-02-26;Room;1.234\n2026-02-27;Room;4,50\n");
    assert!(said.contains("standard input: 2 rows added"), "{said}");
    assert!(exported(&workshop, "gifts").contains("2026-02-26,Room,1234.00"));
}

#[test]
fn words_of_the_users_own_get_a_meaning_that_is_remembered() {
    let sales = "bike,style,condition,tier\nA1,Trekking,good,club\nA2,road,Good,club\n";
    let workshop = Workshop::new();
    workshop.file("sales.csv", sales);
    let import = ["import", "sales", "@sales.csv"];
    workshop.refuses(&import, &["'Trekking'", "'good'", "'Good'"]);
    let words = [
        "--word",
        "style:trekking=touring",
        "--word",
        "condition:good=tidy",
    ];
    workshop.run(&[&import[..], &words].concat()).done();
    let rows = ["A1,touring,,4,3", "A2,road,,4,3"];
    assert!(
        rows.iter()
            .all(|row| exported(&workshop, "sales").contains(row))
    );
    // The next file with this header needs no words.
    workshop.file("sales.csv", sales.replace("A1", "A3").replace("A2", "A4"));
    workshop.run(&import).done();
    assert!(exported(&workshop, "sales").contains("A3,touring,,4,3"));
    // What a word means must be one of ours.
    let wrong = ["--word", "style:trekking=tour"];
    let refused = workshop.run(&[&import[..], &wrong].concat());
    refused.says(1, &["'Trekking', expected a style"]);
    workshop
        .run(&[&import[..], &["--word", "good=tidy"]].concat())
        .says(2, &["--word 'good=tidy'"]);
}

#[test]
fn one_odd_word_need_not_lose_a_row() {
    let sales = "bike,style,condition,tier,ask\nA1,road,goodish,club,120\nA2,rode,3,club,95\n";
    let workshop = Workshop::new();
    workshop.file("sales.csv", sales);
    let import = ["import", "sales", "@sales.csv", "--blank-bad"];
    // What a row cannot do without is still refused.
    workshop.refuses(&import, &["'rode'"]);
    workshop.file("sales.csv", sales.replace("rode", "road"));
    let output = workshop.run(&import).done();
    output.says(
        0,
        &["line 2: condition 'goodish' cannot be read and was left unknown"],
    );
    assert!(exported(&workshop, "sales").contains("A1,road,,,3,,,,,120.00"));
}

/// `price --guess` asks before it shows anything; an empty line is no guess.
#[test]
fn a_guess_is_typed_before_the_price_is_seen() {
    let workshop = Workshop::new();
    let price = |typed: &str| {
        let mut command = program(workshop.folder());
        let bike = "--as-of 2026-05-02 --book book.sqlite price --style hybrid --made 2018 --guess";
        command.args(bike.split(' '));
        command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let mut stdin = child.stdin.take().unwrap();
        stdin.write_all(typed.as_bytes()).unwrap();
        drop(stdin);
        both(&child.wait_with_output().unwrap())
    };
    let (plain, guessed) = (price("\n"), price("120\n"));
    for said in [&plain, &guessed] {
        let (asked, seen) = (said.find("bring, in EUR?"), said.find("Worth about"));
        assert!(asked.is_some() && seen.is_some(), "{said}");
    }
    assert!(guessed.contains("your 120 moves it from"), "{guessed}");
    assert!(!plain.contains("moves it from"), "{plain}");
    let refused = price("much\n");
    assert!(refused.contains("--guess 'much': expected"), "{refused}");
    assert!(price("").contains("nobody is there to type one"));
}
