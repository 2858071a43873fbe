//! Money as whole minor units. The only place where money is rounded or split.

use std::fmt;

/// A currency: its ISO 4217 code and how many decimals its minor unit has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Currency {
    code: [u8; 3],
    decimals: u8,
}

/// Currencies whose number of decimals is not 2 (ISO 4217:2015, list one;
/// codes and exponents quoted from memory, the fund codes left out).
const OTHER_DECIMALS: &[(&str, u8)] = &[
    ("BIF", 0),
    ("CLP", 0),
    ("DJF", 0),
    ("GNF", 0),
    ("ISK", 0),
    ("JPY", 0),
    ("KMF", 0),
    ("KRW", 0),
    ("PYG", 0),
    ("RWF", 0),
    ("UGX", 0),
    ("VND", 0),
    ("VUV", 0),
    ("XAF", 0),
    ("XOF", 0),
    ("XPF", 0),
    ("BHD", 3),
    ("IQD", 3),
    ("JOD", 3),
    ("KWD", 3),
    ("LYD", 3),
    ("OMR", 3),
    ("TND", 3),
];

/// Currencies with two decimals (ISO 4217:2015 list one, from memory).
const TWO_DECIMALS: &str = "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB \
    BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD \
    FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT \
    LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK \
    NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP \
    STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD YER ZAR ZMW \
    ZWG";

impl Currency {
    /// Looks up an ISO 4217 code (any case). `None` if it is not in the list.
    ///
    /// ```
    /// use wheelworth::trade::Currency;
    /// assert_eq!(Currency::from_code("kwd").unwrap().decimals(), 3);
    /// assert!(Currency::from_code("XYZ").is_none());
    /// ```
    pub fn from_code(code: &str) -> Option<Self> {
        let upper = code.trim().to_ascii_uppercase();
        let code: [u8; 3] = upper.as_bytes().try_into().ok()?;
        let other = OTHER_DECIMALS.iter().find(|(c, _)| *c == upper);
        let decimals = match other {
            Some((_, d)) => *d,
            None if TWO_DECIMALS.split_whitespace().any(|c| c == upper) => 2,
            None => return None,
        };
        Some(Self { code, decimals })
    }

    /// The three letters, for example `EUR`.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.code).unwrap_or("???")
    }

    /// Decimals of the minor unit: 0, 2 or 3.
    pub fn decimals(&self) -> u8 {
        self.decimals
    }

    /// Minor units in one unit: 1, 100 or 1000.
    pub fn scale(&self) -> i64 {
        10_i64.pow(u32::from(self.decimals))
    }

    /// Rounds an amount in the currency's units to money, half away from zero.
    /// `None` for anything that is not finite or too large to hold.
    pub fn round(&self, units: f64) -> Option<Money> {
        let minor = (units * self.scale() as f64).round();
        (minor.is_finite() && minor.abs() <= 9e15).then(|| Money::from_minor(minor as i64))
    }

    /// An amount in the currency's units, for the models and for JSON.
    pub fn units(&self, money: Money) -> f64 {
        money.minor() as f64 / self.scale() as f64
    }

    /// The amount with a full stop and all decimals: `1234.50`, `-0.07`, `180`.
    pub fn plain(&self, money: Money) -> String {
        let (scale, minor) = (self.scale().unsigned_abs(), money.minor().unsigned_abs());
        let sign = if money.minor() < 0 { "-" } else { "" };
        if self.decimals == 0 {
            return format!("{sign}{minor}");
        }
        let width = usize::from(self.decimals);
        format!("{sign}{}.{:0width$}", minor / scale, minor % scale)
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// An amount of money in whole minor units (cents) of the book's currency.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    serde::Serialize,
    serde::Deserialize,
)]
#[serde(transparent)]
pub struct Money(i64);

impl Money {
    /// No money.
    pub const ZERO: Money = Money(0);

    /// Wraps a count of minor units.
    pub const fn from_minor(minor: i64) -> Self {
        Self(minor)
    }

    /// The count of minor units.
    pub const fn minor(self) -> i64 {
        self.0
    }
}

impl std::iter::Sum for Money {
    /// Adds exactly; saturates at the ends of what 64 bits hold, which no
    /// checked record can reach (each amount is below 9e15 minor units).
    fn sum<I: Iterator<Item = Money>>(iter: I) -> Money {
        Money(iter.fold(0_i64, |sum, money| sum.saturating_add(money.0)))
    }
}

/// Splits `total` minor units in proportion to `weights` so that the parts add
/// up to it exactly (largest remainder, Hamilton's method): each part is the
/// quota rounded down, and the units left over go to the largest remainders,
/// equal ones to whichever stands first. A negative total is split by symmetry.
/// All parts are 0 when the weights add up to 0.
///
/// ```
/// use wheelworth::trade::money::split;
/// assert_eq!(split(12345, &[50, 30, 20]), [6173, 3703, 2469]);
/// assert_eq!(split(1, &[1, 1, 1]), [1, 0, 0]);
/// ```
pub fn split(total: i64, weights: &[u64]) -> Vec<i64> {
    let whole: u128 = weights.iter().map(|w| u128::from(*w)).sum();
    if whole == 0 {
        return vec![0; weights.len()];
    }
    let amount = u128::from(total.unsigned_abs());
    let mut parts: Vec<i64> = Vec::with_capacity(weights.len());
    let mut remainders: Vec<(u128, usize)> = Vec::with_capacity(weights.len());
    for (index, weight) in weights.iter().enumerate() {
        let quota = amount * u128::from(*weight);
        parts.push((quota / whole) as i64);
        remainders.push((quota % whole, index));
    }
    let left =
        i128::from(total.unsigned_abs()) - parts.iter().map(|p| i128::from(*p)).sum::<i128>();
    remainders.sort_by_key(|(remainder, index)| (std::cmp::Reverse(*remainder), *index));
    for (_, index) in remainders.iter().take(left as usize) {
        parts[*index] += 1;
    }
    if total < 0 {
        for part in &mut parts {
            *part = -*part;
        }
    }
    parts
}

/// Rounds real amounts (in minor units) to whole ones whose sum is exactly
/// `total`: each is rounded down and the rest handed out by largest remainder.
/// For lists of price factors, whose printed lines must add up.
pub fn round_to_sum(amounts: &[f64], total: i64) -> Vec<i64> {
    let mut parts: Vec<i64> = amounts.iter().map(|a| a.floor() as i64).collect();
    let mut order: Vec<usize> = (0..amounts.len()).collect();
    order.sort_by(|a, b| {
        let remainder = |i: usize| amounts[i] - amounts[i].floor();
        remainder(*b).total_cmp(&remainder(*a)).then(a.cmp(b))
    });
    let mut left = total - parts.iter().sum::<i64>();
    for index in order.iter().cycle() {
        if left == 0 || amounts.is_empty() {
            break;
        }
        parts[*index] += left.signum();
        left -= left.signum();
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_too_large_to_hold_are_no_money() {
        let euro = Currency::from_code("EUR").unwrap();
        assert_eq!(
            euro.round(9e13),
            Some(Money::from_minor(9_000_000_000_000_000))
        );
        for units in [9.1e13, -9.1e13, f64::INFINITY, f64::NAN] {
            assert_eq!(euro.round(units), None, "{units}");
        }
    }

    #[test]
    fn only_codes_of_the_list_are_currencies() {
        let decimals = |code| Currency::from_code(code).map(|found| found.decimals());
        assert_eq!(decimals(" usd "), Some(2));
        assert_eq!(decimals("jpy"), Some(0));
        assert_eq!(decimals("KWD"), Some(3));
        for unknown in ["XYZ", "EURO", "EU", "", "€€€"] {
            assert_eq!(decimals(unknown), None, "{unknown}");
        }
    }
}
