//! Two screens say the same of one thing: a gift is the gift that was meant, a day is one on
//! which somebody looked, dues add up, what is left is left.

use super::inspect::filled;
use super::inspect_kept::{but, shed};
use crate::support::workshop::{Output, Workshop};

fn run(workshop: &Workshop, line: &str) -> Output {
    workshop.run(&line.split(' ').collect::<Vec<_>>())
}

fn all_done(workshop: &Workshop, lines: &[&str]) {
    for line in lines {
        run(workshop, line).done();
    }
}

#[test]
fn a_reference_that_is_used_again_takes_no_gift_away() {
    let workshop = Workshop::giving_to("Reading Room", &[]);
    run(&workshop, "record gift --amount 100 --reference R6").done();
    let other = [
        "record",
        "gift",
        "--amount",
        "2",
        "--beneficiary",
        "Night Kitchen",
    ];
    let again = [&other[..], &["--reference", "R6"]].concat();
    let before = workshop.book_bytes();
    workshop.run(&again).says(
        1,
        &[
            "this one is of the gift to Reading Room on 2026-05-02",
            "--correct",
        ],
    );
    assert!(workshop.book_bytes() == before, "the book changed");
    // One of the two is a slip that is put right.
    run(&workshop, "record gift --amount 90 --reference R6").done();
    workshop.run(&[&again[..], &["--correct"]].concat()).done();
    workshop.file(
        "gifts.csv",
        "on,beneficiary,amount,reference\n2026-05-01,Reading Room,7,R6\n",
    );
    workshop.refuses(
        &["import", "gifts", "@gifts.csv"],
        &["line 2", "reference", "of the gift to Night Kitchen"],
    );
}

#[test]
fn a_name_that_differs_by_capitals_alone_is_the_books() {
    let workshop = Workshop::giving_to("Reading Room", &[]);
    let line = [
        "record",
        "gift",
        "--amount",
        "5",
        "--beneficiary",
        "reading  room",
    ];
    let told = workshop.run(&line).done();
    assert!(
        told.out.contains("is Reading Room, as the book writes it"),
        "{}",
        told.out
    );
    let quarter = run(&workshop, "quarter 2026-Q2 --format json")
        .done()
        .json();
    let owed = quarter["beneficiaries"].as_array().unwrap();
    assert_eq!((owed.len(), &owed[0]["given"]), (1, &5.0.into()));
    // Another name stays another name.
    let line = [
        "record",
        "gift",
        "--amount",
        "5",
        "--beneficiary",
        "Reading Rooms",
    ];
    assert!(
        workshop
            .run(&line)
            .done()
            .err
            .contains("did you mean Reading Room")
    );
}

/// 80 % of 120 is 96; 80 % of the 20 handed back of an earlier sale is 16.
#[test]
fn each_bikes_due_is_its_own_on_every_page() {
    let workshop = Workshop::giving_to("Reading Room", &["--give", "price", "--share", "80"]);
    let lines = [
        "record sale --bike R --style road --purchase 60 --sold-on 2026-03-10 --sold-price 240",
        "record return --bike R --refund 20 --on 2026-04-15",
        "record sale --bike S --style city --purchase 50 --hours 2 --sold-on 2026-04-20 --sold-price 120",
    ];
    all_done(&workshop, &lines);
    for reader in ["beneficiary", "workshop"] {
        let line = format!("quarter 2026-Q2 --for {reader} --csv @lines.csv --html @page.html");
        let out = run(&workshop, &line).done().out;
        let row = |start: &str| {
            let found = out
                .lines()
                .find(|line| line.trim_start().starts_with(start));
            found
                .unwrap_or_else(|| panic!("no {start} in\n{out}"))
                .to_string()
        };
        assert!(row("2026-04-20  S").ends_with(" 96.00"), "{out}");
        assert!(
            row("refunds of other quarters").ends_with("-16.00"),
            "{out}"
        );
        assert!(row("1 bike sold, and what").ends_with(" 80.00"), "{out}");
        let csv = workshop.text("lines.csv");
        let dues = csv
            .lines()
            .filter(|line| line.starts_with("sale,") || line.starts_with("other_quarters,"));
        let dues: Vec<&str> = dues.collect();
        assert!(
            dues[0].contains(",96.00") && dues[1].contains(",-16.00"),
            "{csv}"
        );
        let page = workshop.text("page.html");
        assert!(
            page.contains("refunds of other quarters") && page.contains("96.00"),
            "{reader}"
        );
    }
    // In the column of dues, which a narrow page names beside the amount.
    run(
        &workshop,
        "quarter 2026-Q2 --for beneficiary --html @page.html",
    )
    .done();
    let page = workshop.text("page.html");
    assert!(page.contains("<td></td><td class=\"n\">-16.00"), "{page}");
    // 96 in two hours.
    let out = run(&workshop, "quarter 2026-Q2").done().out;
    let earned = out.split("What earned most").nth(1).unwrap();
    assert!(earned.contains("48.00"), "{out}");
}

/// 240 at 50 % was 120; the refund of 240 at 100 % is 240.
#[test]
fn a_refund_at_another_share_says_by_how_much() {
    let workshop = Workshop::giving_to("Reading Room", &["--give", "price", "--share", "50"]);
    let lines = [
        "record sale --bike R --style road --purchase 60 --sold-on 2026-03-30 --sold-price 240",
        "rule --from 2026-04-01 --share 100",
        "record return --bike R --on 2026-04-02",
        "record sale --bike S --style city --purchase 10 --sold-on 2026-04-12 --sold-price 300",
    ];
    all_done(&workshop, &lines);
    let found = run(&workshop, "quarter 2026-Q2 --format json")
        .done()
        .json();
    let cautions = found["cautions"].as_array().unwrap();
    let told = cautions
        .iter()
        .find(|one| one["code"] == "other_share")
        .unwrap();
    assert_eq!(
        told["text"],
        "What is handed back or corrected of 2026-Q1 (R) counts at this quarter's share, 100 %. At the 50 % of that \
         quarter 120.00 EUR more would be due."
    );
}

#[test]
fn a_comp_is_told_with_a_day_on_which_it_was_seen() {
    let workshop = Workshop::new().comps(
        "\
listing,source,style,made,condition,first_seen,last_seen,ask,outcome
c1,board,hybrid,2014,4,2026-01-03,2026-01-20,190,gone
c2,board,hybrid,2014,4,2026-01-03,2026-01-21,200,listed
",
    );
    let out = run(&workshop, "price --style hybrid --made 2014 --why")
        .done()
        .out;
    for seen in ["gone 2026-01-20", "seen 2026-01-21"] {
        assert!(out.contains(seen), "no '{seen}' in\n{out}");
    }
}

#[test]
fn prices_that_were_seen_are_not_rounded_to_others() {
    let workshop = Workshop::new()
        .sales("bike,style,listed_on,sold_on,sold_price\nS1,kids,2026-03-01,2026-03-05,95\n")
        .comps("listing,style,first_seen,last_seen,ask\nc1,road,2026-03-01,2026-04-01,1250\n");
    let out = run(&workshop, "market").done().out;
    let row = |style: &str| {
        let rows = out
            .lines()
            .map(|line| line.split_whitespace().collect::<Vec<_>>());
        rows.into_iter()
            .find(|cells| cells.first() == Some(&style))
            .unwrap()
    };
    assert!(row("kids").contains(&"95"), "{out}");
    assert!(row("road").contains(&"1,250"), "{out}");
}

/// What a bike brings, less what is paid for it and put into it, is left.
#[test]
fn what_is_left_of_a_bike_is_told_before_and_after_waiting() {
    let workshop = Workshop::busy();
    let line =
        "offer --style hybrid --made 2016 --condition 3 --repairs 20 --becomes tidy --asking 30";
    let out = run(&workshop, line).done().out.replace('\n', " ");
    let found = run(&workshop, &format!("{line} --format json"))
        .done()
        .json();
    let brings = found["best"]["expected_sale"].as_f64().unwrap();
    let left = out.split("Bought for 30.00: about ").nth(1).unwrap();
    let told: f64 = left.split(' ').next().unwrap().parse().unwrap();
    // Steps of about 2 %.
    assert!(
        (told / (brings - 50.0) - 1.0).abs() < 0.015,
        "{told} {brings}\n{out}"
    );
    assert!(left.contains(" after what waiting costs)"), "{out}");
}

#[test]
fn a_check_that_nobody_did_costs_a_look_and_no_repair() {
    let workshop = Workshop::busy();
    let sheet = but(&[
        ("recall check", "unchecked", "", ""),
        ("front tyre", "fail", "", "cracked"),
    ]);
    workshop.file("sheet.csv", sheet);
    workshop.file(
        "jobs.csv",
        "job,cost,clears,condition_after\nnew tyre,15,front tyre,4\n",
    );
    let line = "offer --style hybrid --made 2016 --condition project --sheet @sheet.csv --jobs @jobs.csv --asking 5";
    let out = run(&workshop, line).done().out;
    let told = out.replace('\n', " ");
    assert!(
        told.contains("not checked yet: recall check. It takes only a look"),
        "{out}"
    );
    assert!(!told.contains("to repair recall check"), "{out}");
}

#[test]
fn a_tier_that_the_book_does_not_know_is_no_tier_that_it_says() {
    let workshop = shed();
    let sales = "bike,style,made,condition\nN1,hybrid,2015,4\n";
    let workshop = workshop.sales(sales);
    let facts = [
        ("style", "hybrid"),
        ("frame material", "chrome moly"),
        ("brakes", "dual pivot"),
        ("wheels", "double wall"),
        ("gears", "9"),
    ];
    workshop.file("sheet.csv", filled(&facts, &[]));
    let out = run(&workshop, "inspect @sheet.csv --bike N1").done();
    let told = format!("{}{}", out.out, out.err).replace('\n', " ");
    assert!(told.contains("the book knows no tier"), "{told}");
    assert!(told.contains("record sale --bike N1 --tier "), "{told}");
}

#[test]
fn a_column_of_asks_by_another_name_is_no_column_to_leave_out() {
    let workshop = Workshop::new();
    workshop.file(
        "mine.csv",
        "No,Kind,Put up,Wanted,Sold on,Got\n1,road,2026-03-01,180,2026-03-09,170\n2,city,2026-03-02,90,2026-03-19,85\n",
    );
    let said = workshop.run(&["import", "sales", "@mine.csv"]).err;
    for column in ["--column listed_on='Put up'", "--column ask=Wanted"] {
        assert!(said.contains(column), "no '{column}' in\n{said}");
    }
}

#[test]
fn a_word_in_the_place_of_a_price_says_how_it_left() {
    let workshop = Workshop::new();
    for (word, how) in [
        ("Scrapped", "scrapped"),
        ("given away", "given"),
        ("gestohlen", "stolen"),
    ] {
        let csv = format!("bike,style,sold_on,sold_price\nB 2,city,2026-04-01,{word}\n");
        workshop.file("sales.csv", csv);
        let said = workshop.run(&["import", "sales", "@sales.csv"]).err;
        let line = format!("wheelworth record leave --bike 'B 2' --as {how}");
        assert!(
            said.replace('\n', " ").contains(&line),
            "no '{line}' in\n{said}"
        );
        assert_eq!(said.matches("sales.csv, line 2").count(), 1, "{said}");
    }
}

#[test]
fn no_hours_have_no_earnings_an_hour() {
    let workshop = Workshop::busy();
    let line = "price --style hybrid --made 2016 --cost 10 --hours";
    let out = |hours: u8| run(&workshop, &format!("{line} {hours}")).done().out;
    assert!(out(2).contains("for each hour"), "{}", out(2));
    assert!(!out(0).contains("for each hour"), "{}", out(0));
}
