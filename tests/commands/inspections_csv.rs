//! `export inspections` and `import inspections`: out of one book and into another.

use super::inspect::tourer_as_found;
use super::inspect_kept::{but, failed, keep, passed, shed};
use crate::support::workshop::Workshop;
use serde_json::Value;

const HEADER: &str = "bike,on,item,result,measure,note,number\n";

/// L1 twice on one day and once later, L2 with facts, measures and notes.
fn inspected() -> Workshop {
    let workshop = shed();
    keep(&workshop, &failed(), "L1", "2026-04-20");
    keep(&workshop, &passed(), "L1", "2026-04-20");
    keep(
        &workshop,
        &but(&[("marks", "fail", "", "=1+1, \"quoted\"")]),
        "L1",
        "2026-04-25",
    );
    let tourer = tourer_as_found().replace("W-14", "-the blue one");
    keep(&workshop, &tourer, "L2", "2026-04-21");
    workshop
}

fn shown(workshop: &Workshop) -> Vec<Value> {
    let lines = ["L1", "L2"].map(|bike| {
        let days = ["2026-04-20", "2026-04-22", "2026-05-02"];
        days.map(|day| {
            let line = [
                "inspect", "--bike", bike, "--as-of", day, "--format", "json",
            ];
            workshop.run(&line).done().json()
        })
    });
    lines.into_iter().flatten().collect()
}

#[test]
fn what_was_exported_makes_the_same_inspections_in_another_book() {
    let first = inspected();
    for (file, other) in [("i.csv", "again.csv"), ("i.parquet", "again.parquet")] {
        let named = format!("@{file}");
        first.run(&["export", "inspections", &named]).done();
        let second = shed();
        second.file(file, std::fs::read(first.path(file)).unwrap());
        let out = second.run(&["import", "inspections", &named]).done();
        assert_eq!(out.err, "");
        assert!(
            out.out
                .contains(": 4 inspections added, 0 updated, 0 unchanged"),
            "{}",
            out.out
        );
        assert_eq!(shown(&second), shown(&first), "{file}");
        second
            .run(&["export", "inspections", &format!("@{other}")])
            .done();
        assert!(
            std::fs::read(second.path(other)).unwrap() == std::fs::read(first.path(file)).unwrap()
        );
        // Again it changes nothing, and taken back they are gone.
        let again = second.run(&["import", "inspections", &named]).done().out;
        assert!(
            again.contains("0 inspections added, 0 updated, 4 unchanged"),
            "{again}"
        );
        assert!(again.contains("Nothing changed."), "{again}");
        let history = second
            .run(&["import", "inspections", "--history"])
            .done()
            .out;
        assert_eq!(history.matches("inspections").count(), 1, "{history}");
        second.run(&["import", "--undo", "2"]).done();
        assert!(
            second
                .run(&["inspect", "--bike", "L1"])
                .done()
                .out
                .contains("not inspected yet")
        );
    }
    let text = first.text("i.csv");
    assert!(text.starts_with(HEADER), "{text:.200}");
    for row in [
        "L1,2026-04-20,front tyre,fail,,cracked,\n",
        "L1,2026-04-20,front tyre,pass,,,2\n",
        "L1,2026-04-20,front pads,pass,0.5 mm,,\n",
        "L1,2026-04-25,marks,fail,,\"'=1+1, \"\"quoted\"\"\",\n",
        "L2,2026-04-21,bike,,'-the blue one,,\n",
        "L2,2026-04-21,gears,,7 speed,,\n",
        "L2,2026-04-21,rust,pass,4 %,,\n",
    ] {
        assert!(text.contains(row), "{row} is not in\n{text}");
    }
}

#[test]
fn an_inspection_of_the_same_day_that_says_otherwise_is_a_second_one() {
    let workshop = inspected();
    workshop.file(
        "i.csv",
        "bike,on,item,result\nL2,2026-04-21,front tyre,pass\nL2,2026-04-21,rear tyre,pass\n",
    );
    let before = shown(&workshop)[4]["kept"]["count"].clone();
    assert_eq!(before, 1);
    workshop
        .run(&["import", "inspections", "@i.csv", "--dry-run"])
        .done();
    assert_eq!(shown(&workshop)[4]["kept"]["count"], 1);
    workshop.run(&["import", "inspections", "@i.csv"]).done();
    assert_eq!(shown(&workshop)[4]["kept"]["count"], 2);
}

#[test]
fn bad_rows_stop_the_whole_file_and_say_where() {
    let workshop = inspected();
    workshop.file(
        "i.csv",
        "bike,on,item,result,measure,number\n\
         L1,2026-04-26,front tyre,pass,,\n\
         L1,2026-04-26,front tyre,fail,,\n\
         l01,2026-04-26,front tyre,pass,,\n\
         L2,2026-05-03,front tyre,pass,,\n\
         L2,2026-04-26,brake pads,pass,,\n\
         L2,2026-04-27,front tyre,,,\n\
         L2,2026-04-28,bike,,L1,\n\
         L2,2026-04-28,front tyre,pass,,0\n\
         L2,2026-04-28,rear tyre,pass,,\n",
    );
    let output = workshop.refuses(
        &["import", "inspections", "@i.csv"],
        &[
            "7 problems in @i.csv; nothing was imported",
            "@i.csv, line 3, column 3 'item': 'front tyre', expected each item once for L1 on 2026-04-26; front tyre stands on line 2 already",
            "@i.csv, line 4, column 1 'bike': 'l01'",
            "Did you mean L1?",
            "@i.csv, line 5, column 2 'on': '2026-05-03'",
            "Did you mean front pads or rear pads?",
            "@i.csv, line 7, column 4 'result': expected a result in one row at least of L2 on 2026-04-27",
            "@i.csv, line 8, column 5 'measure': 'L1', expected the name of L2 itself",
            "@i.csv, line 9, column 6 'number': '0', expected a whole number from 1 to 99",
        ],
    );
    assert!(!output.err.contains("skip-bad"));
    let line = ["import", "inspections", "@i.csv", "--skip-bad", "@bad.csv"];
    workshop
        .run(&line)
        .says(2, &["--skip-bad is not for inspections"]);
    workshop.file(
        "k.csv",
        "bike,on,item,result\nK1,2026-04-20,front tyre,pass\n",
    );
    let output = workshop.run(&["import", "inspections", "@k.csv"]).done();
    insta::assert_snapshot!(output.err, @"caution 1: K1 was sold on 2026-04-10, before its inspection of 2026-04-20");
}

#[test]
fn an_earlier_export_of_this_book_alone_is_replaced() {
    let workshop = inspected();
    let empty = shed();
    let none = empty.run(&["export", "inspections", "@i.csv"]).done();
    assert!(none.err.contains("no inspections yet"), "{}", none.err);
    assert_eq!(empty.text("i.csv"), HEADER);
    for file in ["@i.csv", "@i.parquet"] {
        let line = ["export", "inspections", file];
        workshop.run(&line).done();
        keep(
            &workshop,
            &but(&[("marks", "fail", "", file)]),
            "L2",
            "2026-05-01",
        );
        workshop.run(&line).done();
    }
    empty.file("i.csv", workshop.text("i.csv"));
    let said = ["@i.csv: is there already and is no earlier export of the inspections"];
    empty.refuses(&["export", "inspections", "@i.csv"], &said);
}
