//! One row in memory: what was typed is what is read.

use super::hostile_tests::settings;
use crate::intake::{Costs, FileProblem, Gifts, Kind, Reader, RowResult};
use proptest::prelude::*;

fn row<K: Kind>(cells: &[&str]) -> RowResult<K> {
    let cells: Vec<String> = cells.iter().map(std::string::ToString::to_string).collect();
    let reader = Reader::<K>::of_one_row(&cells, "record", &settings());
    let mut reader = reader.unwrap();
    let row = reader.next_row().unwrap().unwrap();
    assert!(reader.next_row().unwrap().is_none());
    row
}

#[test]
fn texts_are_taken_as_they_were_typed() {
    let item = "'=a, \"b\"; c'";
    let cells = ["", "2024-04-01", "part", item, "1,234.50", "y"];
    let cost = row::<Costs>(&cells).unwrap().record;
    assert_eq!(cost.item.as_deref(), Some(item));
    assert_eq!((cost.bike, cost.amount.minor()), (None, 123_450));
}

#[test]
fn a_problem_names_our_column_and_what_was_typed() {
    let cells = ["B1", "2024-04-01", "prat", "chain\u{7}", "-5", ""];
    let problems = row::<Costs>(&cells).unwrap_err().problems;
    let found: Vec<(&str, &str)> = problems
        .iter()
        .map(|p| (p.column.as_str(), p.value.as_str()))
        .collect();
    assert_eq!(
        found,
        [
            ("kind", "prat"),
            ("item", "chain\u{fffd}"),
            ("amount", "-5")
        ]
    );
}

#[test]
fn a_text_beyond_every_measure_is_refused() {
    let long = "x".repeat(2 << 20);
    let cells = ["", "2024-04-01", "part", &long, "1", ""].map(String::from);
    let mut reader = Reader::<Costs>::of_one_row(&cells, "record", &settings()).unwrap();
    let problem = reader.next_row();
    assert!(matches!(problem, Err(FileProblem::LineTooLong { .. })));
}

proptest! {
    /// Any text without control characters comes back, blanks at its ends taken
    /// away.
    #[test]
    fn any_name_comes_back(name in "\\PC{1,20}") {
        prop_assume!(!name.trim().is_empty());
        let gift = row::<Gifts>(&["2024-04-01", &name, "1", &name]).unwrap().record;
        prop_assert_eq!(&gift.beneficiary, name.trim());
        prop_assert_eq!(gift.reference.as_deref(), Some(name.trim()));
    }
}
