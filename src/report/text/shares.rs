//! Shares, chances and changes in words.

use crate::pricing::records::gathered::LeftOut;

/// A share as a percentage in words: `under 1 %`, `37 %`, `over 99 %`.
pub fn percent(share: f64) -> String {
    match share * 100.0 {
        p if p < 1.0 => "under 1 %".into(),
        p if p > 99.0 => "over 99 %".into(),
        p => format!("{p:.0} %"),
    }
}

/// `11.7 %`.
pub fn one_percent(fraction: f64) -> String {
    format!("{:.1} %", 100.0 * fraction)
}

/// A change as a signed percentage: `+4.2 %`, `-12 %`.
pub fn change(fraction: f64) -> String {
    let percent = 100.0 * fraction;
    let words = if percent.abs() < 9.95 {
        format!("{percent:+.1} %")
    } else {
        format!("{percent:+.0} %")
    };
    if words == "-0.0 %" || words == "+0.0 %" {
        "0.0 %".into()
    } else {
        words
    }
}

/// `Four sales in five`, or the percentage where that is no plain fraction.
pub fn of_ten(level: f64) -> String {
    match level {
        0.5 => "One sale in two".into(),
        0.8 => "Four sales in five".into(),
        0.9 => "Nine sales in ten".into(),
        _ => format!("{} of such sales", level_percent(level)),
    }
}

/// The probability of a range as a percentage with the decimals that it has:
/// `99.9 %`.
pub fn level_percent(level: f64) -> String {
    let percent = level * 100.0;
    let mut written = (0..=12).map(|decimals| format!("{percent:.decimals$}"));
    let exact = |text: &String| {
        text.parse::<f64>()
            .is_ok_and(|read| (read - percent).abs() < 1e-11)
    };
    let shortest = written.clone().find(exact).or(written.next_back());
    format!("{} %", shortest.unwrap_or_default())
}

/// A record that was set aside, and how far off it is.
pub fn left_out(row: &LeftOut) -> String {
    match row.ratio {
        Some(ratio) if ratio >= 1.0 => format!("{} at {ratio:.1} times what is likely", row.name),
        Some(ratio) => format!("{} at 1/{:.1} of what is likely", row.name, 1.0 / ratio),
        None => format!("{} without a date or price", row.name),
    }
}
