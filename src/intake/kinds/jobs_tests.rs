//! Rows of jobs.csv and parts.csv: what is read, what cannot be true.

use crate::intake::file::hostile_tests::read;
use crate::intake::{BadRow, Jobs, Parts, Row, RowProblem};
use crate::trade::inspection::item;
use crate::trade::{Condition, Job, Money, Part, Tier};

const HEADER: &str = "job,cost,hours,from_box,safety,clears,condition_after,tier_after";

fn jobs(text: &str) -> Vec<Result<Row<Job>, BadRow>> {
    let (rows, problem) = read::<Jobs>(text);
    assert!(problem.is_none(), "{problem:?}");
    rows
}

fn parts(text: &str) -> Vec<Result<Row<Part>, BadRow>> {
    let (rows, problem) = read::<Parts>(text);
    assert!(problem.is_none(), "{problem:?}");
    rows
}

/// The problems of one job, which cannot be used.
fn problems(row: &str) -> Vec<RowProblem> {
    let found = jobs(&format!("{HEADER}\n{row}\n")).remove(0);
    found.expect_err(row).problems
}

fn tyres() -> Job {
    Job {
        name: "new tyres".into(),
        cost: Money::from_minor(2_850),
        hours: Some(50),
        from_box: false,
        safety: Some(true),
        clears: vec![item("front tyre").unwrap(), item("rear tyre").unwrap()],
        condition_after: Some(Condition::Rider),
        tier_after: Some(Tier::Sport),
    }
}

#[test]
fn a_job_is_read_field_by_field_in_any_dress() {
    let plain = jobs(&format!(
        "{HEADER}\nnew tyres,28.50,0.5,no,yes,\"front tyre, rear tyre\",3,2\n"
    ));
    let other = jobs(
        "\u{feff}Job;SAFETY;cost;Hours;clears;Condition_after;tier_after;note\r\n\
         new tyres;Y;28,50 €;0,5 h;\"Front-Tyre; rear_tyre;\";rider;Sport;from the shop\r\n",
    );
    for found in [&plain, &other] {
        assert_eq!(found[0].as_ref().unwrap().record, tyres());
    }
}

#[test]
fn what_is_not_said_of_a_job_stays_unsaid() {
    let found = jobs("job,cost\npolish,0\n").remove(0).unwrap().record;
    let polish = Job {
        name: "polish".into(),
        cost: Money::ZERO,
        hours: None,
        safety: None,
        clears: Vec::new(),
        condition_after: None,
        tier_after: None,
        ..tyres()
    };
    assert_eq!(found, polish);
}

#[test]
fn a_job_that_cannot_be_is_refused_with_its_mend() {
    for (row, column, mend) in [
        ("x,,,,,,,", "cost", "Fill in cost"),
        (",5,,,,,,", "job", "Fill in job"),
        ("x,-5,,,,,,", "cost", "Write 0 for a job"),
        ("x,5 USD,,,,,,", "cost", "Convert the amount"),
        ("x,5,-1,,,,,", "hours", "Take the minus sign away"),
        ("x,5,,perhaps,,,,", "from_box", "Write one of these words"),
        ("x,5,,,maybe,,,", "safety", "Write one of these words"),
        ("x,5,,,,front tire,,", "clears", "Did you mean front tyre?"),
        ("x,5,,,,frnt tyre,,", "clears", "Did you mean front tyre?"),
        (
            "x,5,,,,brake pads,,",
            "clears",
            "Did you mean front pads or rear pads?",
        ),
        ("x,5,,,,style,,", "clears", "Write checks as in the sheet"),
        ("x,5,,,,,tiddy,", "condition_after", "Did you mean tidy?"),
        ("x,5,,,,,6,", "condition_after", "Write one of these words"),
        ("x,5,,,,,,clubb", "tier_after", "Did you mean club?"),
    ] {
        let found = problems(row);
        assert_eq!(found.len(), 1, "{row}: {found:?}");
        assert_eq!((found[0].line, found[0].column.as_str()), (2, column));
        assert!(found[0].mend.contains(mend), "{row}: {}", found[0].mend);
    }
    let all = problems("x,-5,-1,perhaps,maybe,front tire,6,9");
    assert_eq!(all.len(), 7, "{all:?}");
}

#[test]
fn a_part_is_read_with_its_chance_either_way() {
    let found = parts("part;price;chance\nwheels;40,00 €;60 %\nstem;8;0,25\nframe;0;1\n");
    let found: Vec<(String, i64, f64)> = found
        .into_iter()
        .map(|row| row.unwrap().record)
        .map(|part| (part.name, part.price.minor(), part.chance))
        .collect();
    let expected = [
        ("wheels".to_string(), 4_000, 0.6),
        ("stem".to_string(), 800, 0.25),
        ("frame".to_string(), 0, 1.0),
    ];
    assert_eq!(found, expected);
}

#[test]
fn a_chance_that_cannot_be_is_refused_with_its_mend() {
    for (chance, mend) in [
        ("60", "Write the % behind it"),
        ("1.01", "Write the % behind it"),
        ("101 %", "Nothing is surer than 100 %"),
        ("-0.5", "Write one chance in two as 0.5"),
        ("likely", "Write one chance in two as 0.5"),
        ("", "Fill in chance"),
    ] {
        let found = parts(&format!("part,price,chance\nwheels,40,{chance}\n")).remove(0);
        let found = found.expect_err(chance).problems;
        assert_eq!((found.len(), found[0].column.as_str()), (1, "chance"));
        assert!(found[0].mend.contains(mend), "{chance}: {}", found[0].mend);
    }
}

#[test]
fn a_value_that_is_quoted_does_not_turn_the_writing() {
    let problem = problems("tyres,1,,,,clea\u{202e}ne,,").remove(0);
    assert!(problem.expected.contains("'clea\u{fffd}ne'"), "{problem}");
    assert!(!problem.to_string().contains('\u{202e}'), "{problem:?}");
}
