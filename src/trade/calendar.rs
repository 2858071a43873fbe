//! Days, ages and quarters of the year.

/// A calendar day; no time of day and no time zone.
pub type Day = jiff::civil::Date;

/// Mean length of a Gregorian year in days (400 years have 146,097 days).
pub const DAYS_PER_YEAR: f64 = 365.2425;

/// Days from `from` to `to`; negative when `to` comes first.
///
/// ```
/// use wheelworth::trade::calendar::{days_between, Day};
/// assert_eq!(days_between(Day::constant(2024, 2, 28), Day::constant(2024, 3, 1)), 2);
/// ```
pub fn days_between(from: Day, to: Day) -> i64 {
    i64::from((to - from).get_days())
}

/// Age in decimal years of a bike of model year `made` on `day`, counted from
/// 1 July of the model year and never below 0.
///
/// ```
/// use wheelworth::trade::calendar::{age_in_years, Day};
/// assert_eq!(age_in_years(2020, Day::constant(2020, 3, 1)), 0.0);
/// assert!((age_in_years(2015, Day::constant(2025, 7, 1)) - 10.0).abs() < 0.01);
/// ```
pub fn age_in_years(made: i16, day: Day) -> f64 {
    match Day::new(made, 7, 1) {
        Ok(midsummer) => (days_between(midsummer, day) as f64 / DAYS_PER_YEAR).max(0.0),
        Err(_) => 0.0,
    }
}

/// Calendar quarters since the year 0, so that differences count quarters.
pub fn quarter_number(day: Day) -> i32 {
    i32::from(day.year()) * 4 + i32::from((day.month() - 1) / 3)
}

/// Position of `day` within its year as a fraction from 0 (1 January) to 1.
pub fn year_fraction(day: Day) -> f64 {
    f64::from(day.day_of_year() - 1) / f64::from(day.days_in_year())
}
