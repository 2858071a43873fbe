//! Days and quarters: the text alone.

use super::TODAY;
use wheelworth::intake::DateOrder::{DayFirst, MonthFirst};
use wheelworth::intake::{check_day, parse_day};
use wheelworth::trade::{Day, Quarter};

pub fn check(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let [plain, dmy, mdy] = [None, Some(DayFirst), Some(MonthFirst)].map(|order| {
        let found = parse_day(text, order);
        assert_eq!(
            parse_day(&format!("\t{text} "), order),
            found,
            "blanks around"
        );
        match &found {
            Ok(day) => read(text, *day),
            Err(problem) => {
                assert!(
                    !problem.expected.is_empty() && problem.mend.ends_with('.'),
                    "{problem:?}"
                );
            }
        }
        found.ok()
    });
    // Without an order nothing is guessed: it is what one of the orders says, and
    // never one of two that differ.
    if let Some(day) = plain {
        assert!(
            dmy == Some(day) || mdy == Some(day),
            "'{text}' read as {day}"
        );
        for other in [dmy, mdy].into_iter().flatten() {
            assert_eq!(other, day, "'{text}' reads two ways");
        }
    } else {
        // A year of two digits may stand in front as well.
        let may_be_first =
            text.contains('-') || parse_day(&format!("20{}", text.trim()), None).is_ok();
        assert!(
            dmy.is_none() || mdy.is_none() || dmy != mdy || may_be_first,
            "'{text}' reads one way: {dmy:?}"
        );
    }
    if let Some(quarter) = Quarter::read(text) {
        assert_eq!(Quarter::read(&quarter.to_string()), Some(quarter));
        for month in 1..=12 {
            let (first, last) = (quarter.first_day(month), quarter.last_day(month));
            assert!(first < last, "{quarter} from month {month}");
            assert_eq!(Quarter::of(first, month), quarter);
            assert_eq!(Quarter::of(last, month), quarter);
            assert_eq!(last.tomorrow().ok(), Some(quarter.next().first_day(month)));
        }
    }
}

fn read(text: &str, day: Day) {
    let written = day.to_string();
    for order in [None, Some(DayFirst), Some(MonthFirst)] {
        assert_eq!(
            parse_day(&written, order),
            Ok(day),
            "'{text}' written as {written}"
        );
    }
    // The year, or its last two digits in this century, and the day of the month stand in
    // the text as digits.
    let year = &written[..4];
    let short = year
        .strip_prefix("20")
        .is_some_and(|end| text.contains(end));
    assert!(short || text.contains(year), "'{text}' read as {written}");
    assert!(
        text.contains(&day.day().to_string()),
        "'{text}' read as {written}"
    );
    match check_day(day, TODAY) {
        Ok(same) => assert!(same == day && (1900..=2026).contains(&day.year()) && day <= TODAY),
        Err(problem) => {
            assert!(day > TODAY || day.year() < 1900, "{day}: {problem}");
        }
    }
}
