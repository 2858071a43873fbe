//! `rename`: another id for a bike, and nothing else is changed by it.

use crate::support::workshop::Workshop;
use serde_json::Value;

const SALES: &str = "\
bike,style,made,condition,bought_on,listed_on,ask,sold_on,sold_price,purchase,hours
B-1,city,2012,3,2025-12-05,2025-12-20,130,2026-02-10,120,20,4.5
B-2,road,2015,4,2026-02-01,2026-03-01,240,2026-04-03,230,60,3
B-3,city,2010,3,2026-03-20,2026-04-01,90,,,15,2\n";

const COSTS: &str = "\
bike,on,kind,item,amount,from_box
B-1,2026-01-08,part,chain,12.50,
B-1,2026-01-08,part,chain,12.50,
B-1,2026-01-09,part,lamp,4,yes
B-1,2026-04-20,fee,,3,
B-3,2026-04-02,part,tyre,9,
,2026-02-02,supply,rags,5,\n";

/// A book with a closed quarter in which B-1 was sold, and a cost of it that came late.
fn shed(give: &str) -> Workshop {
    let workshop = Workshop::giving_to("Reading room", &["--give", give]).sales(SALES);
    let workshop = workshop.asks("bike,on,ask\nB-1,2026-01-20,125\nB-3,2026-04-20,85\n");
    workshop.file("costs.csv", COSTS);
    let costs = ["import", "costs", "@costs.csv", "--as-of", "2026-04-20"];
    workshop.run(&costs).done();
    let close = ["quarter", "2026-Q1", "--close", "--as-of", "2026-04-05"];
    workshop.run(&close).done();
    workshop
        .run(&[
            "record",
            "cost",
            "--bike",
            "B-1",
            "--on",
            "2026-02-01",
            "--kind",
            "part",
            "--amount",
            "7",
        ])
        .done();
    workshop
}

/// Every report of every quarter on several days, and what all tables hold.
fn everything(workshop: &Workshop) -> Vec<Value> {
    let mut all = Vec::new();
    for as_of in [
        "2026-03-31",
        "2026-04-04",
        "2026-04-22",
        "2026-04-30",
        "2026-05-02",
    ] {
        for quarter in ["2026-Q1", "2026-Q2", "2026-Q3"] {
            let words = ["quarter", quarter, "--format", "json", "--as-of", as_of];
            all.push(workshop.run(&words).done().json());
        }
        let list = ["list", "--format", "json", "--as-of", as_of];
        all.push(workshop.run(&list).done().json());
    }
    for table in ["sales", "asks", "costs"] {
        let name = format!("@{table}.out.csv");
        workshop.run(&["export", table, &name]);
        all.push(workshop.text(&name[1..]).into());
        std::fs::remove_file(workshop.path(&name[1..])).unwrap();
    }
    all
}

/// Quarters of a year that are closed keep the name under which they were handed out.
fn with_name(all: &[Value], old: &str, new: &str) -> Vec<Value> {
    let renamed = |value: &Value| {
        let closed = value.get("closed_on").is_some_and(Value::is_string);
        if closed {
            return value.clone();
        }
        let text = value.to_string();
        let text = text.replace(&format!("\"{old}\""), &format!("\"{new}\""));
        // In the exported tables.
        let text = text.replace(&format!("\\n{old},"), &format!("\\n{new},"));
        // In sentences.
        let text = text.replace(&format!("of {old}:"), &format!("of {new}:"));
        serde_json::from_str(&text).unwrap()
    };
    all.iter().map(renamed).collect()
}

fn in_order(mut all: Vec<Value>) -> Vec<Value> {
    for value in &mut all {
        if let Value::String(text) = value {
            let mut lines: Vec<&str> = text.lines().collect();
            lines.sort_unstable();
            *text = lines.join("\n");
        }
    }
    all
}

#[test]
fn a_new_name_changes_no_figure_of_any_quarter_on_any_day_and_can_be_taken_back() {
    for give in ["price", "net"] {
        let workshop = shed(give);
        let before = everything(&workshop);
        let pages = |workshop: &Workshop| {
            ["--for=workshop", "--for=beneficiary"].map(|whom| {
                let page = workshop.run(&["quarter", "2026-Q1", whom]).done();
                page.out
            })
        };
        let handed_out = pages(&workshop);
        let output = workshop.run(&["rename", "B-1", "B-0001"]).done();
        assert!(output.err.is_empty(), "{}", output.err);
        let after = everything(&workshop);
        // The correction of the late cost is there, and is the only one.
        let now = after
            .iter()
            .rev()
            .find(|one| one["quarter"] == "2026-Q2")
            .unwrap();
        let corrections = now["corrections"].as_array().unwrap();
        let of: Vec<&Value> = corrections.iter().map(|one| &one["bike"]).collect();
        assert_eq!(of, ["B-0001"], "{give}");
        for (before, after) in in_order(with_name(&before, "B-1", "B-0001"))
            .iter()
            .zip(in_order(after))
        {
            assert_eq!(*before, after, "{give}");
        }
        assert_eq!(pages(&workshop), handed_out, "{give}");
        workshop.run(&["check"]).done();

        let number = "5";
        assert!(output.out.contains("--undo 5"), "{}", output.out);
        workshop.run(&["import", "--undo", number]).done();
        assert_eq!(everything(&workshop), before, "{give}");
        assert_eq!(pages(&workshop), handed_out, "{give}");
    }
}

#[test]
fn what_undone_imports_had_written_bears_the_new_name_too() {
    let workshop = shed("net");
    // The costs are taken back after the closing and come in again.
    workshop
        .run(&["import", "--undo", "3", "--as-of", "2026-04-25"])
        .done();
    workshop.file("again.csv", COSTS);
    workshop
        .run(&["import", "costs", "@again.csv", "--as-of", "2026-04-28"])
        .done();
    let before = everything(&workshop);
    workshop.run(&["rename", "B-1", "B-1z"]).done();
    let after = everything(&workshop);
    for (before, after) in in_order(with_name(&before, "B-1", "B-1z"))
        .iter()
        .zip(in_order(after))
    {
        assert_eq!(*before, after);
    }
}

#[test]
fn files_find_the_bike_under_its_new_name_and_the_old_one_is_refused() {
    let workshop = shed("net");
    workshop.run(&["rename", "B-1", "M-1"]).done();
    workshop.run(&["rename", "M-1", "N-1"]).done();
    for (kind, text) in [("sales", SALES), ("costs", COSTS)] {
        workshop.file("new.csv", text.replace("B-1,", "N-1,"));
        let output = workshop.run(&["import", kind, "@new.csv"]).done();
        assert!(
            output.out.contains("Nothing changed."),
            "{kind}: {}",
            output.out
        );
        workshop.file("old.csv", text);
        workshop.refuses(&["import", kind, "@old.csv"], &["'B-1'", "Write N-1"]);
    }
    workshop.refuses(&["show", "B-1"], &["no such bike", "It is called N-1 now."]);
    workshop.refuses(
        &["rename", "M-1", "X"],
        &["no such bike", "It is called N-1 now."],
    );
    let shown = workshop.run(&["show", "N-1"]).done().out;
    let told = shown
        .split_once("Changed since it first came in")
        .unwrap()
        .1;
    assert!(
        told.contains("renamed from B-1 to M-1 (import 5)"),
        "{shown}"
    );
    assert!(
        told.contains("renamed from M-1 to N-1 (import 6)"),
        "{shown}"
    );
    // The name is free for another rename, and means that bike then.
    workshop.run(&["rename", "B-3", "B-1"]).done();
    let shown = workshop
        .run(&["show", "B-1", "--format", "json"])
        .done()
        .json();
    assert_eq!(shown["state"], "listed");
}

#[test]
fn renames_are_taken_back_the_last_first_and_never_onto_another_bike() {
    let workshop = shed("price");
    workshop.run(&["rename", "B-1", "M-1"]).done();
    workshop.run(&["rename", "B-3", "B-1"]).done();
    // Its name is another bike's now.
    workshop.refuses(
        &["import", "--undo", "5"],
        &["the id 'B-1' is that of another bike"],
    );
    // What brought the bike in was changed later.
    workshop.refuses(&["import", "--undo", "1"], &["Undo import 6 first."]);
    workshop.run(&["import", "--undo", "6"]).done();
    workshop.run(&["import", "--undo", "5"]).done();
    let ids = workshop.run(&["list"]).done().out;
    assert!(
        ids.contains("B-1 ") && ids.contains("B-3 ") && !ids.contains("M-1"),
        "{ids}"
    );
    let history = workshop.run(&["import", "--history"]).done().out;
    assert!(
        history.contains("B-1 -> M-1  taken back on 2026-05-02"),
        "{history}"
    );
}

#[test]
fn a_name_that_is_taken_or_cannot_be_one_is_refused() {
    let workshop = shed("price");
    workshop.refuses(
        &["rename", "B-1", "B-2"],
        &["'B-2' is that of another bike", "an id of its own"],
    );
    workshop.refuses(
        &["rename", "B-01", "X"],
        &["'B-01'", "no such bike", "Did you mean B-1?"],
    );
    workshop.refuses(&["rename", "B-1", " B-1 "], &["has that id already"]);
    for (bad, said) in [("", "an id"), ("  ", "an id"), ("a\tb", "U+0009")] {
        let output = workshop.run(&["rename", "B-1", bad]);
        output.says(2, &[said]);
    }
    let offer = |id: &str| {
        let words = [
            "offer",
            "--style",
            "city",
            "--condition",
            "3",
            "--asking",
            "40",
            "--bike",
            id,
        ];
        workshop.run(&words).done()
    };
    offer("O-1");
    workshop.refuses(&["rename", "B-1", "O-1"], &["an offer that was kept"]);
    // An offer goes with its bike.
    offer("B-3");
    workshop.run(&["rename", "B-3", "C-3"]).done();
    let shown = workshop.run(&["show", "C-3"]).done().out;
    assert!(shown.contains("Offer       2026-05-02"), "{shown}");
    let json = workshop
        .run(&["rename", "B-1", " C-1 ", "--format", "json"])
        .done()
        .json();
    assert_eq!((&json["old"], &json["new"]), (&"B-1".into(), &"C-1".into()));
}
