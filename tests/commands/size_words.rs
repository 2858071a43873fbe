//! Sizes in words: the class is known, the length is not.

use super::inspect::{filled, inspected};
use crate::support::workshop::Workshop;
use serde_json::Value;

const HEAD: &str = "bike,style,made,condition,tier,seat_tube,listed_on,ask,sold_on,sold_price\n";

fn sizes(workshop: &Workshop, id: &str) -> String {
    let shown = workshop.run(&["show", id]).done().out;
    shown.lines().next().unwrap().to_string()
}

#[test]
fn a_size_word_is_kept_shown_and_written_back() {
    let workshop = Workshop::new().sales(&format!(
        "{HEAD}B-1,hybrid,2015,4,2,M,2026-02-20,160,2026-03-01,150\n\
         B-2,road,2015,4,2,extra small,2026-02-20,160,,\n\
         B-3,road,2015,4,2,53,2026-02-20,160,,\n"
    ));
    assert!(
        sizes(&workshop, "B-1").ends_with("2 sport, size M"),
        "{}",
        sizes(&workshop, "B-1")
    );
    assert!(sizes(&workshop, "B-2").ends_with("2 sport, size XS"));
    assert!(sizes(&workshop, "B-3").ends_with("2 sport, 53 cm (M)"));
    for name in ["sales.csv", "sales.parquet"] {
        let file = format!("@out-{name}");
        workshop.run(&["export", "sales", &file]).done();
        let other = Workshop::new();
        other.file(name, std::fs::read(workshop.path(&file[1..])).unwrap());
        other.run(&["import", "sales", &format!("@{name}")]).done();
        for id in ["B-1", "B-2", "B-3"] {
            assert_eq!(sizes(&other, id), sizes(&workshop, id), "{name}");
        }
        let again = workshop.run(&["import", "sales", &file]).done();
        assert!(again.out.contains("Nothing changed."), "{}", again.out);
    }
    assert!(workshop.text("out-sales.csv").contains(",M,"));
    // A measured length takes the word's place, and is told.
    let record = ["record", "sale", "--bike", "B-1", "--seat-tube", "51cm"];
    workshop.run(&record).done();
    let shown = workshop.run(&["show", "B-1"]).done().out;
    assert!(shown.contains("seat_tube size M -> 51 cm"), "{shown}");
    workshop
        .run(&["record", "sale", "--bike", "B-1", "--seat-tube", "large"])
        .done();
    assert!(sizes(&workshop, "B-1").ends_with("size L"));
    let json = workshop
        .run(&["show", "B-1", "--format", "json"])
        .done()
        .json();
    assert_eq!(json["size"], "L");
    workshop.run(&["check"]).done();
}

#[test]
fn a_bike_priced_by_its_size_word_is_priced_as_by_a_length_of_that_class() {
    let workshop = Workshop::busy();
    let priced = |style: &str, size: &str| -> Value {
        let words = [
            "price",
            "--style",
            style,
            "--made",
            "2014",
            "--condition",
            "4",
            "--tier",
            "2",
            "--seat-tube",
            size,
            "--new-price",
            "700",
            "--format",
            "json",
        ];
        let mut json = workshop.run(&words).done().json();
        json["bikes"][0].take()
    };
    // Boundaries of hybrid, which folding bikes use too: 44, 49, 54, 58 cm; road: 50, 53, 56, 59.
    for (style, size, length) in [
        ("hybrid", "XS", "43cm"),
        ("hybrid", "small", "44cm"),
        ("hybrid", "M", "53.9cm"),
        ("folding", "L", "54cm"),
        ("road", "S", "52.9cm"),
        ("road", "XL", "59cm"),
    ] {
        let (word, measured) = (priced(style, size), priced(style, length));
        for what in [
            "value",
            "ask",
            "contributions",
            "days_on_market",
            "cautions",
        ] {
            assert_eq!(word[what], measured[what], "{style} {size} {what}");
        }
    }
    // The size pays: the ends of the range are not priced as the middle.
    assert_ne!(
        priced("hybrid", "XS")["value"],
        priced("hybrid", "M")["value"]
    );
    let cautions = priced("hybrid", "M")["cautions"].to_string();
    assert!(
        !cautions.contains("seat tube") && !cautions.contains("Unknown: size"),
        "{cautions}"
    );
}

#[test]
fn a_size_word_on_a_sheet_is_the_size_where_nothing_was_measured() {
    let workshop =
        Workshop::new().sales(&format!("{HEAD}B-1,hybrid,2015,4,2,S,2026-02-20,160,,\n"));
    let size = |rows: &str| {
        let text = format!("item,result,measure,note\nstyle,,hybrid,\n{rows}");
        workshop.file("sheet.csv", text);
        let words = ["inspect", "@sheet.csv", "--format", "json"];
        workshop.run(&words).done().json()["size"]["class"].clone()
    };
    assert_eq!(size("seat tube,,large,\n"), "L");
    // 386 mm of reach is M by the table; what was measured counts.
    assert_eq!(size("seat tube,,large,\nreach,,386mm,\n"), "M");
    workshop.file(
        "sheet.csv",
        "item,result,measure,note\nseat tube,,L,\nstyle,,hybrid,\n",
    );
    let told = workshop.run(&["inspect", "@sheet.csv"]).done().out;
    assert!(told.contains("size L"), "{told}");
    let ready = filled(&[("style", "hybrid"), ("seat tube", "L")], &[]);
    workshop.file("ready.csv", &ready);
    let told = inspected(&ready).done().out;
    assert!(
        told.contains("Price it: ") && told.contains("--seat-tube L"),
        "{told}"
    );
    let kept = workshop
        .run(&["inspect", "@ready.csv", "--bike", "B-1"])
        .done();
    let said = "the book says size S, the sheet says size L; the book's counts. If the sheet is right: \
                wheelworth record sale --bike B-1 --seat-tube L";
    assert!(kept.err.contains(said), "{}", kept.err);
    // Kept as it was said.
    workshop
        .run(&["export", "inspections", "@inspections.csv"])
        .done();
    assert!(
        workshop
            .text("inspections.csv")
            .contains("seat tube,,size L,")
    );
    workshop.file("sheet.csv", "item,result,measure,note\nreach,,L,\n");
    workshop.refuses(&["inspect", "@sheet.csv"], &["reach", "53cm"]);
}

#[test]
fn kids_have_no_sizes_and_other_words_are_refused() {
    let workshop = Workshop::new();
    workshop.file("kids.csv", format!("{HEAD}K-1,kids,,3,,M,,,,\n"));
    workshop.refuses(
        &["import", "sales", "@kids.csv"],
        &[
            "column 6 'seat_tube': 'M'",
            "bikes for kids have no size classes",
            "such as 30cm",
        ],
    );
    let left = workshop
        .run(&["import", "sales", "@kids.csv", "--blank-bad"])
        .done();
    assert!(left.err.contains("left unknown"), "{}", left.err);
    workshop
        .run(&["price", "--style", "kids", "--seat-tube", "S"])
        .says(2, &["no size classes"]);
    workshop
        .run(&["price", "--style", "road", "--seat-tube", "XXL"])
        .says(2, &["or a size such as M"]);
    workshop
        .run(&[
            "offer",
            "--style",
            "road",
            "--seat-tube",
            "M",
            "--asking",
            "50",
        ])
        .done();
    let comp = [
        "record",
        "comp",
        "--style",
        "city",
        "--ask",
        "120",
        "--seat-tube",
        "m",
    ];
    workshop.run(&comp).done();
    let shown = workshop.run(&["show", "S-1"]).done().out;
    assert!(shown.contains("size M"), "{shown}");
}

#[test]
fn listings_that_share_no_more_than_a_size_word_are_no_double_listing() {
    let row = |id: &str, source: &str, size: &str| {
        format!("{id},{source},hybrid,,4,2,{size},2026-03-01,120\n")
    };
    let head = "listing,source,style,made,condition,tier,seat_tube,first_seen,ask\n";
    let told = |size: &str| {
        let workshop = Workshop::new();
        workshop.file(
            "comps.csv",
            format!(
                "{head}{}{}",
                row("1", "board", size),
                row("2", "paper", size)
            ),
        );
        workshop.run(&["import", "comps", "@comps.csv"]).done().err
    };
    let measured = told("53cm");
    assert!(measured.contains("look like one bike"), "{measured}");
    assert_eq!(told("M"), "");
}
