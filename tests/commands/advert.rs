//! `advert`: the text to post, from the records alone.

use crate::support::workshop::{Output, Workshop};

const SALES: &str = "bike,style,made,condition,tier,seat_tube,bought_on,listed_on,ask,sold_on,sold_price,purchase\n\
    A-1,touring,2009,4,2,53,2026-03-01,2026-04-20,240,,,45\n\
    A-2,city,2014,3,1,50,2026-03-02,,,,,20\n\
    A-3,city,2014,3,1,50,2026-03-02,2026-03-10,90,2026-03-20,85,20\n";

fn accepts(shed: &Workshop, words: &[&str]) -> Output {
    let out = shed.run(words);
    assert_eq!(out.code, 0, "{}", out.err);
    out
}

fn shed() -> Workshop {
    Workshop::new().sales(SALES)
}

#[test]
fn it_says_what_the_records_say_and_no_more() {
    let shed = shed();
    accepts(
        &shed,
        &[
            "record",
            "cost",
            "--bike",
            "A-1",
            "--kind",
            "part",
            "--item",
            "two tyres",
            "--amount",
            "30",
            "--on",
            "2026-03-05",
        ],
    );
    let out = accepts(&shed, &["advert", "--bike", "A-1"]).out;
    insta::assert_snapshot!(out, @r"
    Touring bike, 2009, size M

    Seat tube 53 cm, for riders of about 166 to 178 cm: come and try it.
    Condition: tidy, light marks.
    Parts: sport level.
    New on it: two tyres.

    Price: 240 EUR
    ");
}

/// The ask that stands is told, after a cut too; nothing of what it cost or of a plan.
#[test]
fn it_tells_the_ask_that_stands_and_no_secret() {
    let shed = shed();
    accepts(
        &shed,
        &[
            "record",
            "ask",
            "--bike",
            "A-1",
            "--on",
            "2026-05-01",
            "--ask",
            "225",
        ],
    );
    let out = accepts(&shed, &["advert", "--bike", "A-1"]).out;
    assert!(
        out.contains("Price: 225 EUR") && !out.contains("240") && !out.contains("45"),
        "{out}"
    );
    let json = accepts(&shed, &["advert", "--bike", "A-2", "--format", "json"]);
    assert!(
        json.out.contains("City bike, 2014") && !json.out.contains("Price"),
        "{}",
        json.out
    );
    assert!(json.err.contains("No ask is recorded"), "{}", json.err);
}

#[test]
fn an_open_gate_stands_in_the_first_line_and_a_failed_frame_is_refused() {
    let shed = shed();
    shed.file(
        "sheet.csv",
        "item,result,note\nfront brake,fail,cable frayed\nbell,fail,missing\n",
    );
    accepts(&shed, &["inspect", "@sheet.csv", "--bike", "A-1"]);
    let out = accepts(&shed, &["advert", "--bike", "A-1"]).out;
    let first = out.lines().next().unwrap();
    assert!(
        first.starts_with("For repair, not to be ridden as it is"),
        "{first}"
    );
    assert!(out.contains("front brake"), "{out}");
    shed.file(
        "frame.csv",
        "item,result,note\nframe,fail,crack at the head tube\n",
    );
    accepts(&shed, &["inspect", "@frame.csv", "--bike", "A-1"]);
    shed.refuses(
        &["advert", "--bike", "A-1"],
        &["its frame had failed", "take it apart"],
    );
}

#[test]
fn what_is_not_for_sale_is_refused() {
    let shed = shed();
    shed.refuses(&["advert", "--bike", "A-3"], &["was sold on 2026-03-20"]);
    shed.refuses(&["advert", "--bike", "A-11"], &["has no such bike", "A-1"]);
}

#[test]
fn a_sheet_to_hang_on_the_bike_is_one_page_without_a_network() {
    let shed = shed();
    accepts(
        &shed,
        &[
            "advert",
            "--style",
            "kids",
            "--condition",
            "tidy",
            "--ask",
            "60",
            "--html",
            "@sheet.html",
        ],
    );
    let page = shed.text("sheet.html");
    assert!(
        page.contains("Kids' bike") || page.contains("Kids&#39; bike"),
        "{page}"
    );
    assert!(
        page.contains("60 EUR") && page.contains("default-src 'none'"),
        "{page}"
    );
}
