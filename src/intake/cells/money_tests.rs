//! Amounts as people write them. Expected values follow from the rules at the
//! top of `money.rs` and were worked out by hand.

use super::decimal_sign::DecimalSign;
use super::money::parse_money;
use crate::trade::{Currency, Money};
use proptest::prelude::*;

fn currency(code: &str) -> Currency {
    Currency::from_code(code).unwrap()
}

fn minor(text: &str, code: &str) -> Result<i64, String> {
    parse_money(text, &currency(code), None)
        .map(Money::minor)
        .map_err(|p| p.expected)
}

#[test]
fn amounts_are_read_exactly() {
    let cases: &[(&str, &str, i64)] = &[
        ("1234.5", "EUR", 123_450),
        ("1,234.50", "USD", 123_450),
        ("$1,234.50", "USD", 123_450),
        ("1.234,50 €", "EUR", 123_450),
        ("1.234,50\u{a0}€", "EUR", 123_450),
        ("€ 1 234,50", "EUR", 123_450),
        ("1\u{202f}234\u{202f}567,89", "EUR", 123_456_789),
        ("CHF 1'234.50", "CHF", 123_450),
        ("1’234", "CHF", 123_400),
        ("EUR 120", "EUR", 12_000),
        ("120eur", "EUR", 12_000),
        ("US$ 120 USD", "USD", 12_000),
        ("A$95", "AUD", 9_500),
        ("£1,250.00", "GBP", 125_000),
        ("120 kr.", "SEK", 12_000),
        ("1 200 zł", "PLN", 120_000),
        ("120,- Kč", "CZK", 12_000),
        ("1.200,-", "EUR", 120_000),
        ("120.–", "CHF", 12_000),
        ("Rs. 1,23,456.50", "INR", 12_345_650),
        ("180.00", "JPY", 180),
        ("180,00", "JPY", 180),
        ("1.234.567", "EUR", 123_456_700),
        ("1,234,567.5", "EUR", 123_456_750),
        ("1.234", "KWD", 1_234),
        ("1,234", "KWD", 1_234_000),
        ("1234.5", "KWD", 1_234_500),
        ("1,234.567", "KWD", 1_234_567),
        ("1.234,567", "KWD", 1_234_567),
        ("12.5000", "EUR", 1_250),
        ("0.500", "EUR", 50),
        (".50", "EUR", 50),
        ("$.50", "USD", 50),
        ("0", "EUR", 0),
        ("-0", "EUR", 0),
        ("007", "EUR", 700),
        ("+12,5", "EUR", 1_250),
        ("-150", "EUR", -15_000),
        ("−150", "EUR", -15_000),
        ("-$1,150.00", "USD", -115_000),
        ("$-12", "USD", -1_200),
        ("(12.50)", "EUR", -1_250),
        ("(€12.50)", "EUR", -1_250),
        ("90000000000000.00", "EUR", 9_000_000_000_000_000),
    ];
    for (text, code, expected) in cases {
        assert_eq!(minor(text, code), Ok(*expected), "{text} in {code}");
    }
}

#[test]
fn one_separator_before_three_digits_is_read_by_the_sign_that_is_known() {
    let by =
        |text: &str, code: &str, sign| parse_money(text, &currency(code), sign).map(Money::minor);
    let (point, comma) = (Some(DecimalSign::Point), Some(DecimalSign::Comma));
    for (text, code, sign, expected) in [
        ("1,234", "EUR", point, 123_400),
        ("1.234", "EUR", comma, 123_400),
        ("12.345 €", "EUR", comma, 1_234_500),
        ("12.500", "EUR", point, 1_250),
        ("12,500", "EUR", comma, 1_250),
        ("¥1,500", "JPY", point, 1_500),
        ("1.000", "JPY", point, 1),
        ("1.234", "KWD", None, 1_234),
        ("1.234", "KWD", comma, 1_234_000),
        ("1,234", "KWD", comma, 1_234),
        ("1234,567", "KWD", comma, 1_234_567),
        // What reads one way does so whatever is known.
        ("45.50", "EUR", comma, 4_550),
        ("1.234,50", "EUR", point, 123_450),
        ("0.500", "EUR", comma, 50),
    ] {
        assert_eq!(by(text, code, sign), Ok(expected), "{text} {code} {sign:?}");
    }
    for (text, code, sign, what) in [
        ("12.345", "EUR", point, "at most 2 decimals"),
        ("12,345", "EUR", comma, "at most 2 decimals"),
        ("1.500", "JPY", point, "without decimals"),
        ("1234.567", "EUR", comma, "an amount in EUR"),
        (
            "8.333",
            "EUR",
            None,
            "comma it is 8333 EUR, with --decimal point 8.333, more",
        ),
        (
            "12,500",
            "EUR",
            None,
            "comma it is 12.50 EUR, with --decimal point 12500 EUR",
        ),
        (
            "1,000",
            "JPY",
            None,
            "comma it is 1 JPY, with --decimal point 1000 JPY",
        ),
        (
            "1.500",
            "JPY",
            None,
            "comma it is 1500 JPY, with --decimal point more decimals",
        ),
    ] {
        let problem = parse_money(text, &currency(code), sign).expect_err(text);
        assert!(problem.expected.contains(what), "{text}: {problem}");
    }
}

#[test]
fn what_is_no_single_amount_is_refused() {
    let texts = [
        "offers",
        "free",
        "120-150",
        "120 ono",
        "120-",
        "--5",
        "1e3",
        "NaN",
        "inf",
        "12.",
        "1.",
        "1..2",
        "12,34.5.6",
        "1,2345.6",
        "1.23.456",
        "1 23",
        "1 234 56",
        "1'234 567",
        "12 €/month",
        "€",
        "(",
        ")",
        "()",
        "",
        "１２",
        "1,23,456",
        "0,123,456",
        "1,234.567,8",
        "120 EUR each",
        "2 for 120",
        "$$5",
        "+-5",
    ];
    for text in texts {
        let found = minor(text, "EUR").expect_err(text);
        let (euro, another) = ("an amount in EUR, such as 120.50", "the book's currency");
        assert!(
            found.contains(euro) || found.contains(another),
            "{text}: {found}"
        );
    }
}

#[test]
fn a_refusal_shows_an_amount_of_the_currency() {
    for (code, example) in [("EUR", "120.50"), ("JPY", "1250"), ("KWD", "120.500")] {
        let expected = format!("an amount in {code}, such as {example}");
        assert_eq!(minor("", code), Err(expected));
    }
}

/// Rupees are grouped in threes, or in twos above the last three.
#[test]
fn groups_of_two_stand_between_the_first_and_the_last() {
    assert_eq!(minor("1,23,45,678", "INR"), Ok(1_234_567_800));
    for text in ["1,234,56,789", "1,23,45", "123,45,678", "1,2,345"] {
        assert!(minor(text, "INR").is_err(), "{text}");
    }
}

#[test]
fn another_currency_is_refused_and_the_books_is_named() {
    for (text, code) in [
        ("$12", "EUR"),
        ("12 €", "GBP"),
        ("USD 12", "CAD"),
        ("US$12", "CAD"),
        ("£9", "USD"),
        ("12 kr", "EUR"),
        ("A$ 5", "USD"),
    ] {
        let found = minor(text, code).expect_err(text);
        assert!(
            found.contains(&format!("in {code}, the book's currency")),
            "{text}: {found}"
        );
    }
}

#[test]
fn decimals_that_the_currency_lacks_are_refused_unless_zero() {
    for (text, code) in [
        ("1.2345", "EUR"),
        ("0.505", "EUR"),
        ("1,234.567", "EUR"),
        ("180.5", "JPY"),
        ("1.2345", "KWD"),
    ] {
        assert!(
            minor(text, code).expect_err(text).contains("decimals"),
            "{text}"
        );
    }
}

#[test]
fn three_digits_after_more_than_three_read_two_ways() {
    for (text, code) in [
        ("1234.500", "EUR"),
        ("1234,567", "EUR"),
        ("1234,500", "KWD"),
        ("012.345", "EUR"),
        ("123456789012345.678", "EUR"),
    ] {
        assert_eq!(
            minor(text, code),
            Err("an amount that reads one way only".into()),
            "{text}"
        );
    }
    let three = minor("123.456", "EUR").unwrap_err();
    assert!(three.contains("with --decimal comma it is"), "{three}");
    let mend = |text| parse_money(text, &currency("EUR"), None).unwrap_err().mend;
    assert_eq!(mend("1234.500"), "Write 1234500, or 1234.5.");
    assert_eq!(
        mend("1234.000"),
        "Write 1234000 or 1234: the one that is meant."
    );
}

#[test]
fn amounts_beyond_the_limit_are_refused() {
    for text in [
        "90000000000000.01",
        "99999999999999999999",
        "1e16",
        &"9".repeat(1000),
    ] {
        assert!(minor(text, "EUR").is_err(), "{text}");
    }
    assert!(
        minor("9000000000000001", "JPY")
            .unwrap_err()
            .contains("at most 9e15")
    );
}

/// Digits in groups of three with a sign between.
fn grouped(digits: &str, sign: &str) -> String {
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push_str(sign);
        }
        out.push(digit);
    }
    out
}

proptest! {
    #[test]
    fn what_is_written_is_read_back(
        amount in -9_000_000_000_000_000_i64..=9_000_000_000_000_000,
        small in any::<bool>(),
        code in prop::sample::select(vec!["EUR", "JPY", "KWD", "GBP"]),
        style in 0..6_usize,
    ) {
        let currency = currency(code);
        let money = Money::from_minor(if small { amount % 10_000_000 } else { amount });
        let plain = currency.plain(money);
        let (sign, unsigned) = plain.strip_prefix('-').map_or(("", plain.as_str()), |rest| ("-", rest));
        let (whole, cents) = unsigned.split_once('.').unwrap_or((unsigned, ""));
        let tail = |point: &str| if cents.is_empty() { String::new() } else { format!("{point}{cents}") };
        let decimal = match style {
            0 | 1 | 3 => DecimalSign::Point,
            4 if sign == "-" => DecimalSign::Point,
            _ => DecimalSign::Comma,
        };
        let written = match style {
            0 => plain.clone(),
            1 => format!("{sign}{}{}", grouped(whole, ","), tail(".")),
            2 => format!("{sign}{}{} {code}", grouped(whole, "\u{202f}"), tail(",")),
            3 => format!("{code} {sign}{}{}", grouped(whole, "’"), tail(".")),
            4 if sign == "-" => format!("({whole}{})", tail(".")),
            _ => format!("{sign}{}{}", grouped(whole, "."), tail(",")),
        };
        prop_assert_eq!(parse_money(&written, &currency, Some(decimal)), Ok(money), "{}", written);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,12}|[-0-9., '’()€$]{0,12}") {
        for code in ["EUR", "JPY", "KWD", "INR"] {
            let _ = parse_money(&text, &currency(code), None).map_err(|problem| {
                assert!(!problem.expected.is_empty() && !problem.mend.is_empty());
            });
        }
    }
}
