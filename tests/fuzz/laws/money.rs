//! Amounts: a currency by the first byte, then the text.

use super::{currency, significant_digits};
use wheelworth::intake::{DecimalSign, parse_money};
use wheelworth::report::text::amounts::exact;
use wheelworth::trade::{Currency, Money};

/// The most that is read, in minor units (as documented).
const LARGEST: i64 = 9_000_000_000_000_000;

pub fn check(data: &[u8]) {
    let Some((first, rest)) = data.split_first() else {
        return;
    };
    let Ok(text) = std::str::from_utf8(rest) else {
        return;
    };
    let currency = currency(*first);
    let found = parse_money(text, &currency, None);
    assert_eq!(
        parse_money(&format!(" {text}\t"), &currency, None),
        found,
        "blanks around"
    );
    nothing_is_guessed(text, found.as_ref().ok().copied(), &currency);
    match found {
        Ok(money) => read(text, money, &currency),
        Err(problem) => {
            assert!(
                !problem.expected.is_empty() && problem.mend.ends_with('.'),
                "{problem:?}"
            );
            assert_eq!(
                by_hand(text, &currency),
                None,
                "'{text}' is a plain amount: {problem}"
            );
        }
    }
}

fn read(text: &str, money: Money, currency: &Currency) {
    let minor = money.minor();
    assert!(minor.abs() <= LARGEST, "{minor}");
    // No digit is lost and none is invented, apart from zeros at the ends.
    let digits = significant_digits(&minor.to_string());
    assert_eq!(significant_digits(text), digits, "'{text}' read as {minor}");
    let negative = text.contains(['-', '−', '–', '—', '(']);
    assert!(negative || minor >= 0, "'{text}' read as {minor}");
    if let Some(plain) = by_hand(text, currency) {
        assert_eq!(minor, plain, "'{text}'");
    }
    // However it is written, it reads the same.
    let plain = currency.plain(money);
    let decimals = plain
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    assert_eq!(decimals, usize::from(currency.decimals()), "{plain}");
    for written in [
        plain.clone(),
        exact(money, currency),
        format!("{currency} {plain}"),
    ] {
        assert_eq!(
            parse_money(&written, currency, Some(DecimalSign::Point)),
            Ok(money),
            "'{text}' written as {written}"
        );
    }
    // A division and a multiplication in double precision, each within half a unit
    // of the last place, are off by at most one unit above 2^51 and by none below.
    let rounded = currency.round(currency.units(money));
    let off = (rounded.expect("what is read can be rounded").minor() - minor).abs();
    assert!(
        off <= i64::from(minor.abs() > 1 << 51),
        "{minor} rounded to {rounded:?}"
    );
}

/// An amount that is read without knowing which sign stands before decimals is the same
/// whichever it is (but for three decimals, where a full stop is taken for it).
fn nothing_is_guessed(text: &str, found: Option<Money>, currency: &Currency) {
    let by = |sign| parse_money(text, currency, Some(sign)).ok();
    let (point, comma) = (by(DecimalSign::Point), by(DecimalSign::Comma));
    match found {
        Some(money) if currency.decimals() != 3 => {
            assert_eq!((point, comma), (found, found), "'{text}' read as {money:?}");
        }
        Some(_) => assert!(found == point || found == comma, "'{text}' as {found:?}"),
        // Both ways cannot be the same amount, or there would be nothing to ask.
        None => assert!(point.is_none() || point != comma, "'{text}' refused"),
    }
}

/// Digits alone, or with one full stop and fewer digits behind it than a group of
/// thousands, in whole numbers.
fn by_hand(text: &str, currency: &Currency) -> Option<i64> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    let decimals = u32::from(currency.decimals());
    let places = u32::try_from(part.len())
        .ok()
        .filter(|n| *n <= decimals.min(2))?;
    let bare = whole.len() == text.len();
    if whole.is_empty() || !digits(whole) || !digits(part) || (!bare && part.is_empty()) {
        return None;
    }
    let minor: i64 = format!("{whole}{part}").parse().ok()?;
    let minor = minor.checked_mul(10_i64.pow(decimals - places))?;
    (minor <= LARGEST).then_some(minor)
}
