//! Rows of gifts.csv: what is read, what cannot be true.

use crate::intake::file::hostile_tests::{read, settings};
use crate::intake::{BadRow, Gifts, Kind, Row, RowNote};
use crate::trade::{Day, Gift, Money};

const HEADER: &str = "on,beneficiary,amount,reference";

fn rows(text: &str) -> Vec<Result<Row<Gift>, BadRow>> {
    let (rows, problem) = read::<Gifts>(text);
    assert!(problem.is_none(), "{problem:?}");
    rows
}

fn gift(reference: Option<&str>) -> Gift {
    Gift {
        on: Day::constant(2024, 6, 20),
        beneficiary: "Reading room".into(),
        amount: Money::from_minor(6_000),
        reference: reference.map(String::from),
    }
}

#[test]
fn a_gift_is_read_field_by_field_in_any_dress() {
    let plain = rows(&format!("{HEADER}\n2024-06-20,Reading room,60,T-1\n"));
    let other = rows("Reference;AMOUNT;beneficiary;on\n T-1;60,00 €; Reading room ;20 Jun 2024\n");
    for found in [&plain, &other] {
        assert_eq!(found[0].as_ref().unwrap().record, gift(Some("T-1")));
    }
    assert_eq!(plain[0].as_ref().unwrap().notes, []);
    let trimmed = |column: &'static str, id: &str| RowNote::IdTrimmed {
        column,
        id: id.into(),
    };
    let notes = [
        trimmed("beneficiary", "Reading room"),
        trimmed("reference", "T-1"),
    ];
    assert_eq!(other[0].as_ref().unwrap().notes, notes);
}

#[test]
fn a_gift_without_a_reference_has_none() {
    for text in [
        format!("{HEADER}\n2024-06-20,Reading room,60,\n"),
        "on,beneficiary,amount\n2024-06-20,Reading room,60\n".to_string(),
    ] {
        assert_eq!(rows(&text).remove(0).unwrap().record, gift(None));
    }
}

#[test]
fn the_apostrophe_before_a_formula_is_taken_away_once() {
    let row = rows(&format!("{HEADER}\n2024-06-20,'@room,1,'+1\n")).remove(0);
    let gift = row.unwrap().record;
    let texts = (gift.beneficiary.as_str(), gift.reference.as_deref());
    assert_eq!(texts, ("@room", Some("+1")));
}

#[test]
fn what_cannot_be_a_gift_is_refused_with_its_columns() {
    let tomorrow = settings().today.tomorrow().unwrap();
    for (row, columns) in [
        (",Room,60,", &["on"][..]),
        ("2024-06-20,,60,", &["beneficiary"]),
        ("2024-06-20,Room,,", &["amount"]),
        ("2024-06-20,Room,0,", &["amount"]),
        ("2024-06-20,Room,-60,", &["amount"]),
        ("2024-06-20,Room,£60,", &["amount"]),
        ("2024-06-31,Room,60,", &["on"]),
        (&format!("{tomorrow},Room,60,"), &["on"]),
        ("2024-06-20,\"Room\n2\",60,", &["beneficiary"]),
        ("soon,,much,", &["on", "beneficiary", "amount"]),
    ] {
        let found = rows(&format!("{HEADER}\n{row}\n")).remove(0);
        let problems = found.expect_err(row).problems;
        let named: Vec<&str> = problems.iter().map(|p| p.column.as_str()).collect();
        assert_eq!(named, columns, "{row}");
        for problem in &problems {
            assert!(!problem.mend.contains("empty"), "it is needed: {problem}");
        }
    }
}

#[test]
fn money_handed_back_is_told_where_it_belongs() {
    let found = rows(&format!("{HEADER}\n2024-06-20,Room,-60,T-1\n")).remove(0);
    let problem = found.unwrap_err().problems.remove(0);
    assert_eq!(problem.expected, "an amount that is not negative");
    assert!(problem.mend.contains("wheelworth import --undo N"));
}

#[test]
fn three_columns_are_required() {
    let required = Gifts::FIELDS.iter().filter(|field| field.required);
    let names: Vec<&str> = required.map(|field| field.name).collect();
    assert_eq!(names, ["on", "beneficiary", "amount"]);
    for header in ["on,beneficiary", "on,amount", "beneficiary,amount"] {
        let (found, problem) = read::<Gifts>(format!("{header}\n2024-06-20,x\n"));
        assert!(found.is_empty() && problem.is_some(), "{header}");
    }
}
