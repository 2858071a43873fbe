//! Small words of the market: counts, changes, days, listings.

use crate::pricing::market::far_asks::MayBe;
use crate::pricing::market::movement::Factor;
use crate::report::text::shares::change;
use crate::trade::Outcome;

/// A listing with its source.
pub fn listing(id: &str, source: &str) -> String {
    if source.is_empty() {
        id.to_string()
    } else {
        format!("{id} ({source})")
    }
}

/// Days in words: `13`, `13.5`.
pub fn days(days: f64) -> String {
    if days.fract() == 0.0 {
        format!("{days:.0}")
    } else {
        format!("{days:.1}")
    }
}

/// The range of a factor as changes: `-3.0 % to +1.2 %`.
pub fn range(factor: &Factor) -> String {
    format!(
        "{} to {}",
        change(factor.low - 1.0),
        change(factor.high - 1.0)
    )
}

/// What a price far from its value may be.
pub fn may_be(may_be: MayBe) -> &'static str {
    match may_be {
        MayBe::WrongDecimal => "a wrong decimal",
        MayBe::PartsOnly => "for parts, a fault not recorded, or not meant seriously",
        MayBe::Bundle => "several bikes or much with it, or a wrong grade",
        MayBe::Extraordinary => "an extraordinary bike, or a wrong grade or year",
    }
}

/// A short name for JSON.
pub fn may_be_code(may_be: MayBe) -> &'static str {
    match may_be {
        MayBe::WrongDecimal => "wrong_decimal",
        MayBe::PartsOnly => "parts_only",
        MayBe::Bundle => "bundle",
        MayBe::Extraordinary => "extraordinary",
    }
}

/// How a listing stands, in a table's few letters.
pub fn standing(outcome: Outcome, paid: bool) -> &'static str {
    match outcome {
        _ if paid => "sold for",
        Outcome::Listed => "asks",
        _ => "asked",
    }
}
