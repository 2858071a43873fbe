//! Rows of an inspection sheet: what is read, what is refused.

use crate::intake::file::hostile_tests::read;
use crate::intake::{BadRow, InspectionSheet, Row, SheetRow, parse_tyre_size};
use crate::trade::inspection::{CheckResult, Measure, items};
use crate::trade::{SizeClass, Style};
use proptest::prelude::*;

fn rows(text: &str) -> Vec<Result<Row<SheetRow>, BadRow>> {
    let (rows, problem) = read::<InspectionSheet>(text);
    assert!(problem.is_none(), "{problem:?}");
    rows
}

fn one(row: &str) -> Result<(&'static str, CheckResult, Option<Measure>), BadRow> {
    let mut rows = rows(&format!("item;result;measure;note\n{row}\n"));
    rows.remove(0).map(|row| match row.record {
        SheetRow::Item { item, finding } => (item.name, finding.result, finding.measure),
        SheetRow::Heading => ("#", CheckResult::Unchecked, None),
    })
}

#[test]
fn results_items_and_measures_are_read_in_any_dress() {
    use CheckResult::{Fail, NotFitted, Pass, Unchecked};
    for (row, item, result, measure) in [
        ("front tyre;PASS;;", "front tyre", Pass, None),
        ("Front_Tyre;Fail;;", "front tyre", Fail, None),
        (" front  tyre ;;;", "front tyre", Unchecked, None),
        ("carbon parts;not fitted;;", "carbon parts", NotFitted, None),
        ("carbon parts;Not_Fitted;;", "carbon parts", NotFitted, None),
        // As people tick.
        ("front tyre;OK;;", "front tyre", Pass, None),
        ("front tyre;✓;;", "front tyre", Pass, None),
        ("front tyre;not ok;;", "front tyre", Fail, None),
        ("front tyre;?;;", "front tyre", Unchecked, None),
        ("carbon parts;none;;", "carbon parts", NotFitted, None),
        (
            "front pads;pass;1,5 mm;",
            "front pads",
            Pass,
            Some(Measure::Length(15)),
        ),
        (
            "front pads;pass;1.5;",
            "front pads",
            Pass,
            Some(Measure::Length(15)),
        ),
        (
            "front lever reach;pass;3.5in;",
            "front lever reach",
            Pass,
            Some(Measure::Length(889)),
        ),
        (
            "chain;fail;0,75 %;",
            "chain",
            Fail,
            Some(Measure::Percent(75)),
        ),
        (
            "chain;;0.5;",
            "chain",
            Unchecked,
            Some(Measure::Percent(50)),
        ),
        (
            "style;;Touring;",
            "style",
            Unchecked,
            Some(Measure::Style(Style::Touring)),
        ),
        ("style;pass;;", "style", Unchecked, None),
        (
            "gears;;9;",
            "gears",
            Unchecked,
            Some(Measure::Word("9 speed")),
        ),
        (
            "gears;;9-Speed;",
            "gears",
            Unchecked,
            Some(Measure::Word("9 speed")),
        ),
        (
            "seat tube;;\"21\"\"\";",
            "seat tube",
            Unchecked,
            Some(Measure::Length(5334)),
        ),
        (
            "seat tube;;medium;",
            "seat tube",
            Unchecked,
            Some(Measure::Size(SizeClass::M)),
        ),
        (
            "reach;;40,64;",
            "reach",
            Unchecked,
            Some(Measure::Length(4064)),
        ),
        (
            "bike;;'=B-1;",
            "bike",
            Unchecked,
            Some(Measure::Name("=B-1".into())),
        ),
        ("# front wheel;;;", "#", Unchecked, None),
    ] {
        assert_eq!(one(row).unwrap(), (item, result, measure), "{row}");
    }
}

#[test]
fn what_cannot_be_an_inspection_is_refused_with_its_column_and_a_mend() {
    for (row, column, mend) in [
        ("front tire;pass;;", "item", "Did you mean front tyre?"),
        (
            "tyre;pass;;",
            "item",
            "Did you mean front tyre or rear tyre?",
        ),
        ("flux capacitor;pass;;", "item", "--blank"),
        (";pass;;", "item", "Fill in item"),
        ("front tyre;psas;;", "result", "Did you mean pass?"),
        ("front tyre;yes;;", "result", "Write one of these words"),
        ("front tyre;pass;2 mm;", "measure", "note column"),
        ("front pads;pass;thin;", "measure", "Write millimetres"),
        ("front pads;pass;-1 mm;", "measure", "Write millimetres"),
        ("front pads;pass;900 mm;", "measure", "Check the number"),
        (
            "front pads;not_fitted;2 mm;",
            "measure",
            "write pass or fail",
        ),
        ("chain;pass;75 %;", "measure", "Check the decimal point."),
        ("chain;pass;0.5 mm;", "measure", "Write percent"),
        ("style;fail;road;", "result", "Take the result away"),
        ("style;;boat;", "measure", "Write one of these words."),
        ("gears;;27;", "measure", "Count the sprockets"),
        ("gears;;21 speed;", "measure", "Count the sprockets"),
        ("gears;;hub gaer;", "measure", "Did you mean hub gear?"),
        (
            "wheels;;doble wall;",
            "measure",
            "Did you mean double wall?",
        ),
        ("reach;;5 cm;", "measure", "Check the number and its unit"),
        ("front tyre size;;26x1.75;", "measure", "usually bead 559"),
        ("# frame;pass;;", "result", "Take the # away"),
    ] {
        let bad = one(row).unwrap_err();
        assert_eq!(bad.problems.len(), 1, "{row}: {:?}", bad.problems);
        assert_eq!(bad.problems[0].column, column, "{row}");
        assert!(
            bad.problems[0].mend.contains(mend),
            "{row}: {}",
            bad.problems[0].mend
        );
    }
}

#[test]
fn a_tyre_size_is_two_numbers_and_inches_are_never_guessed() {
    for text in [
        "40-622",
        " 40–622 ",
        "40x622",
        "40 × 622",
        "40-622 (28 x 1.50)",
        "40 - 622",
    ] {
        let size = parse_tyre_size(text).unwrap();
        assert_eq!((size.width, size.bead), (40, 622), "{text}");
    }
    for (text, usual) in [
        ("26x1.75", "559"),
        ("26 x 1 3/8", "590"),
        ("700x28C", "622"),
        ("29x2.1", "622"),
        ("27.5 x 2.2", "584"),
        ("27x1 1/4", "630"),
        ("20\" x 1.75", "406"),
    ] {
        let mend = parse_tyre_size(text).unwrap_err().mend;
        assert!(mend.contains(usual), "{text}: {mend}");
    }
    for text in [
        "", "622", "40-62", "40-6222", "4-622", "40-900", "40-622x", "-622", "x", "999-622",
    ] {
        assert!(parse_tyre_size(text).is_err(), "{text}");
    }
}

proptest! {
    #[test]
    fn any_cells_of_any_item_are_read_or_refused(
        at in any::<prop::sample::Index>(),
        result in "\\PC{0,6}|pass|fail|not_fitted|",
        measure in "\\PC{0,9}|[0-9.,]{1,16}( ?mm| ?%|in|\")?|[0-9]{1,3}[-x][0-9]{1,4}\\PC{0,3}|",
    ) {
        let all: Vec<_> = items().collect();
        let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
        let (result, measure) = (quoted(&result), quoted(&measure));
        let text = format!("item,result,measure\n{},{result},{measure}\n", at.get(&all).name);
        for row in rows(&text) {
            if let Err(bad) = row {
                for problem in bad.problems {
                    prop_assert!(!problem.column.is_empty());
                    prop_assert!(!problem.expected.is_empty() && !problem.mend.is_empty());
                }
            }
        }
    }
}
