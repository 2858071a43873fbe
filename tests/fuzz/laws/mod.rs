//! The fuzz targets: each takes any bytes and panics where a law is broken. What
//! is random in it comes from the bytes alone.

mod code_table;
mod column_map;
mod dates;
mod features;
mod inspection;
mod money;
mod offer_lists;
mod reading;
mod rows;
mod sheets;
mod untidy;

use wheelworth::intake::Settings;
use wheelworth::trade::{Currency, Day};

/// A name and what is held against the laws.
type Target = (&'static str, fn(&[u8]));

/// The targets by name.
pub const TARGETS: [Target; 10] = [
    ("rows", rows::check),
    ("money", money::check),
    ("dates", dates::check),
    ("features", features::check),
    ("column-map", column_map::check),
    ("inspection", inspection::check),
    ("offer-lists", offer_lists::check),
    ("code-table", code_table::check),
    ("sheets", sheets::check),
    ("untidy", untidy::check),
];

/// The day for which everything is read.
const TODAY: Day = Day::constant(2026, 5, 2);

/// Currencies of no, two and three decimals, and one that groups digits in twos.
const CURRENCIES: [&str; 4] = ["EUR", "JPY", "KWD", "INR"];

/// One of so many choices by a byte; `0` is the first, so that inputs can be
/// written by hand.
fn choice(byte: u8, of: u8) -> usize {
    usize::from(byte.wrapping_sub(b'0') % of)
}

fn currency(byte: u8) -> Currency {
    Currency::from_code(CURRENCIES[choice(byte, 4)]).unwrap()
}

/// A currency and an order of dates by a byte.
fn settings(byte: u8) -> Settings {
    use wheelworth::intake::DateOrder::{DayFirst, MonthFirst};
    let which = choice(byte, 12);
    let code = CURRENCIES[which % 4];
    let mut settings = Settings::new(Currency::from_code(code).unwrap(), TODAY);
    settings.dates = [None, Some(DayFirst), Some(MonthFirst)][which / 4];
    settings
}

/// The digits of a text, without zeros at either end.
fn significant_digits(text: &str) -> String {
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    digits.trim_matches('0').to_string()
}
