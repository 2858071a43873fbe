//! `inspect` with sheets as they should not be, and as spreadsheets write them.

use super::inspect::{filled, inspected, inspected_json};
use crate::support::workshop::Workshop;

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
    insta::assert_snapshot!(cautions, @r"
    1. front axle: ticked not_fitted, but no sound bike is without it: it counts as fail.
    2. front pads: ticked not_fitted, but the sheet says brakes: dual pivot. It counts as unchecked; correct the one that is wrong.
    3. carbon parts: ticked not_fitted, but the sheet says frame material: carbon. It counts as unchecked; correct the one that is wrong.
    4. front rim: measured, but no result. A measure alone is no pass: look at the rest and tick it.
    5. recall check: passed without a note. Write down the day and where you looked: recalls come later, too.
    6. Too few facts for a tier (at least three are needed). Note in the measure column: wheels, gears and crank.
    7. seat tube 480 mm (XS) and top tube 600 mm (XL) are more than one size apart, so no size is given. Measure both again; a sloping top tube makes the seat tube short.
    8. The tyres are 28-622 in front and 28-571 behind: two sizes of wheel. Check that it was built so.
    9. A check list does not certify a bike. The standards cited are for new bikes, and a pass does not show that this bike meets them; limits without a clause are common practice. When in doubt have a qualified mechanic look, and keep to the local rules. Motor and battery are not on this list.
    10. Before it is sold, look it up once more in the recalls of your local authority: a recalled bike must not be passed on.
    ");
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
    insta::assert_snapshot!(output.err, @r"
    error: 5 problems in @sheet.csv; the bike was not judged

    error: @sheet.csv, line 2, column 1 'item': 'front tire', expected an item of the inspection sheet
      |
    2 | front tire,pass,,
      | ^^^^^^^^^^
      |
      = help: Did you mean front tyre?

    error: @sheet.csv, line 3, column 2 'result': 'psas', expected a result (pass, fail, unchecked, not_fitted)
      |
    3 | front tyre,psas,,
      |            ^^^^
      |
      = help: Did you mean pass?

    error: @sheet.csv, line 5, column 3 'measure': '75 %', expected at most 3 %
      |
    5 | chain,pass,75 %,
      |            ^^^^
      |
      = help: Check the decimal point.

    error: @sheet.csv, line 6, column 1 'item': 'rear tyre', expected each item once; rear tyre stands on line 4 already
      |
    6 | rear tyre,fail,,again
      | ^^^^^^^^^
      |
      = help: Keep the row that is right and take the other out.

    error: @sheet.csv, line 7, column 3 'measure': '26x1.75', expected a tyre size such as 40-622 (ISO 5775)
      |
    7 | front tyre size,,26x1.75,
      |                  ^^^^^^^
      |
      = help: One name in inches has several rims; this one is usually bead 559: look for two numbers such as 47-559 on the side wall and write those.
    help: Fix these rows and try again.
    ");
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
        (&["inspect", "@other.csv"], "wheelworth import sales FILE"),
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
