//! Rows of costs.csv: what is read, what cannot be true.

use crate::intake::file::hostile_tests::{read, settings};
use crate::intake::{BadRow, Costs, Kind, Row, RowNote, RowProblem};
use crate::trade::{Cost, CostKind, Day, Money};

const HEADER: &str = "bike,on,kind,item,amount,from_box";

fn rows(text: &str) -> Vec<Result<Row<Cost>, BadRow>> {
    let (rows, problem) = read::<Costs>(text);
    assert!(problem.is_none(), "{problem:?}");
    rows
}

/// The problems of one row, which cannot be used.
fn problems(row: &str) -> Vec<RowProblem> {
    let found = rows(&format!("{HEADER}\n{row}\n")).remove(0);
    found.expect_err(row).problems
}

fn chain() -> Cost {
    Cost {
        bike: Some("B1".into()),
        on: Day::constant(2024, 4, 1),
        kind: CostKind::Part,
        item: Some("chain".into()),
        amount: Money::from_minor(1_250),
        from_box: false,
    }
}

#[test]
fn a_cost_is_read_field_by_field_in_any_dress() {
    let plain = rows(&format!("{HEADER}\nB1,2024-04-01,part,chain,12.50,\n"));
    let other = rows(
        "\u{feff}Amount;KIND;bike;on;item\r\n\"12,50 €\"; Part ;\" B1 \";1 Apr 2024; chain\r\n",
    );
    for found in [&plain, &other] {
        assert_eq!(found[0].as_ref().unwrap().record, chain());
    }
    assert_eq!(plain[0].as_ref().unwrap().notes, []);
    let trimmed = RowNote::IdTrimmed {
        column: "bike",
        id: "B1".into(),
    };
    assert_eq!(other[0].as_ref().unwrap().notes, [trimmed]);
}

#[test]
fn what_is_unknown_stays_unknown() {
    let found = rows("on,kind,amount\n2024-04-01,supply,0\n").remove(0);
    let cost = Cost {
        bike: None,
        kind: CostKind::Supply,
        item: None,
        amount: Money::ZERO,
        ..chain()
    };
    assert_eq!(found.unwrap().record, cost);
}

#[test]
fn yes_and_no_are_read_as_people_and_spreadsheets_write_them() {
    let from_box = |word: &str| {
        let row = format!("{HEADER}\nB1,2024-04-01,part,chain,12.50,{word}\n");
        rows(&row).remove(0).unwrap().record.from_box
    };
    for word in ["yes", "YES", "y", "True", "1", " Yes "] {
        assert!(from_box(word), "{word}");
    }
    for word in ["no", "No", "N", "FALSE", "0", "", "  "] {
        assert!(!from_box(word), "{word}");
    }
    for word in ["x", "ja", "2", "yes!", "maybe"] {
        let found = problems(&format!("B1,2024-04-01,part,chain,12.50,{word}"));
        assert_eq!((found.len(), found[0].column.as_str()), (1, "from_box"));
        assert!(found[0].expected.contains("yes or no (or y, n, true"));
    }
}

#[test]
fn every_kind_has_its_word_and_a_slip_is_recognised() {
    for kind in CostKind::ALL {
        let row = rows(&format!("on,kind,amount\n2024-04-01,{kind},1\n")).remove(0);
        assert_eq!(row.unwrap().record.kind, *kind);
    }
    for (slip, mend) in [
        ("parts", "Did you mean part?"),
        ("supplies", "Did you mean supply?"),
        ("purchse", "Did you mean purchase?"),
        ("wages", "Write one of these words."),
    ] {
        let found = problems(&format!("B1,2024-04-01,{slip},,5,"));
        assert_eq!(found[0].mend, mend, "{slip}");
        let words = "a kind of cost (purchase, part, supply, fee, travel, other)";
        assert_eq!(found[0].expected, words);
    }
}

#[test]
fn what_cannot_be_a_cost_is_refused_with_its_columns() {
    for (row, columns) in [
        ("B1,,part,chain,5,", &["on"][..]),
        ("B1,2024-04-01,,chain,5,", &["kind"]),
        ("B1,2024-04-01,part,chain,,", &["amount"]),
        ("B1,2024-02-30,part,chain,5,", &["on"]),
        ("B1,03/04/2024,part,chain,5,", &["on"]),
        ("B1,2025-01-01,part,chain,5,", &["on"]),
        ("B1,2024-04-01,part,chain,-5,", &["amount"]),
        ("B1,2024-04-01,part,chain,(5),", &["amount"]),
        ("B1,2024-04-01,part,chain,5.0001,", &["amount"]),
        ("B1,2024-04-01,part,chain,$5,", &["amount"]),
        ("B1,2024-04-01,part,\u{1b}[31m,5,", &["item"]),
        (
            "B1,someday,lunch,,much,perhaps",
            &["on", "kind", "amount", "from_box"],
        ),
    ] {
        let found = problems(row);
        let named: Vec<&str> = found.iter().map(|p| p.column.as_str()).collect();
        assert_eq!(named, columns, "{row}");
        for problem in found.iter().filter(|p| p.column != "from_box") {
            assert!(!problem.mend.contains("empty"), "it is needed: {problem}");
        }
    }
}

#[test]
fn a_refund_is_told_where_it_belongs() {
    let found = problems("B1,2024-04-01,part,chain,-5,");
    assert_eq!(found[0].expected, "an amount that is not negative");
    assert!(
        found[0]
            .mend
            .contains("correct the amount of the cost itself")
    );
}

#[test]
fn the_last_day_is_the_day_the_answer_is_for() {
    let today = settings().today;
    let row = rows(&format!("on,kind,amount\n{today},fee,1\n")).remove(0);
    assert_eq!(row.unwrap().record.on, today);
}

#[test]
fn the_apostrophe_before_a_formula_is_taken_away_once() {
    let row = rows(&format!("{HEADER}\n'=1,2024-04-01,part,''-x,1,\n")).remove(0);
    let cost = row.unwrap().record;
    assert_eq!(cost.bike.as_deref(), Some("=1"));
    assert_eq!(cost.item.as_deref(), Some("'-x"));
}

#[test]
fn three_columns_are_required() {
    let required = |field: &&crate::intake::Field| field.required;
    let names: Vec<&str> = Costs::FIELDS
        .iter()
        .filter(required)
        .map(|field| field.name)
        .collect();
    assert_eq!(names, ["on", "kind", "amount"]);
    for header in ["on,kind", "on,amount", "kind,amount"] {
        let (found, problem) = read::<Costs>(format!("{header}\n2024-04-01,part\n"));
        assert!(found.is_empty() && problem.is_some(), "{header}");
    }
}
