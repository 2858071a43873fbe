//! Days and quarters in words.

use crate::trade::{Day, Quarter};

/// Months of the year.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// `11 April 2026`.
pub fn long_day(day: Day) -> String {
    format!("{} {} {}", day.day(), month(day), day.year())
}

/// `11 Apr 2026`, for tables.
pub fn short_day(day: Day) -> String {
    format!("{} {} {}", day.day(), short_month(day), day.year())
}

/// `2026-Q2, Apr to Jun 2026`, for lists of quarters.
pub fn short_quarter(quarter: Quarter, year_starts: u8) -> String {
    let (from, to) = (
        quarter.first_day(year_starts),
        quarter.last_day(year_starts),
    );
    let (first, last) = (short_month(from), short_month(to));
    if from.year() == to.year() {
        format!("{quarter}, {first} to {last} {}", to.year())
    } else {
        format!("{quarter}, {first} {} to {last} {}", from.year(), to.year())
    }
}

/// `11 Apr`, for tables of days within the quarter.
pub fn day_of_quarter(day: Day) -> String {
    format!("{} {}", day.day(), short_month(day))
}

/// The month's name.
pub fn month(day: Day) -> &'static str {
    let index = usize::try_from(day.month() - 1).unwrap_or_default();
    MONTHS.get(index).copied().unwrap_or_default()
}

fn short_month(day: Day) -> &'static str {
    month(day).get(..3).unwrap_or_default()
}

/// `14 June`, with the year where it is another one than that of `as_of`.
pub fn day_seen_from(day: Day, as_of: Day) -> String {
    if day.year() == as_of.year() {
        format!("{} {}", day.day(), month(day))
    } else {
        long_day(day)
    }
}
