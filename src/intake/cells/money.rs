//! Amounts of money as people write them, read exactly or refused.
//!
//! How a separator is told: with both `.` and `,` the last one is the decimal
//! sign. One that stands alone before exactly three digits (`1,234`, `12.345`)
//! reads two ways. It is the decimal sign where that is known to be the one, and
//! groups thousands where the other is; where neither is known the amount is
//! refused, except that in a currency of three decimals a full stop is the decimal
//! point then. Blanks and apostrophes only group.

use super::currency_signs::{Mark, mark};
use super::decimal_sign::DecimalSign;
use crate::intake::problems::problem::CellProblem;
use crate::trade::{Currency, Money};

/// Largest amount that is read, in minor units (a double holds it exactly).
const LARGEST: u64 = 9_000_000_000_000_000;

/// Currencies in whose countries digits are grouped in twos above a thousand
/// (`1,23,456`; common practice, no source).
const GROUPED_IN_TWOS: &[&str] = &["INR", "PKR", "NPR", "BDT", "LKR"];

/// Reads an amount; brackets or a minus sign make it negative.
///
/// `decimal` is the sign before the decimals, where that is known.
///
/// # Errors
/// Text that is no amount, another currency's sign or code, more decimals than the
/// currency has (other than zeros), digits grouped wrongly, one separator before
/// three digits where `decimal` is not known, an amount above 9e15 minor units.
///
/// ```
/// use wheelworth::intake::{DecimalSign, parse_money};
/// use wheelworth::trade::Currency;
/// let euro = Currency::from_code("EUR").unwrap();
/// assert_eq!(parse_money("1.234,50 €", &euro, None).unwrap().minor(), 123_450);
/// assert!(parse_money("$12", &euro, None).is_err());
/// assert!(parse_money("1.234", &euro, None).is_err());
/// let comma = Some(DecimalSign::Comma);
/// assert_eq!(parse_money("1.234", &euro, comma).unwrap().minor(), 123_400);
/// ```
pub fn parse_money(
    text: &str,
    currency: &Currency,
    decimal: Option<DecimalSign>,
) -> Result<Money, CellProblem> {
    let text = text.trim();
    if let Some(money) = plain(text.as_bytes(), currency) {
        return Ok(money);
    }
    let written = Written::of(text, currency)?;
    let minor = minor_units(&written.body, currency, decimal)?;
    within_limit(minor, written.negative).ok_or_else(|| too_large(currency))
}

/// Whether an amount reads two ways as long as no sign is known to stand before
/// decimals: one separator, before exactly three digits.
pub(in crate::intake) fn reads_two_ways(text: &str, currency: &Currency) -> bool {
    // Nearly every cell is told from its length and signs alone.
    text.len() > 4 // the shortest is 1,234
        && text.contains(['.', ','])
        && Written::of(text.trim(), currency)
            .is_ok_and(|written| three_digits_after(&written.body).is_some())
}

/// The sign before decimals that an amount tells because it reads one way only:
/// `45.50`, `1.234,50`, `1.234.567`, `120,-`.
pub(in crate::intake) fn decimal_sign_told(text: &str, currency: &Currency) -> Option<DecimalSign> {
    let text = text.trim();
    if !text.contains(['.', ',']) {
        return None;
    }
    let body = Written::of(text, currency).ok()?.body;
    minor_units(&body, currency, None).ok()?;
    if three_digits_after(&body).is_some() {
        return None; // in a currency of three decimals
    }
    let last = body.rfind(['.', ','])?;
    let sign = DecimalSign::from_char(body[last..].chars().next()?)?;
    match body.matches(sign.char()).count() {
        1 => Some(sign),
        _ => Some(sign.other()), // twice the same groups thousands
    }
}

/// What stands before and after the one separator of a number, where three digits
/// follow it: the number reads two ways then, but for `0.500`.
fn three_digits_after(body: &str) -> Option<(&str, char, &str)> {
    let at = body.find(|c: char| !c.is_ascii_digit())?;
    let (before, rest) = body.split_at(at);
    let sign = rest.chars().next().filter(|c| matches!(c, '.' | ','))?;
    let after = &rest[1..];
    let three = after.len() == 3 && after.bytes().all(|b| b.is_ascii_digit());
    let above_one = before.bytes().any(|b| b != b'0');
    (three && above_one).then_some((before, sign, after))
}

/// The fast path: digits, or digits, a full stop and decimals that can only be
/// decimals. Anything else is left to [`Written`].
fn plain(text: &[u8], currency: &Currency) -> Option<Money> {
    if text.is_empty() || text.len() > 15 {
        return None;
    }
    let (mut value, mut point) = (0_u64, None);
    for (at, byte) in text.iter().enumerate() {
        match byte {
            b'0'..=b'9' => value = value * 10 + u64::from(byte - b'0'),
            b'.' if point.is_none() && at > 0 => point = Some(at),
            _ => return None,
        }
    }
    let decimals = match point {
        None => 0,
        Some(at) => match text.len() - at - 1 {
            0 | 3 => return None,
            count => u32::try_from(count).ok()?,
        },
    };
    let missing = u32::from(currency.decimals()).checked_sub(decimals)?;
    within_limit(value.checked_mul(10_u64.pow(missing))?, false)
}

fn within_limit(minor: u64, negative: bool) -> Option<Money> {
    let minor = i64::try_from(minor).ok().filter(|_| minor <= LARGEST)?;
    Some(Money::from_minor(if negative { -minor } else { minor }))
}

/// An amount without its currency mark and sign.
struct Written {
    /// Digits and separators.
    body: String,
    negative: bool,
}

impl Written {
    fn of(text: &str, currency: &Currency) -> Result<Self, CellProblem> {
        let inner = text
            .strip_prefix('(')
            .and_then(|rest| rest.strip_suffix(')'));
        let (amount, bracketed) = inner.map_or((text, false), |inner| (inner, true));
        let no_amount = || not_an_amount(currency);
        let first = amount
            .find(|c: char| c.is_ascii_digit())
            .ok_or_else(no_amount)?;
        let last = amount
            .rfind(|c: char| c.is_ascii_digit())
            .ok_or_else(no_amount)?;
        let (before, rest) = amount.split_at(first);
        let (body, after) = rest.split_at(last + 1 - first);

        let (before, leading_point) = without_leading_point(before);
        let (before, minus) = without_sign(before.trim());
        let (after, whole_mark) = without_dash_for_cents(after.trim());
        for beside in [before, after] {
            match mark(beside, currency) {
                _ if beside.is_empty() => {}
                Mark::Ours => {}
                Mark::Another => return Err(another_currency(beside, currency)),
                Mark::Words => return Err(no_amount()),
            }
        }
        Ok(Self {
            body: format!("{leading_point}{body}{whole_mark}"),
            negative: bracketed || minus,
        })
    }
}

/// `.50`: the full stop belongs to the number unless letters stand before it
/// (`Rs.50`).
fn without_leading_point(before: &str) -> (&str, &str) {
    for point in [".", ","] {
        if let Some(rest) = before.strip_suffix(point)
            && !rest.ends_with(char::is_alphabetic)
        {
            return (rest, point);
        }
    }
    (before, "")
}

/// Takes one sign away, before or after a currency mark.
fn without_sign(before: &str) -> (&str, bool) {
    for (sign, minus) in [('-', true), ('−', true), ('–', true), ('+', false)] {
        if let Some(rest) = before
            .strip_prefix(sign)
            .or_else(|| before.strip_suffix(sign))
        {
            return (rest.trim(), minus);
        }
    }
    (before, false)
}

/// `120,-`, `120.--` and `120:-` say that there are no cents: they become `120,0`.
fn without_dash_for_cents(after: &str) -> (&str, &'static str) {
    for (point, zero) in [(',', ",0"), ('.', ".0"), (':', "")] {
        let Some(rest) = after.strip_prefix(point) else {
            continue;
        };
        let bare = rest.trim_start_matches(['-', '–', '—']);
        if bare.len() < rest.len() {
            return (bare.trim(), zero);
        }
    }
    (after, "")
}

/// One kind of sign between digits; the kinds of blanks count as one, and so
/// do the kinds of apostrophes.
fn separator(c: char) -> Option<char> {
    match c {
        '.' | ',' => Some(c),
        ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}' => Some(' '),
        '\'' | '’' | 'ʼ' => Some('\''),
        _ => None,
    }
}

/// The digits and separators of an amount as minor units.
fn minor_units(
    body: &str,
    currency: &Currency,
    decimal: Option<DecimalSign>,
) -> Result<u64, CellProblem> {
    let mut signs = Vec::new();
    for c in body.chars().filter(|c| !c.is_ascii_digit()) {
        signs.push(separator(c).ok_or_else(|| not_an_amount(currency))?);
    }
    let groups: Vec<&str> = body.split(|c: char| !c.is_ascii_digit()).collect();
    let has_decimals = match three_digits_after(body) {
        Some(parts) => point_before_three_digits(parts, currency, decimal)?,
        None => last_is_decimal_sign(&signs),
    };
    let (fraction, whole, grouping) = match (has_decimals, groups.split_last()) {
        (true, Some((fraction, whole))) => (*fraction, whole, &signs[..signs.len() - 1]),
        _ => ("", groups.as_slice(), signs.as_slice()),
    };
    if !grouped_rightly(whole, grouping, currency) {
        return Err(not_an_amount(currency));
    }
    let decimals = usize::from(currency.decimals());
    let (kept, beyond) = fraction.split_at(fraction.len().min(decimals));
    if beyond.bytes().any(|b| b != b'0') {
        return Err(too_many_decimals(currency));
    }
    let digits = whole
        .iter()
        .flat_map(|group| group.bytes())
        .chain(kept.bytes());
    let padding = std::iter::repeat_n(b'0', decimals - kept.len());
    digits
        .chain(padding)
        .try_fold(0_u64, |n, b| {
            n.checked_mul(10)?.checked_add(u64::from(b - b'0'))
        })
        .ok_or_else(|| too_large(currency))
}

/// Whether the last separator stands before decimals, where that is told by the
/// others: it is the only one of its kind.
fn last_is_decimal_sign(signs: &[char]) -> bool {
    let last = signs.last().filter(|c| matches!(c, '.' | ','));
    last.is_some_and(|last| signs.iter().filter(|c| *c == last).count() == 1)
}

/// Whether the one separator before three digits stands before decimals.
fn point_before_three_digits(
    (before, sign, after): (&str, char, &str),
    currency: &Currency,
    decimal: Option<DecimalSign>,
) -> Result<bool, CellProblem> {
    let sign = DecimalSign::from_char(sign).ok_or_else(|| not_an_amount(currency))?;
    if before.len() > 15 {
        return Err(too_large(currency));
    }
    match decimal {
        Some(decimal) => Ok(decimal == sign),
        None if currency.decimals() == 3 && sign == DecimalSign::Point => Ok(true),
        None if before.len() > 3 || before.starts_with('0') => Err(not_thousands(before, after)),
        None if currency.decimals() == 3 => Ok(false),
        None => Err(two_ways((before, sign, after), currency)),
    }
}

/// Three digits after digits that are not grouped in threes.
fn not_thousands(before: &str, after: &str) -> CellProblem {
    let decimals = after.trim_end_matches('0');
    let mend = match decimals {
        "" => format!("Write {before}{after} or {before}: the one that is meant."),
        _ => format!("Write {before}{after}, or {before}.{decimals}."),
    };
    CellProblem::new("an amount that reads one way only", mend)
}

/// Both readings of one separator before three digits, and the way out.
fn two_ways((before, sign, after): (&str, DecimalSign, &str), currency: &Currency) -> CellProblem {
    let thousands = format!("{before}{after}");
    let decimals = after.trim_end_matches('0');
    let as_decimals = match (decimals.len(), usize::from(currency.decimals())) {
        (0, _) => format!("{before} {currency}"),
        (count, most) if count <= most => {
            let zeros = "0".repeat(most - count);
            format!("{before}.{decimals}{zeros} {currency}")
        }
        (_, 0) => format!("more decimals than {currency} has"),
        _ => format!("{before}.{after}, more decimals than {currency} has"),
    };
    let (point, comma) = match sign {
        DecimalSign::Point => (as_decimals, format!("{thousands} {currency}")),
        DecimalSign::Comma => (format!("{thousands} {currency}"), as_decimals),
    };
    CellProblem::new(
        format!(
            "an amount that reads one way: with --decimal comma it is {comma}, with --decimal \
             point {point}"
        ),
        format!(
            "Say which sign stands before the decimals, --decimal comma or --decimal point (the \
             book keeps it), or write {thousands} without the sign."
        ),
    )
}

/// Digits before the decimal sign: no separator, or one kind of separator and
/// groups of three (of two above the last in some currencies).
fn grouped_rightly(groups: &[&str], signs: &[char], currency: &Currency) -> bool {
    let (Some((first, rest)), Some(sign)) = (groups.split_first(), signs.first()) else {
        return true;
    };
    let threes = rest.iter().all(|group| group.len() == 3);
    let twos = GROUPED_IN_TWOS.contains(&currency.code())
        && first.len() <= 2
        && rest.split_last().is_some_and(|(last, middle)| {
            last.len() == 3 && middle.iter().all(|group| group.len() == 2)
        });
    let first_fits = (1..=3).contains(&first.len()) && !first.starts_with('0');
    signs.iter().all(|s| s == sign) && first_fits && (threes || twos)
}

fn example(currency: &Currency) -> &'static str {
    match currency.decimals() {
        0 => "1250",
        3 => "120.500",
        _ => "120.50",
    }
}

fn not_an_amount(currency: &Currency) -> CellProblem {
    let example = example(currency);
    CellProblem::new(
        format!("an amount in {currency}, such as {example}"),
        "Write one amount in digits, or leave the cell empty if it is not known.",
    )
}

fn another_currency(mark: &str, currency: &Currency) -> CellProblem {
    CellProblem::new(
        format!("an amount in {currency}, the book's currency, not in '{mark}'"),
        format!("Convert the amount to {currency} and write it without a sign."),
    )
}

fn too_many_decimals(currency: &Currency) -> CellProblem {
    let expected = match currency.decimals() {
        0 => format!("an amount without decimals, as {currency} has none"),
        n => format!("an amount with at most {n} decimals, as {currency} has"),
    };
    CellProblem::new(
        expected,
        "Round it yourself: amounts are never changed in silence.",
    )
}

fn too_large(currency: &Currency) -> CellProblem {
    CellProblem::new(
        format!("an amount of at most 9e15 of the smallest unit of {currency}"),
        "Check the digits: no bicycle costs that much.",
    )
}
