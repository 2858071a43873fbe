//! `inspect`: the blank sheet, and a filled-in one.

use crate::support::workshop::{Output, Workshop};
use wheelworth::trade::inspection::items;

/// The blank sheet as the program writes it.
pub fn blank() -> Vec<Vec<String>> {
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
pub fn filled(facts: &[(&str, &str)], found: &[(&str, &str, &str, &str)]) -> String {
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

/// What it is; its id is W-14.
pub const TOURER: [(&str, &str); 11] = [
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
pub fn tourer_as_found() -> String {
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
        ("marks", "fail", "", ""),
        ("rust", "pass", "4 %", ""),
        ("lights", "not_fitted", "", ""),
        ("road test", "unchecked", "", ""),
    ];
    filled(&TOURER, &found)
}

pub fn inspected(sheet: &str) -> Output {
    let workshop = Workshop::empty();
    workshop.file("sheet.csv", sheet);
    workshop.run(&["inspect", "@sheet.csv"])
}

pub fn inspected_json(sheet: &str) -> serde_json::Value {
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
    insta::assert_snapshot!(look("front tyre clearance"), @"SAFETY CHECK. Turn the wheel: the gap between tyre and frame, fork or guard at its narrowest. Limit: at least 1.6 mm. [16 CFR 1512.11(b); ISO 4210-2, 4.10.2]");
    insta::assert_snapshot!(look("rear pads"), @"SAFETY CHECK. Thickness left at the thinnest place; not past the mark, hardened or crooked. not_fitted for a drum brake, or a back-pedal one at the rear, once brakes above says the kind. Limit: at least 1 mm. [common practice; ISO 4210-2, 4.6.1]");
    insta::assert_snapshot!(look("crank"), @"Riveted: the chainrings cannot be taken off. Two piece: the axle is fixed to one arm. One of: one piece, cottered, riveted, square taper, splined, two piece, carbon cranks. [common practice]");
}

#[test]
fn a_blank_sheet_never_takes_the_place_of_another_file() {
    let workshop = Workshop::empty();
    let output = workshop.run(&["inspect", "--blank", "@sheet.csv"]).done();
    insta::assert_snapshot!(output.out, @"Wrote @sheet.csv: 69 items, front to back.");
    insta::assert_snapshot!(output.err, @"Next: fill it in at the bike, then wheelworth inspect @sheet.csv.");
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
    insta::assert_snapshot!(output.out, @r"
    Bike W-14: touring, condition 2 project, tier 2 sport, size M, near L
    NOT READY: 4 safety checks not passed: do not ride.

    Safety checks not passed, and what asks for each (16 CFR 1512: the bicycle rule of the United States; ISO 4210: the international standard)
      front tyre  fail        16 CFR 1512.10; common practice (side walls perished)
      front pads  fail        common practice; ISO 4210-2, 4.6.1 (hard as stone)
      rear tyre   fail        16 CFR 1512.10; common practice (side walls perished)
      rear pads   fail        common practice; ISO 4210-2, 4.6.1; measured 0.8 mm,
                              limit at least 1 mm

    Jobs
      new tyres                            for front tyre, rear tyre; safety, not
                                           optional
      new brake pads                       for front pads, rear pads; safety, not
                                           optional
      free the seat post                   for seat post moves (seized)
      straighten or change the chainrings  for chainrings (middle ring bent)

    Notes
      recall check  pass        2 May, list of the authority

    Condition 2 project
      39 of 100 points lost: by those alone it would be 3 rider, but at most 2 until every safety check has passed
      drive               7  chain worn 3, chainrings 4
      brakes              8  front pads 4, rear pads 4
      wheels and tyres    7  front tyre 3, rear tyre 3, rear wheel true worn 1
      controls            3  seat post moves 3
      cosmetics          14  marks 11, rust worn 3
      With the jobs done and checked: 4 tidy, if nothing else is found.

    Tier 2 sport
      frame material chrome moly 3, brakes cantilever 2, wheels double wall 3, gears 7 speed 1, crank square taper 2

    Size M, near L
      by seat tube 533.4 mm: M, near L
      by reach     406.4 mm: M, near L

    Front tyre 37-622, 37 mm wide on a bead of 622 mm: 28 inch, 29 inch or 700C
    Rear tyre 37-622, 37 mm wide on a bead of 622 mm: 28 inch, 29 inch or 700C

    What to do next
      1. Do the safety jobs: new tyres and new brake pads.
      2. Weigh the others against their cost: free the seat post and straighten or change the chainrings.
      3. Inspect it again and fill in a new sheet: a repaired check counts as passed only after a new look.
      4. With every safety check passed, ride the road test and note it.

    Cautions
      1. rear pads: ticked pass, but measured 0.8 mm, limit at least 1 mm. The measure decides: it counts as fail. Measure again, or correct the sheet.
      2. No road test yet: with every safety check passed, ride it yourself before anybody else does.
      3. lights: failed or not fitted. Many places ask for them on the road: see the local rules before it is sold.
      4. A check list does not certify a bike. The standards cited are for new bikes, and a pass does not show that this bike meets them; limits without a clause are common practice. When in doubt have a qualified mechanic look, and keep to the local rules. Motor and battery are not on this list.
      5. Before it is sold, look it up once more in the recalls of your local authority: a recalled bike must not be passed on.
    ");
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
        ("marks", "fail", "", "light, on the top tube"),
        ("rust", "pass", "2 %", ""),
        ("road test", "pass", "", "8 km"),
    ];
    let output = inspected(&filled(&TOURER, &found)).done();
    insta::assert_snapshot!(output.out, @r"
    Bike W-14: touring, condition 4 tidy, tier 2 sport, size M, near L
    Ready to ride as far as this sheet goes: every safety check and the road test have passed.

    Notes
      recall check  pass        9 May, list of the authority
      marks         fail        light, on the top tube
      road test     pass        8 km

    Condition 4 tidy
      11 of 100 points lost: by those alone it would be 4 tidy
      cosmetics          11  marks 11

    Tier 2 sport
      frame material chrome moly 3, brakes cantilever 2, wheels double wall 3, gears 7 speed 1, crank square taper 2

    Size M, near L
      by seat tube 533.4 mm: M, near L
      by reach     406.4 mm: M, near L

    Front tyre 37-622, 37 mm wide on a bead of 622 mm: 28 inch, 29 inch or 700C
    Rear tyre 37-622, 37 mm wide on a bead of 622 mm: 28 inch, 29 inch or 700C

    What to do next
      1. Price it: wheelworth price --style touring --condition 4 --tier 2 --seat-tube 533.4mm

    Cautions
      1. A check list does not certify a bike. The standards cited are for new bikes, and a pass does not show that this bike meets them; limits without a clause are common practice. When in doubt have a qualified mechanic look, and keep to the local rules. Motor and battery are not on this list.
      2. Before it is sold, look it up once more in the recalls of your local authority: a recalled bike must not be passed on.
    ");
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
    insta::assert_snapshot!(head.join("\n"), @r"
    @sheet.csv: style not given, condition not known, tier not known, size not known
    NOT INSPECTED: do not ride. Fill in the sheet.
    ");
    assert!(!output.out.to_lowercase().contains("ready to ride"));
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
fn what_the_sheet_says_can_be_priced_as_it_stands() {
    let output = inspected(&filled(&TOURER, &[])).done();
    let command = output.out.split("Price it: wheelworth ").nth(1).unwrap();
    let words: Vec<&str> = command.lines().next().unwrap().split(' ').collect();
    assert_eq!(words[..3], ["price", "--style", "touring"]);
    let priced = Workshop::busy().run(&words).done();
    assert!(
        priced
            .out
            .contains("condition 5 mint, tier 2 sport, 53.34 cm (M)"),
        "{}",
        priced.out
    );
}
