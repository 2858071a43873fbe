//! Days as people write them: ISO 8601, or day and month in a known order.

use crate::intake::problems::problem::CellProblem;
use crate::intake::settings::DateOrder;
use crate::trade::Day;

/// Days before this year are taken for slips of the pen: no workshop's own
/// records are older (common practice, no source).
const FIRST_YEAR: i16 = 1900;

/// What is added to a year of two digits: nobody's records of bicycles are typed from
/// before (common practice, no source).
const CENTURY: i64 = 2000;

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Reads a day: `2024-02-24`, `20240224`, with or without a time of day;
/// `24/02/2024`, `24.2.2024`, `2-24-2024` in the order given; `24 Feb 2024`. A year of two
/// digits at the end is of this century: `24.2.24`.
///
/// # Errors
/// No date, a day that the calendar lacks, a year of one digit, a date that reads two
/// ways when no order is given, one with a year of two digits that may stand in front
/// likewise.
///
/// ```
/// use wheelworth::intake::{DateOrder, parse_day};
/// let day = parse_day("03/02/2024", Some(DateOrder::DayFirst)).unwrap();
/// assert_eq!(day.to_string(), "2024-02-03");
/// assert!(parse_day("03/02/2024", None).is_err());
/// ```
pub fn parse_day(text: &str, order: Option<DateOrder>) -> Result<Day, CellProblem> {
    let text = text.trim();
    match iso(text.as_bytes()) {
        Some((year, month, day)) => real_day(year, month, day),
        None => written(without_time(text), order),
    }
}

/// Reads a day that was typed: as [`parse_day`] does, and `today` and `yesterday`.
///
/// # Errors
/// Those of [`parse_day`].
pub fn parse_typed_day(
    text: &str,
    order: Option<DateOrder>,
    today: Day,
) -> Result<Day, CellProblem> {
    match text.trim().to_lowercase().as_str() {
        "today" => Ok(today),
        "yesterday" => Ok(today.yesterday().unwrap_or(today)),
        _ => parse_day(text, order),
    }
}

/// The one order in which a day can be read; `None` where it reads the same in both, or
/// in neither.
pub(in crate::intake) fn order_told(text: &str) -> Option<DateOrder> {
    if text.as_bytes().get(4) == Some(&b'-') {
        return None; // year first, as nearly every cell
    }
    let reads = |order| parse_day(text, Some(order)).is_ok();
    match (reads(DateOrder::DayFirst), reads(DateOrder::MonthFirst)) {
        (true, false) => Some(DateOrder::DayFirst),
        (false, true) => Some(DateOrder::MonthFirst),
        _ => None,
    }
}

/// Whether a cell is a day in one order or the other.
pub(in crate::intake) fn is_a_day(cell: &str) -> bool {
    let orders = [DateOrder::DayFirst, DateOrder::MonthFirst];
    let mut orders = orders.into_iter();
    orders.any(|order| parse_day(cell, Some(order)).is_ok())
}

/// Refuses a day that no record can have.
///
/// # Errors
/// A day before 1900, or after `today`.
pub fn check_day(day: Day, today: Day) -> Result<Day, CellProblem> {
    if day > today {
        return Err(CellProblem::new(
            format!("a day up to {today}, not one in the future"),
            "Correct the date, or give a later day with --as-of.",
        ));
    }
    if day.year() < FIRST_YEAR {
        return Err(CellProblem::new(
            format!("a day from {FIRST_YEAR}-01-01 on"),
            "Correct the year, or leave the cell empty if the day is not known.",
        ));
    }
    Ok(day)
}

/// The fast path: exactly `YYYY-MM-DD` in digits.
fn iso(text: &[u8]) -> Option<(i64, i64, i64)> {
    let [y1, y2, y3, y4, b'-', m1, m2, b'-', d1, d2] = text else {
        return None;
    };
    let number = |digits: &[&u8]| {
        digits.iter().try_fold(0_i64, |n, b| {
            b.is_ascii_digit().then(|| n * 10 + i64::from(**b - b'0'))
        })
    };
    Some((
        number(&[y1, y2, y3, y4])?,
        number(&[m1, m2])?,
        number(&[d1, d2])?,
    ))
}

fn real_day(year: i64, month: i64, day: i64) -> Result<Day, CellProblem> {
    let made = || {
        let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
        Day::new(i16::try_from(year).ok()?, month, day).ok()
    };
    made().ok_or_else(|| {
        CellProblem::new(
            "a day that the calendar has",
            "Check the day and the month, and write the date as 2024-02-24.",
        )
    })
}

/// Cuts a time of day off: `2024-02-24T10:00Z`, `2024-02-24 10:00`,
/// `20240224T1000`.
fn without_time(text: &str) -> &str {
    for (at, sign) in text.match_indices(['T', 't', ' ']) {
        let (Some(date), Some(tail)) = (text.get(..at), text.get(at + 1..)) else {
            continue;
        };
        let basic = sign != " " && date.len() == 8 && only_ascii_digits(date);
        if is_time(tail.trim_start()) || (basic && is_basic_time(tail)) {
            return date.trim_end();
        }
    }
    text
}

fn only_ascii_digits(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit())
}

/// `10:00`, `9:05:30.5`, `10:00+01:00`, `10:00 PM`.
fn is_time(tail: &str) -> bool {
    let Some((hour, rest)) = tail.split_once(':') else {
        return false;
    };
    let within = |digits: &str, limit: u8| digits.parse::<u8>().is_ok_and(|n| n < limit);
    let minute = rest.get(..2).unwrap_or("");
    let allowed = |c: char| c.is_ascii_digit() || ":.,+- ZzAaPpMm".contains(c);
    within(hour, 25) && within(minute, 60) && rest.chars().all(allowed)
}

/// `100000` or `1000Z` after a `T`, as in `20240224T100000`.
fn is_basic_time(tail: &str) -> bool {
    let digits = tail.trim_end_matches(['Z', 'z']);
    matches!(digits.len(), 4 | 6) && only_ascii_digits(digits)
}

/// Every form other than `YYYY-MM-DD`.
fn written(text: &str, order: Option<DateOrder>) -> Result<Day, CellProblem> {
    if !text.is_empty() && only_ascii_digits(text) {
        return only_digits(text);
    }
    let parts: Vec<&str> = text
        .split(['/', '.', '-', ' ', ',', '\u{a0}'])
        .filter(|part| !part.is_empty())
        .collect();
    let [a, b, c] = parts.as_slice() else {
        return Err(no_day());
    };
    match (month_named(a), month_named(b)) {
        (None, None) => {}
        (None, Some(month)) if is_year(a) => return with_name(a, month, c),
        (None, Some(month)) => return with_name(c, month, a),
        (Some(month), _) => return with_name(c, month, b),
    }
    let signs: Vec<char> = text
        .chars()
        .filter(|c| !c.is_ascii_digit() && *c != ' ')
        .collect();
    if !matches!(signs.as_slice(), ['/', '/'] | ['.', '.'] | ['-', '-']) {
        return Err(no_day());
    }
    let (Some(first), Some(second), Some(third)) = (number(a), number(b), number(c)) else {
        return Err(no_day());
    };
    if is_year(a) {
        return real_day(first, second, third);
    }
    if is_year(c) {
        return in_order(first, second, third, order);
    }
    if a.len() > 2 || c.len() != 2 {
        return Err(no_day());
    }
    // 25.03.05 may have its year in front.
    if order.is_none() && a.len() == 2 {
        return year_anywhere(first, second, third);
    }
    // As dates with hyphens do.
    if signs.first() == Some(&'-') && order.is_none() {
        return Err(short_year());
    }
    in_order(first, second, CENTURY + third, order)
}

/// Three numbers of which the first or the last is the year: only where they are one day
/// whichever it is.
fn year_anywhere(first: i64, second: i64, third: i64) -> Result<Day, CellProblem> {
    let year = CENTURY + third;
    let Ok(year_first) = real_day(CENTURY + first, second, third) else {
        return in_order(first, second, year, None);
    };
    let by_flag = [
        ("dmy", real_day(year, second, first)),
        ("mdy", real_day(year, first, second)),
    ];
    let by_flag: Vec<(&str, Day)> = by_flag
        .into_iter()
        .filter_map(|(flag, day)| Some((flag, day.ok()?)))
        .collect();
    if by_flag.is_empty() {
        return Err(short_year());
    }
    if by_flag.iter().all(|(_, day)| *day == year_first) {
        return Ok(year_first);
    }
    let flags = by_flag
        .iter()
        .map(|(flag, day)| format!("--dates {flag} reads it as {day}"));
    let flags: Vec<String> = flags.collect();
    Err(CellProblem::new(
        "a date that reads one way only",
        format!(
            "Say which: {}; if its year stands first, write it as {year_first}.",
            flags.join(", ")
        ),
    ))
}

/// `YYYYMMDD`, or what spreadsheets show when a date column has no format.
fn only_digits(text: &str) -> Result<Day, CellProblem> {
    let cut = |from: usize, to: usize| text.get(from..to).and_then(number);
    match (text.len(), cut(0, 4), cut(4, 6), cut(6, 8)) {
        (8, Some(year), Some(month), Some(day)) => real_day(year, month, day),
        (5, ..) => Err(CellProblem::new(
            "a day such as 2024-02-24, not a spreadsheet's count of days",
            "Give the column a date format in the spreadsheet and save the file again.",
        )),
        _ => Err(no_day()),
    }
}

/// Two numbers and a year, in the order given, or in the only one possible.
fn in_order(a: i64, b: i64, year: i64, order: Option<DateOrder>) -> Result<Day, CellProblem> {
    match order {
        Some(DateOrder::DayFirst) => real_day(year, b, a),
        Some(DateOrder::MonthFirst) => real_day(year, a, b),
        None if a == b => real_day(year, b, a),
        None => match (real_day(year, b, a), real_day(year, a, b)) {
            (Ok(dmy), Ok(mdy)) => Err(CellProblem::new(
                "a date that reads one way only",
                format!(
                    "Say which: --dates dmy reads it as {dmy}, --dates mdy as {mdy}; or write \
                     dates as YYYY-MM-DD."
                ),
            )),
            (Ok(day), Err(_)) | (Err(_), Ok(day)) => Ok(day),
            (Err(problem), Err(_)) => Err(problem),
        },
    }
}

fn with_name(year: &str, month: i64, day: &str) -> Result<Day, CellProblem> {
    let day = ["st", "nd", "rd", "th"]
        .iter()
        .find_map(|end| day.strip_suffix(end))
        .unwrap_or(day);
    match (number(year), number(day)) {
        (Some(year_number), Some(day)) if is_year(year) => real_day(year_number, month, day),
        (Some(year_number), Some(day)) if year.len() == 2 => {
            real_day(CENTURY + year_number, month, day)
        }
        _ => Err(no_day()),
    }
}

/// The month with this English name or its first three letters (or `Sept`).
fn month_named(text: &str) -> Option<i64> {
    let name = text.to_ascii_lowercase();
    let fits = |full: &&str| {
        **full == name
            || full.get(..3) == Some(&name)
            || (name == "sept" && full.starts_with("sept"))
    };
    MONTHS.iter().position(fits).map(|at| at as i64 + 1)
}

fn is_year(text: &str) -> bool {
    text.len() == 4 && only_ascii_digits(text)
}

/// At most four digits as a number.
fn number(text: &str) -> Option<i64> {
    let fits = (1..=4).contains(&text.len()) && only_ascii_digits(text);
    if fits { text.parse().ok() } else { None }
}

fn no_day() -> CellProblem {
    CellProblem::new(
        "a day such as 2024-02-24",
        "Write the date as YYYY-MM-DD, or leave the cell empty if the day is not known.",
    )
}

fn short_year() -> CellProblem {
    CellProblem::new(
        "a date with a year of four digits",
        "Write the year in full, as in 2024.",
    )
}
