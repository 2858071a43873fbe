//! A model year that is known as a range: in flags, in files, in the book and out
//! of it again.

use crate::support::workshop::{Output, Workshop};

const SALES: &str = "\
bike,style,made,condition,tier,seat_tube,listed_on,sold_on,sold_price
B-1,hybrid,2010..2013,4,2,53cm,2026-01-10,2026-01-20,150
B-2,hybrid,2016,3,2,51cm,2026-02-10,2026-02-20,190
B-3,road,,3,3,55cm,2026-03-10,,
B-4,city,2001 – 2004,3,2,51cm,2026-03-12,,
";

fn price(workshop: &Workshop, made: &str) -> Output {
    let line = ["price", "--style", "hybrid", "--condition", "4", "--made"];
    workshop.run(&[&line[..], &[made]].concat())
}

#[test]
fn a_range_is_read_as_people_write_it() {
    let workshop = Workshop::new().sales(SALES);
    let first = price(&workshop, "2010..2013").done();
    let (bike, _) = first.out.split_once('\n').unwrap();
    insta::assert_snapshot!(bike, @"hybrid, 2010..2013, condition 4 tidy, tier unknown, size unknown");
    for made in [
        "2010-2013",
        "2010–2013",
        "2010 .. 2013",
        " 2010 — 2013 ",
        "2010...2013",
        "2010…2013",
        "2010.0..2013.0",
    ] {
        assert_eq!(price(&workshop, made), first, "{made}");
    }
    assert_ne!(price(&workshop, "2010..2014").done().out, first.out);
}

#[test]
fn a_range_of_one_year_is_that_year() {
    let workshop = Workshop::new().sales(SALES);
    assert_eq!(
        price(&workshop, "2012..2012").done(),
        price(&workshop, "2012").done()
    );
    let rewritten = SALES.replace(",2016,", ",2016-2016,");
    let output = workshop.file("again.csv", rewritten);
    assert!(output.exists());
    let again = workshop.run(&["import", "sales", "@again.csv"]).done();
    assert!(again.out.contains("0 updated"), "{}", again.out);
}

#[test]
fn a_flag_that_is_no_range_says_what_is_expected() {
    let workshop = Workshop::new();
    for (made, said) in [
        ("2013..2010", "begins with the earlier year"),
        ("1970..2011", "at most 40 years from first to last"),
        ("2010..", "the first and the last year"),
        ("..2013", "the first and the last year"),
        ("2010..2030", "a model year up to 2027"),
        ("1700..1720", "from 1817 on"),
        ("2010..13", "four digits"),
        ("2010-06-01", "four digits"),
        ("2010 2013", "four digits"),
    ] {
        let output = price(&workshop, made);
        output.says(2, &[&format!("--made '{made}'"), said]);
        assert!(!output.err.contains("cell"), "{}", output.err);
    }
    // Forty years from first to last are read.
    price(&workshop, "1971..2011").done();
}

#[test]
fn a_bad_range_in_a_file_is_told_with_its_place() {
    let workshop = Workshop::new();
    workshop.file(
        "sales.csv",
        "bike,style,made\nB-1,road,2010..2013\nB-2,road,2013..2010\nB-3,road,1950-2000\nB-4,road,2010..\n",
    );
    workshop.refuses(
        &["import", "sales", "@sales.csv"],
        &[
            "@sales.csv, line 3, column 3 'made': '2013..2010', expected a range that begins with the earlier year",
            "Write 2010..2013 if that is meant",
            "line 4, column 3 'made': '1950-2000', expected a range of at most 40 years",
            "line 5, column 3 'made': '2010..', expected the first and the last year",
        ],
    );
}

#[test]
fn a_range_goes_out_as_csv_and_comes_in_again() {
    let workshop = Workshop::new().sales(SALES);
    workshop.run(&["export", "sales", "@out.csv"]).done();
    let text = workshop.text("out.csv");
    assert!(text.contains("B-1,hybrid,2010..2013,4"), "{text}");
    assert!(text.contains("B-2,hybrid,2016,3"), "{text}");
    assert!(text.contains("B-4,city,2001..2004,3"), "{text}");
    let again = workshop.run(&["import", "sales", "@out.csv"]).done();
    assert!(
        again.out.contains("0 rows added, 0 updated"),
        "{}",
        again.out
    );
    let other = Workshop::new().sales(&text);
    other.run(&["export", "sales", "@out.csv"]).done();
    assert_eq!(other.text("out.csv"), text);
}

#[test]
fn a_range_goes_out_as_parquet_and_comes_in_again() {
    let workshop = Workshop::new().sales(SALES);
    workshop.run(&["export", "sales", "@out.parquet"]).done();
    workshop.run(&["export", "sales", "@out.csv"]).done();
    let again = workshop.run(&["import", "sales", "@out.parquet"]).done();
    assert!(
        again.out.contains("0 rows added, 0 updated"),
        "{}",
        again.out
    );
    let other = Workshop::new();
    let file = std::fs::read(workshop.path("out.parquet")).unwrap();
    other.file("in.parquet", file);
    other.run(&["import", "sales", "@in.parquet"]).done();
    other.run(&["export", "sales", "@out.csv"]).done();
    assert_eq!(other.text("out.csv"), workshop.text("out.csv"));
}

#[test]
fn comps_keep_their_ranges_too() {
    let comps = "\
listing,source,style,made,ask,first_seen
c1,board,road,1995–1998,200,2026-04-01
c2,board,road,2015,300,2026-04-01
";
    let workshop = Workshop::new().comps(comps);
    for name in ["out.csv", "out.parquet"] {
        let file = format!("@{name}");
        workshop.run(&["export", "comps", &file]).done();
        let again = workshop.run(&["import", "comps", &file]).done();
        assert!(
            again.out.contains("0 rows added, 0 updated"),
            "{}",
            again.out
        );
    }
    assert!(
        workshop
            .text("out.csv")
            .contains("c1,board,road,1995..1998,")
    );
}

#[test]
fn a_range_is_recorded_changed_told_and_taken_back() {
    let workshop = Workshop::new().sales(SALES);
    let set = ["record", "sale", "--bike", "B-3", "--made"];
    workshop.run(&[&set[..], &["2008-2011"]].concat()).done();
    workshop.run(&[&set[..], &["2009"]].concat()).done();
    let history = workshop.run(&["import", "--history"]).done().out;
    assert!(history.contains("2008..2011"), "{history}");
    let json = workshop
        .run(&["import", "--history", "--format", "json"])
        .done()
        .json();
    let changes = json.to_string();
    assert!(changes.contains("\"2008..2011\""), "{changes}");
    workshop.run(&["import", "--undo", "3"]).done();
    let stock = workshop.run(&["stock", "--format", "json"]).done().json();
    let made = |id: &str| {
        let bikes = stock["bikes"].as_array().unwrap();
        bikes.iter().find(|bike| bike["bike"] == id).unwrap()["made"].clone()
    };
    assert_eq!(made("B-3"), "2008..2011");
    assert_eq!(made("B-4"), "2001..2004");
    workshop.run(&["check"]).done();
}

#[test]
fn a_file_of_bikes_may_hold_ranges_and_the_price_is_that_of_the_flag() {
    let workshop = Workshop::new().sales(SALES);
    workshop.file(
        "bikes.csv",
        "bike,style,made,condition\nX1,hybrid,2010-2013,4\nX2,hybrid,2010,4\n",
    );
    let many = ["price", "--from", "@bikes.csv", "--format", "json"];
    let many = workshop.run(&many).done().json();
    let flag = [
        "price",
        "--style",
        "hybrid",
        "--condition",
        "4",
        "--made",
        "2010..2013",
    ];
    let one = workshop
        .run(&[&flag[..], &["--format", "json"]].concat())
        .done()
        .json();
    assert_eq!(many["bikes"][0]["value"], one["bikes"][0]["value"]);
    assert_ne!(many["bikes"][1]["value"], one["bikes"][0]["value"]);
}

/// 2010 to 2013 is 12 to 15 years of age on 1 January 2026 and later, within the
/// class of 8 to 15 as long as 2010 is below 15; 2010 to 2020 spans two.
#[test]
fn the_market_counts_a_range_by_age_only_where_it_lies_in_one_class() {
    let comps = |made: &str| {
        format!("listing,source,style,made,ask,first_seen\nc1,board,road,{made},200,2026-04-01\n")
    };
    for (made, class) in [("2012..2015", "8-15 years"), ("2012..2020", "unknown")] {
        let workshop = Workshop::new().comps(&comps(made));
        let json = workshop.run(&["market", "--format", "json"]).done().json();
        let text = json.to_string();
        assert!(text.contains(&format!("\"{class}\"")), "{made}: {text}");
        let other = if class == "unknown" {
            "8-15 years"
        } else {
            "3-8 years"
        };
        assert!(!text.contains(&format!("\"{other}\"")), "{made}: {text}");
    }
}

#[test]
fn a_range_beyond_what_was_seen_is_told_with_both_ends() {
    let workshop = Workshop::busy();
    let output = price(&workshop, "1950..1990").done();
    assert!(output.out.contains("36 to 76 years"), "{}", output.out);
}

#[test]
fn the_chart_stands_where_the_range_does() {
    let workshop = Workshop::busy();
    let line = [
        "price",
        "--style",
        "hybrid",
        "--made",
        "2010..2013",
        "--chart",
        "@value.svg",
    ];
    workshop.run(&line).done();
    assert!(workshop.text("value.svg").contains("</svg>"));
}
