//! Dates as people write them; expected days worked out by hand.

use super::dates::{check_day, parse_day};
use crate::intake::settings::DateOrder::{self, DayFirst, MonthFirst};
use crate::trade::Day;
use proptest::prelude::*;

fn read(text: &str, order: Option<DateOrder>) -> Result<String, String> {
    parse_day(text, order)
        .map(|day| day.to_string())
        .map_err(|p| format!("{} {}", p.expected, p.mend))
}

#[test]
fn dates_that_read_one_way_need_no_order() {
    let texts = [
        "2024-02-24",
        "20240224",
        "2024/02/24",
        "2024.2.24",
        "2024-2-24",
        "24/02/2024",
        "24.2.2024",
        "24. 2. 2024",
        "2-24-2024",
        "02/24/2024",
        "24 Feb 2024",
        "24 February 2024",
        "24th feb 2024",
        "Feb 24, 2024",
        "FEBRUARY 24 2024",
        "24-Feb-2024",
        "2024 Feb 24",
        "2024-02-24T10:00:00Z",
        "2024-02-24 10:00",
        "2024-02-24T10:00:00.5+01:00",
        "20240224T100000",
        "24/02/2024 9:05 PM",
        "24 Feb 2024 10:00",
    ];
    for text in texts {
        assert_eq!(read(text, None), Ok("2024-02-24".into()), "{text}");
    }
    assert_eq!(read("3.3.2024", None), Ok("2024-03-03".into()));
    assert_eq!(read("4 Sept 2024", None), Ok("2024-09-04".into()));
    assert_eq!(read("1 May 2024", None), Ok("2024-05-01".into()));
}

#[test]
fn a_date_that_reads_two_ways_needs_the_order() {
    assert_eq!(read("12.03.2024", Some(DayFirst)), Ok("2024-03-12".into()));
    assert_eq!(
        read("12.03.2024", Some(MonthFirst)),
        Ok("2024-12-03".into())
    );
    let told = read("12.03.2024", None).unwrap_err();
    assert!(
        told.contains("--dates dmy reads it as 2024-03-12"),
        "{told}"
    );
    assert!(told.contains("--dates mdy as 2024-12-03"), "{told}");
}

#[test]
fn an_order_once_given_is_kept() {
    assert!(read("24/02/2024", Some(MonthFirst)).is_err());
    assert!(read("02/24/2024", Some(DayFirst)).is_err());
}

#[test]
fn what_is_no_day_is_refused() {
    let texts = [
        "",
        "soon",
        "2024",
        "2024-02",
        "2024-02-30",
        "2023-02-29",
        "31/04/2024",
        "45346",
        "2024-13-01",
        "00/00/2024",
        "24/02-2024",
        "24/02/4",
        "24 Feb 4",
        "Feb 2024",
        "2024-W08-6",
        "24 Fev 2024",
        "1/2/3/2024",
        "12345678901",
        "2024-02-24Z",
        "２０２４-02-24",
        "24/02/20244",
        "2024-02-24T25:99",
        "2024-02-24T25:00",
        "2024-02-24T10:60",
        // A time without colons stands after a day without hyphens, and a T.
        "2024-02-24T1000",
        "20240224 1000",
        "20240224T10",
        "20240224T10000",
        "20240224T10h0",
        "0002024-02-24",
        "00024.02.2024",
    ];
    for text in texts {
        assert!(read(text, Some(DayFirst)).is_err(), "{text}");
    }
    assert!(
        read("24-02-13", None)
            .unwrap_err()
            .contains("reads one way only")
    );
    assert!(read("45346", None).unwrap_err().contains("spreadsheet"));
}

#[test]
fn days_before_1900_and_in_the_future_are_refused() {
    let today = Day::constant(2024, 5, 1);
    assert!(check_day(today, today).is_ok());
    assert!(check_day(Day::constant(1900, 1, 1), today).is_ok());
    assert!(
        check_day(Day::constant(1899, 12, 31), today)
            .unwrap_err()
            .expected
            .contains("1900")
    );
    assert!(
        check_day(Day::constant(2024, 5, 2), today)
            .unwrap_err()
            .expected
            .contains("future")
    );
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,14}|[0-9/. T:-]{0,14}") {
        for order in [None, Some(DayFirst), Some(MonthFirst)] {
            let _ = parse_day(&text, order).map_err(|problem| assert!(!problem.mend.is_empty()));
        }
    }

    #[test]
    fn every_day_is_read_back(year in 1_i16..=9999, month in 1_i8..=12, day in 1_i8..=28) {
        let expected = Day::new(year, month, day).unwrap();
        prop_assert_eq!(parse_day(&expected.to_string(), None), Ok(expected));
        let written = format!("{day:02}.{month:02}.{year:04}");
        prop_assert_eq!(parse_day(&written, Some(DayFirst)), Ok(expected));
    }
}

#[test]
fn a_year_of_two_digits_is_of_this_century_in_the_order_told() {
    let reads = |text, order| read(text, order).unwrap().to_string();
    for (text, order, day) in [
        ("13.01.32", None, "2032-01-13"),
        ("24.02.24", None, "2024-02-24"),
        ("13.01.24", Some(DayFirst), "2024-01-13"),
        ("13.1.24", Some(DayFirst), "2024-01-13"),
        ("1/2/25", Some(MonthFirst), "2025-01-02"),
        ("1/2/25", Some(DayFirst), "2025-02-01"),
        ("24 Feb 24", None, "2024-02-24"),
        ("5-2-24", Some(DayFirst), "2024-02-05"),
    ] {
        assert_eq!(reads(text, order), day, "{text} {order:?}");
    }
    assert!(read("1/2/25", None).unwrap_err().contains("reads one way"));
    assert!(read("13.01.24", Some(MonthFirst)).is_err());
    // The year may stand in front.
    for (text, said) in [
        (
            "25.03.05",
            "--dates dmy reads it as 2005-03-25; if its year stands first, write it as 2025-03-05",
        ),
        ("25/04/06", "2025-04-06"),
        ("13.01.24", "2013-01-24"),
        ("05.05.06", "--dates mdy reads it as 2006-05-05"),
    ] {
        let told = read(text, None).unwrap_err();
        assert!(told.contains(said), "{told}");
    }
}
