//! `inspect`: the blank sheet, a filled-in one, and sheets as they should not be.

use crate::support::workshop::{Output, Workshop};
use wheelworth::trade::inspection::items;

/// The blank sheet as the program writes it.
fn blank() -> Vec<Vec<String>> {
    let workshop = Workshop::empty();
    workshop.run(&["inspect", "--blank", "@sheet.csv"]).done();
    let text = workshop.text("sheet.csv");
    let rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes())
        .into_records();
    rows.map(|row| row.unwrap().iter().map(String::from).collect())
        .collect()
}

/// The blank sheet filled in: facts, then everything passed but these.
fn filled(facts: &[(&str, &str)], found: &[(&str, &str, &str, &str)]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for mut row in blank() {
        let item = row[0].clone();
        let check = items().any(|i| i.name == item && i.as_check().is_some());
        if let Some((_, fact)) = facts.iter().find(|(name, _)| *name == item) {
            row[3] = (*fact).to_string();
        }
        if check {
            row[2] = "pass".into();
        }
        if let Some((_, result, measure, note)) = found.iter().find(|(name, ..)| *name == item) {
            (row[2], row[3], row[4]) = ((*result).into(), (*measure).into(), (*note).into());
        }
        writer.write_record(&row).unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

const TOURER: [(&str, &str); 11] = [
    ("bike", "W-14"),
    ("style", "touring"),
    ("frame material", "chrome moly"),
    ("brakes", "cantilever"),
    ("wheels", "double wall"),
    ("gears", "7"),
    ("crank", "square taper"),
    ("front tyre size", "37-622"),
    ("rear tyre size", "37-622"),
    ("seat tube", "21in"),
    ("reach", "16in"),
];

/// A touring bike out of a damp cellar.
fn tourer_as_found() -> String {
    let found = [
        ("recall check", "pass", "", "2 May, list of the authority"),
        ("serial number", "pass", "", ""),
        ("front tyre", "fail", "", "side walls perished"),
        ("rear tyre", "fail", "", "side walls perished"),
        ("front tread", "pass", "", ""),
        ("front pads", "fail", "0.5 mm", "hard as stone"),
        ("rear pads", "pass", "0.8 mm", ""),
        ("front wheel true", "pass", "1.5 mm", ""),
        ("rear wheel true", "pass", "2.5 mm", ""),
        ("carbon parts", "not_fitted", "", ""),
        ("suspension", "not_fitted", "", ""),
        ("seat post moves", "fail", "", "seized"),
        ("chain", "pass", "0.5 %", ""),
        ("chainrings", "fail", "", "middle ring bent"),
        ("rust", "pass", "4 %", ""),
        ("lights", "not_fitted", "", ""),
        ("road test", "unchecked", "", ""),
    ];
    filled(&TOURER, &found)
}

fn inspected(sheet: &str) -> Output {
    let workshop = Workshop::empty();
    workshop.file("sheet.csv", sheet);
    workshop.run(&["inspect", "@sheet.csv"])
}

fn inspected_json(sheet: &str) -> serde_json::Value {
    let workshop = Workshop::empty();
    workshop.file("sheet.csv", sheet);
    workshop
        .run(&["inspect", "@sheet.csv", "--format", "json"])
        .done()
        .json()
}

#[test]
fn the_blank_sheet_walks_round_the_bike() {
    let rows = blank();
    assert_eq!(
        rows[0],
        ["item", "how to look", "result", "measure", "note"]
    );
    let headings: Vec<&str> = rows
        .iter()
        .filter_map(|row| row[0].strip_prefix("# "))
        .collect();
    assert_eq!(
        headings,
        [
            "how to fill in",
            "the bike",
            "front wheel",
            "front brake",
            "steering",
            "frame and fork",
            "saddle and seat post",
            "rear wheel",
            "rear brake",
            "drive",
            "fittings",
            "finish",
            "road test",
        ]
    );
    let names: Vec<&str> = rows[1..]
        .iter()
        .map(|row| row[0].as_str())
        .filter(|n| !n.starts_with('#'))
        .collect();
    let ours: Vec<&str> = items().map(|item| item.name).collect();
    assert_eq!(names, ours);
    for row in &rows[1..] {
        assert!(row[2..].iter().all(String::is_empty), "{row:?}");
        assert!(row[1].len() <= 300, "{}", row[1]);
    }
    let look = |name: &str| rows.iter().find(|row| row[0] == name).unwrap()[1].clone();
    insta::assert_snapshot!(look("front tyre clearance"), @"");
    insta::assert_snapshot!(look("rear pads"), @"");
    insta::assert_snapshot!(look("crank"), @"");
}

#[test]
fn a_blank_sheet_never_takes_the_place_of_another_file() {
    let workshop = Workshop::empty();
    let output = workshop.run(&["inspect", "--blank", "@sheet.csv"]).done();
    insta::assert_snapshot!(output.out, @"");
    insta::assert_snapshot!(output.err, @"");
    // Once more over the unchanged blank is no loss.
    workshop.run(&["inspect", "--blank", "@sheet.csv"]).done();
    let begun = workshop
        .text("sheet.csv")
        .replacen("front tyre,", "front tyre, ", 1);
    for there in [begun.as_str(), "my notes\n"] {
        workshop.file("sheet.csv", there);
        let output = workshop.run(&["inspect", "--blank", "@sheet.csv"]);
        output.says(
            1,
            &[
                "@sheet.csv: is there already and is no blank sheet",
                "Name another file for --blank",
            ],
        );
        assert_eq!(workshop.text("sheet.csv"), there);
    }
    let output = workshop.run(&["inspect", "--blank", "@no/folder.csv"]);
    output.says(1, &["cannot be written", "Name another file for --blank"]);
    assert_eq!(workshop.files(), ["sheet.csv"]);
}

#[test]
fn a_touring_bike_from_a_damp_cellar() {
    let output = inspected(&tourer_as_found()).done();
    insta::assert_snapshot!(output.out, @"");
}

#[test]
fn the_same_bike_for_a_program() {
    let json = inspected_json(&tourer_as_found());
    assert_eq!(json["bike"], "W-14");
    assert_eq!(
        (&json["condition"], &json["tier"], &json["ready"]),
        (&2.into(), &2.into(), &false.into())
    );
    assert_eq!(json["size"]["class"], "M");
    assert_eq!(json["size"]["near"], "L");
    let gates = json["gates"].as_array().unwrap();
    let items: Vec<&str> = gates
        .iter()
        .map(|gate| gate["item"].as_str().unwrap())
        .collect();
    assert_eq!(
        items,
        ["front tyre", "front pads", "rear tyre", "rear pads"]
    );
    let rear_pads = serde_json::json!({
        "item": "rear pads", "state": "fail", "measure": "0.8 mm", "note": null,
        "why": "common practice; ISO 4210-2, 4.6.1; measured 0.8 mm, limit at least 1 mm",
    });
    assert_eq!(gates[3], rear_pads);
    let jobs = [
        "new tyres",
        "new brake pads",
        "free the seat post",
        "straighten or change the chainrings",
    ];
    assert_eq!(json["jobs"], serde_json::json!(jobs));
    let first = serde_json::json!({"job": "new tyres", "items": ["front tyre", "rear tyre"], "safety": true});
    assert_eq!(json["job_items"][0], first);
    assert_eq!(json["tyres"]["rear"]["bead"], 622);
    assert_eq!(json["road_test"], "unchecked");
    let points: u64 = json["lost"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["points"].as_u64().unwrap())
        .sum();
    assert_eq!(json["points"], points);
    assert!(
        json["cautions"]
            .as_array()
            .unwrap()
            .iter()
            .all(serde_json::Value::is_string)
    );
}

#[test]
fn mended_and_ridden_it_is_ready() {
    let found = [
        ("recall check", "pass", "", "9 May, list of the authority"),
        ("front pads", "pass", "4 mm", ""),
        ("rear pads", "pass", "4 mm", ""),
        ("carbon parts", "not fitted", "", ""),
        ("suspension", "NOT_FITTED", "", ""),
        ("rust", "pass", "2 %", ""),
        ("road test", "pass", "", "8 km"),
    ];
    let output = inspected(&filled(&TOURER, &found)).done();
    insta::assert_snapshot!(output.out, @"");
}

#[test]
fn rows_may_come_in_any_order_and_be_left_out() {
    let sheet = tourer_as_found();
    let mut lines: Vec<&str> = sheet.lines().collect();
    lines[1..].reverse();
    let reversed = lines.join("\n");
    assert_eq!(inspected(&sheet), inspected(&reversed));
    let no_brake: Vec<&str> = sheet
        .lines()
        .filter(|line| !line.starts_with("front brake,"))
        .collect();
    let json = inspected_json(&no_brake.join("\n"));
    let brake = json["gates"]
        .as_array()
        .unwrap()
        .iter()
        .find(|gate| gate["item"] == "front brake")
        .unwrap();
    assert_eq!(brake["state"], "unchecked");
    assert!(brake["why"].as_str().unwrap().starts_with("16 CFR 1512.5"));
}

#[test]
fn a_blank_sheet_is_a_bike_that_was_not_inspected() {
    let workshop = Workshop::empty();
    workshop.run(&["inspect", "--blank", "@sheet.csv"]).done();
    let output = workshop.run(&["inspect", "@sheet.csv"]).done();
    let head: Vec<&str> = output.out.lines().take(2).collect();
    insta::assert_snapshot!(head.join("\n"), @"");
    assert!(!output.out.to_lowercase().contains("ready to ride as far"));
    let json = workshop
        .run(&["inspect", "@sheet.csv", "--format", "json"])
        .done()
        .json();
    assert_eq!(
        (&json["condition"], &json["points"]),
        (&().into(), &().into())
    );
    assert_eq!(json["ready"], false);
}

#[test]
fn a_spreadsheet_with_semicolons_and_decimal_commas_is_read() {
    let sheet = "\u{feff}Item;Result;Measure;Note\r\nstyle;;road;\r\nrear pads;PASS;0,8 mm;\r\nchain;pass;0,6 %;\r\nfront rim;pass;1,3;\r\n";
    let json = inspected_json(sheet);
    let pads = json["gates"]
        .as_array()
        .unwrap()
        .iter()
        .find(|gate| gate["item"] == "rear pads")
        .unwrap();
    assert_eq!(
        (&pads["state"], &pads["measure"]),
        (&"fail".into(), &"0.8 mm".into())
    );
    assert_eq!(json["style"], "road");
}

#[test]
fn contradictions_are_told_and_taken_the_safe_way() {
    let facts = [
        ("style", "road"),
        ("frame material", "carbon"),
        ("brakes", "dual pivot"),
    ];
    let found = [
        ("carbon parts", "not_fitted", "", ""),
        ("front pads", "not_fitted", "", ""),
        ("front axle", "not_fitted", "", ""),
        ("front rim", "", "1.5 mm", ""),
        ("front tyre size", "", "28-622", ""),
        ("rear tyre size", "", "28-571", ""),
        ("seat tube", "", "48cm", ""),
        ("top tube", "", "60cm", ""),
    ];
    let output = inspected(&filled(&facts, &found)).done();
    let cautions = output.out.split("Cautions\n").nth(1).unwrap();
    insta::assert_snapshot!(cautions, @"");
    let json = inspected_json(&filled(&facts, &found));
    assert_eq!(json["size"]["class"], serde_json::Value::Null);
    assert_eq!(json["size"]["measure_again"], true);
    let gates = json["gates"].as_array().unwrap();
    let states: Vec<_> = gates
        .iter()
        .map(|g| (g["item"].as_str().unwrap(), g["state"].as_str().unwrap()))
        .collect();
    assert_eq!(
        states,
        [
            ("front rim", "unchecked"),
            ("front axle", "not_fitted"),
            ("front pads", "unchecked"),
            ("carbon parts", "unchecked"),
        ]
    );
}

#[test]
fn a_cracked_frame_is_good_only_for_its_parts() {
    let found = [
        ("frame", "fail", "", "crack at the head tube"),
        ("front tyre", "fail", "", ""),
    ];
    let output = inspected(&filled(&[("style", "city")], &found)).done();
    let json = inspected_json(&filled(&[("style", "city")], &found));
    assert_eq!(
        (&json["condition"], &json["condition_when_mended"]),
        (&1.into(), &().into())
    );
    assert!(output.out.contains("Take it apart"), "{}", output.out);
    assert!(!output.out.contains("With the jobs done"), "{}", output.out);
}

#[test]
fn a_childs_bike_is_sized_by_its_wheels() {
    let facts = [
        ("style", "kids"),
        ("rear tyre size", "47-406"),
        ("seat tube", "30cm"),
    ];
    let output = inspected(&filled(&facts, &[])).done();
    assert!(
        output
            .out
            .contains("kids, condition 5 mint, tier not known, size not known"),
        "{}",
        output.out
    );
    assert!(
        output
            .out
            .contains("sized by its wheels, not by its frame: the tyres are 47-406"),
        "{}",
        output.out
    );
}

#[test]
fn bad_rows_are_all_told_with_line_column_and_mend() {
    let workshop = Workshop::new();
    workshop.file(
        "sheet.csv",
        "item,result,measure,note\nfront tire,pass,,\nfront tyre,psas,,\nrear tyre,pass,,\nchain,pass,75 %,\n\
         rear tyre,fail,,again\nfront tyre size,,26x1.75,\n",
    );
    let output = workshop.refuses(
        &["inspect", "@sheet.csv"],
        &["5 problems in @sheet.csv; the bike was not judged"],
    );
    insta::assert_snapshot!(output.err, @"");
}

#[test]
fn files_that_are_no_sheet_are_refused_with_a_mend() {
    let workshop = Workshop::new();
    workshop.file("empty.csv", "");
    workshop.file("header.csv", "item,result\n");
    workshop.file("other.csv", "bike,style\nB-1,road\n");
    workshop.file("column.csv", "item,reslt,how to look\nfront tyre,pass,\n");
    for (words, said) in [
        (&["inspect", "@nowhere.csv"][..], "cannot be opened"),
        (&["inspect", "@empty.csv"], "is empty"),
        (&["inspect", "@header.csv"], "has a header and no rows"),
        (&["inspect", "@other.csv"], "wheelworth inspect"),
        (&["inspect", "@column.csv"], "reslt"),
        (
            &["inspect", "@sheet.csv", "--column", "item"],
            "expected OURS=THEIRS",
        ),
    ] {
        let output = workshop.run(words);
        assert!(
            output.err.contains(said) && output.err.contains("\nhelp: "),
            "{words:?}\n{}",
            output.err
        );
        assert_eq!(output.out, "");
    }
    workshop.file("theirs.csv", "part,verdict\nfront tyre,pass\n");
    let mapped = [
        "inspect",
        "@theirs.csv",
        "--column",
        "item=part",
        "--column",
        "result=verdict",
    ];
    workshop.run(&mapped).done();
    for words in [
        &["inspect"][..],
        &["inspect", "@sheet.csv", "--blank", "@b.csv"],
    ] {
        assert_eq!(workshop.run(words).code, 2);
    }
}
