//! Features of a bike, hours and tyre sizes: which one by the first byte, then the
//! text.

use super::{TODAY, choice};
use std::fmt::{Debug, Display};
use wheelworth::intake::{
    CellProblem, parse_condition, parse_hours, parse_made, parse_outcome, parse_seat_tube,
    parse_style, parse_tier, parse_tyre_size,
};
use wheelworth::report::export::record_cells;
use wheelworth::trade::{Style, Years};

pub fn check(data: &[u8]) {
    let Some((first, rest)) = data.split_first() else {
        return;
    };
    let Ok(text) = std::str::from_utf8(rest) else {
        return;
    };
    match choice(*first, 8) {
        0 => word(text, parse_style),
        1 => word(text, parse_outcome),
        2 => {
            word(text, parse_condition);
            grade(text, |text| {
                parse_condition(text).map(wheelworth::trade::Condition::grade)
            });
        }
        3 => {
            word(text, parse_tier);
            grade(text, |text| {
                parse_tier(text).map(wheelworth::trade::Tier::grade)
            });
        }
        4 => seat_tube(text),
        5 => made(text),
        6 => hours(text),
        _ => word(text, parse_tyre_size),
    }
}

fn told(problem: &CellProblem) {
    assert!(
        !problem.expected.is_empty() && problem.mend.ends_with(['.', '?']),
        "{problem:?}"
    );
}

/// What is read and written is read as the same.
fn word<T: Display + Debug + PartialEq>(text: &str, parse: fn(&str) -> Result<T, CellProblem>) {
    match parse(text) {
        Ok(found) => assert_eq!(parse(&found.to_string()), Ok(found), "'{text}'"),
        Err(problem) => told(&problem),
    }
}

fn grade(text: &str, parse: impl Fn(&str) -> Result<u8, CellProblem>) {
    let Ok(grade) = parse(text) else { return };
    assert!((1..=5).contains(&grade), "'{text}' read as {grade}");
    assert_eq!(parse(&grade.to_string()), Ok(grade));
    if let Ok(number) = text.trim().replace(',', ".").parse::<f64>() {
        assert_eq!(number, f64::from(grade), "'{text}'");
    }
}

/// The number that a text begins with, in double precision.
fn number(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',');
    let (number, unit) = text.split_at(end.unwrap_or(text.len()));
    Some((number.replace(',', ".").parse().ok()?, unit.trim()))
}

/// Lengths and hours are held in steps of this size and rounded half up; the rest
/// is for the double precision of the number beside it.
const HALF_A_STEP: f64 = 0.5 + 1e-6;

fn seat_tube(text: &str) {
    let tube = match parse_seat_tube(text) {
        Ok(tube) => tube,
        Err(problem) => return told(&problem),
    };
    let Some(tenths) = tube.tenths() else {
        let class = tube
            .class(Style::Road)
            .expect("a class where there is no length");
        for written in [tube.to_string(), class.to_string()] {
            assert_eq!(
                parse_seat_tube(&written),
                Ok(tube),
                "'{text}' written as {written}"
            );
        }
        return;
    };
    assert!((2500..=8000).contains(&tenths), "'{text}' read as {tube:?}");
    // The rules of the unit, as documented.
    let (number, unit) = number(text.trim()).expect("it begins with a number");
    let in_tenths = match unit.to_lowercase().as_str() {
        "" if number < 30.0 => 254.0,
        "" if number <= 80.0 => 100.0,
        "" => 10.0,
        "cm" => 100.0,
        "mm" => 10.0,
        _ => 254.0,
    };
    let off = tenths as f64 - number * in_tenths;
    assert!(off.abs() <= HALF_A_STEP, "'{text}' read as {tube:?}");
    let centimetres = format!("{}.{:02}cm", tenths / 100, tenths % 100);
    let millimetres = format!("{},{}mm", tenths / 10, tenths % 10);
    for written in [tube.to_string(), centimetres, millimetres] {
        assert_eq!(
            parse_seat_tube(&written),
            Ok(tube),
            "'{text}' written as {written}"
        );
    }
}

fn made(text: &str) {
    let years = match parse_made(text, TODAY) {
        Ok(years) => years,
        Err(problem) => return told(&problem),
    };
    let (first, last) = (years.first(), years.last());
    assert!(
        1817 <= first && first <= last && last <= 2027,
        "'{text}' read as {years}"
    );
    assert!(last - first <= Years::WIDEST, "'{text}' read as {years}");
    // About when: two years either way, a decade, one year and the next.
    let about = text.to_lowercase().contains(['~', '≈', 'c', 's', '/']);
    for year in [first, last] {
        assert!(
            about || text.contains(&year.to_string()),
            "'{text}' read as {years}"
        );
    }
    assert!(!about || last - first <= 9, "'{text}' read as {years}");
    assert_eq!(parse_made(&years.to_string(), TODAY), Ok(years));
}

fn hours(text: &str) {
    let hundredths = match parse_hours(text) {
        Ok(hundredths) => hundredths,
        Err(problem) => return told(&problem),
    };
    assert!(
        (0..=1_000_000).contains(&hundredths),
        "'{text}' read as {hundredths}"
    );
    let (number, _) = number(text.trim()).expect("it begins with a number");
    let off = hundredths as f64 - number * 100.0;
    assert!(off.abs() <= HALF_A_STEP, "'{text}' read as {hundredths}");
    assert_eq!(
        parse_hours(&record_cells::hours(hundredths)),
        Ok(hundredths)
    );
}
