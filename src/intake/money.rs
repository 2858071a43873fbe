//! Amounts of money as people write them, read exactly or refused.
//!
//! How a separator is told: with both `.` and `,` the last one is the decimal
//! sign. One that stands alone and is followed by exactly three digits groups
//! thousands (`1,234` and `1.234` are 1234), except that in a currency of three
//! decimals a full stop is the decimal point. Blanks and apostrophes only group.

use super::currency_signs::{Mark, mark};
use super::problem::CellProblem;
use crate::trade::{Currency, Money};

/// Largest amount that is read, in minor units (a double holds it exactly).
const LARGEST: u64 = 9_000_000_000_000_000;

/// Currencies in whose countries digits are grouped in twos above a thousand
/// (`1,23,456`; common practice, no source).
const GROUPED_IN_TWOS: &[&str] = &["INR", "PKR", "NPR", "BDT", "LKR"];

/// Reads an amount; brackets or a minus sign make it negative.
///
/// Errors: text that is no amount, another currency's sign or code, more
/// decimals than the currency has (other than zeros), digits grouped wrongly,
/// an amount above 9e15 minor units.
///
/// ```
/// use wheelworth::intake::parse_money;
/// use wheelworth::trade::Currency;
/// let euro = Currency::from_code("EUR").unwrap();
/// assert_eq!(parse_money("1.234,50 €", &euro).unwrap().minor(), 123_450);
/// assert!(parse_money("$12", &euro).is_err());
/// ```
pub fn parse_money(text: &str, currency: &Currency) -> Result<Money, CellProblem> {
    let text = text.trim();
    match plain(text.as_bytes(), currency) {
        Some(money) => Ok(money),
        None => written(text, currency),
    }
}

/// The fast path: digits, or digits, a full stop and decimals that can only be
/// decimals. Anything else is left to [`written`].
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

/// Everything that [`plain`] does not read.
fn written(text: &str, currency: &Currency) -> Result<Money, CellProblem> {
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
    let body = format!("{leading_point}{body}{whole_mark}");
    let minor = minor_units(&body, currency)?;
    within_limit(minor, bracketed || minus).ok_or_else(|| too_large(currency))
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

/// `120,-` and `120.--` say that there are no cents: they become `120,0`.
fn without_dash_for_cents(after: &str) -> (&str, &'static str) {
    for (point, zero) in [(',', ",0"), ('.', ".0")] {
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
fn minor_units(body: &str, currency: &Currency) -> Result<u64, CellProblem> {
    let mut signs = Vec::new();
    for c in body.chars().filter(|c| !c.is_ascii_digit()) {
        signs.push(separator(c).ok_or_else(|| not_an_amount(currency))?);
    }
    let groups: Vec<&str> = body.split(|c: char| !c.is_ascii_digit()).collect();
    let has_decimals = decimal_sign_is_last(&signs, &groups, currency)?;
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

/// Whether the last separator is the decimal sign. An error where the rule of
/// three digits would read digits as thousands that are not grouped in threes.
fn decimal_sign_is_last(
    signs: &[char],
    groups: &[&str],
    currency: &Currency,
) -> Result<bool, CellProblem> {
    let Some(last) = signs.last().filter(|c| matches!(c, '.' | ',')) else {
        return Ok(false);
    };
    let alike = signs.iter().filter(|c| *c == last).count();
    if alike < signs.len() || alike > 1 {
        return Ok(alike == 1); // another kind groups; twice the same groups
    }
    let [before, after] = groups else {
        return Ok(false);
    };
    let three_decimals = currency.decimals() == 3 && *last == '.';
    if after.len() != 3 || three_decimals || before.bytes().all(|b| b == b'0') {
        return Ok(true); // 12.5, 1.234 in KWD, 0.500
    }
    if before.len() > 15 {
        return Err(too_large(currency));
    }
    if before.len() > 3 || before.starts_with('0') {
        let mend = format!(
            "Write {before}{after}, or {before}.{}.",
            after.trim_end_matches('0')
        );
        let mend = if after.bytes().all(|b| b == b'0') {
            format!("Write {before}{after} or {before}, whichever is meant.")
        } else {
            mend
        };
        return Err(CellProblem::new("an amount that reads one way only", mend));
    }
    Ok(false)
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
