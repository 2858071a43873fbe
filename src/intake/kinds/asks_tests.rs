//! Rows of asks.csv: what is read, what cannot be true.

use crate::intake::file::hostile_tests::{read, settings};
use crate::intake::{Asks, BadRow, Kind, Row, RowNote};
use crate::trade::{AskChange, Day, Money};

fn rows(text: &str) -> Vec<Result<Row<AskChange>, BadRow>> {
    let (rows, problem) = read::<Asks>(text);
    assert!(problem.is_none(), "{problem:?}");
    rows
}

fn change(bike: &str, on: Day, minor: i64) -> AskChange {
    AskChange {
        bike: bike.into(),
        on,
        ask: Money::from_minor(minor),
    }
}

#[test]
fn a_price_change_is_read_field_by_field_in_any_dress() {
    let day = Day::constant(2024, 4, 1);
    let plain = rows("bike,on,ask\nB1,2024-04-01,1234.50\n");
    let other = rows("\u{feff}ask;Bike;on\r\n\"1.234,50 €\";\" B1 \";2024-04-01\r\n");
    for found in [&plain, &other] {
        let row = found[0].as_ref().unwrap();
        assert_eq!(row.record, change("B1", day, 123_450));
    }
    assert_eq!(plain[0].as_ref().unwrap().notes, []);
    let trimmed = RowNote::IdTrimmed {
        column: "bike",
        id: "B1".into(),
    };
    assert_eq!(other[0].as_ref().unwrap().notes, [trimmed]);
}

#[test]
fn the_last_day_is_the_day_the_answer_is_for() {
    let today = settings().today;
    let row = |day: Day| rows(&format!("bike,on,ask\nB1,{day},90\n")).remove(0);
    assert_eq!(row(today).unwrap().record, change("B1", today, 9000));
    let bad = row(today.tomorrow().unwrap()).unwrap_err();
    assert_eq!((bad.problems.len(), bad.problems[0].column_number), (1, 2));
}

#[test]
fn what_cannot_be_a_price_change_is_refused_with_its_columns() {
    for (row, columns) in [
        (",2024-04-01,90", &["bike"][..]),
        ("B1,,90", &["on"]),
        ("B1,2024-04-01,", &["ask"]),
        (",,", &[]), // a blank row is skipped
        ("B1,2024-02-30,90", &["on"]),
        ("B1,03/04/2024,90", &["on"]),
        ("B1,2025-01-01,90", &["on"]),
        ("B1,2024-04-01,0", &["ask"]),
        ("B1,2024-04-01,-5", &["ask"]),
        ("B1,2024-04-01,90.0001", &["ask"]),
        ("B1,2024-04-01,$90", &["ask"]),
        ("B1,someday,offers", &["on", "ask"]),
    ] {
        let found = rows(&format!("bike,on,ask\nB0,2024-04-01,90\n{row}\n"));
        assert!(found[0].is_ok());
        let bad = found.into_iter().nth(1).map(Result::unwrap_err);
        let problems = bad.map(|bad| bad.problems).unwrap_or_default();
        let named: Vec<&str> = problems.iter().map(|p| p.column.as_str()).collect();
        assert_eq!(named, columns, "{row}");
        for problem in &problems {
            assert!(
                !problem.mend.contains("empty"),
                "every cell is needed: {problem}"
            );
        }
    }
}

#[test]
fn every_column_is_required() {
    assert!(Asks::FIELDS.iter().all(|field| field.required));
    for header in ["bike,on", "bike,ask", "on,ask"] {
        let (found, problem) = read::<Asks>(format!("{header}\nB1,2024-04-01\n"));
        assert!(found.is_empty() && problem.is_some(), "{header}");
    }
}
