//! Signs and codes of currencies as people write them beside an amount.

use crate::trade::Currency;

/// Signs and the ISO 4217 codes that each may stand for (common practice, no
/// source). Case does not matter and a closing full stop is left out (`kr.`).
const SIGNS: &[(&str, &str)] = &[
    ("€", "EUR"),
    ("£", "GBP GIP FKP SHP EGP LBP SDG SSP SYP"),
    (
        "$",
        "USD AUD CAD NZD SGD HKD MXN ARS BBD BMD BND BSD BZD CLP COP CVE CUP DOP FJD GYD JMD KYD \
         LRD MOP NAD SBD SRD TOP TTD TWD UYU WST XCD",
    ),
    ("us$", "USD"),
    ("a$", "AUD"),
    ("au$", "AUD"),
    ("c$", "CAD"),
    ("ca$", "CAD"),
    ("can$", "CAD"),
    ("nz$", "NZD"),
    ("hk$", "HKD"),
    ("s$", "SGD"),
    ("mx$", "MXN"),
    ("nt$", "TWD"),
    ("r$", "BRL"),
    ("¥", "JPY CNY"),
    ("￥", "JPY CNY"),
    ("円", "JPY"),
    ("元", "CNY"),
    ("kr", "SEK NOK DKK ISK"),
    ("zł", "PLN"),
    ("kč", "CZK"),
    ("ft", "HUF"),
    ("lei", "RON MDL"),
    ("лв", "BGN"),
    ("₴", "UAH"),
    ("₽", "RUB"),
    ("₺", "TRY"),
    ("₪", "ILS"),
    ("₹", "INR"),
    ("rs", "INR PKR NPR LKR MUR SCR"),
    ("₩", "KRW KPW"),
    ("₫", "VND"),
    ("฿", "THB"),
    ("₱", "PHP"),
    ("₦", "NGN"),
    ("₵", "GHS"),
    ("r", "ZAR"),
    ("rm", "MYR"),
    ("rp", "IDR"),
    ("fr", "CHF"),
    ("sfr", "CHF"),
];

/// What a mark beside an amount stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::intake) enum Mark {
    /// The book's currency, or a sign that may stand for it.
    Ours,
    /// Another currency.
    Another,
    /// No currency at all.
    Words,
}

/// Judges the text beside an amount, blanks around it taken away.
pub(in crate::intake) fn mark(text: &str, ours: &Currency) -> Mark {
    let bare = text.strip_suffix('.').unwrap_or(text).to_lowercase();
    let told = |ours_too: bool| if ours_too { Mark::Ours } else { Mark::Another };
    if let Some((_, codes)) = SIGNS.iter().find(|(sign, _)| *sign == bare) {
        return told(codes.split(' ').any(|code| code == ours.code()));
    }
    match Currency::from_code(&bare) {
        Some(currency) => told(currency == *ours),
        None => Mark::Words,
    }
}
