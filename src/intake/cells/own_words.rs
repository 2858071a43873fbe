//! Values that the program reads in a column without being told what they mean.

use super::dates::is_a_day;
use super::features::{
    parse_condition, parse_hours, parse_made, parse_outcome, parse_seat_tube, parse_style,
    parse_tier, size_word,
};
use super::money::{parse_money, reads_two_ways};
use crate::intake::field::Field;
use crate::intake::settings::Settings;
use crate::trade::LeftAs;

/// The kinds of cost.
const KINDS: [&str; 6] = ["purchase", "part", "supply", "fee", "travel", "other"];

/// Whether a value is read in the column of a file of these fields as it stands. A free text,
/// a name and an id say nothing by themselves: they count as not read.
pub fn reads_by_itself(fields: &[Field], column: &str, value: &str, settings: &Settings) -> bool {
    let value = value.trim();
    let mut of_money = fields.iter().filter(|field| field.is_money);
    if of_money.any(|field| field.name == column) {
        let currency = &settings.currency;
        return parse_money(value, currency, settings.decimal).is_ok()
            || reads_two_ways(value, currency);
    }
    match column {
        "style" => parse_style(value).is_ok(),
        "condition" | "found_condition" => parse_condition(value).is_ok(),
        "tier" | "found_tier" => parse_tier(value).is_ok(),
        "left_as" => LeftAs::from_word(value).is_some() || value.to_lowercase() == "sold",
        "outcome" => parse_outcome(value).is_ok(),
        "kind" => KINDS.contains(&value.to_lowercase().as_str()),
        "made" => parse_made(value, settings.today).is_ok(),
        "seat_tube" => parse_seat_tube(value).is_ok() || size_word(value).is_some(),
        "hours" => parse_hours(value).is_ok(),
        "on" | "ended_on" => is_a_day(value),
        _ => column.ends_with("_on") && is_a_day(value),
    }
}
