//! Money, shares and bikes in words.

use crate::trade::{Bike, Currency, Money, SeatTube};

/// An amount with all its decimals and thousands grouped: `1,234.50`.
pub fn exact(money: Money, currency: &Currency) -> String {
    let plain = currency.plain(money);
    let (sign, rest) = plain
        .strip_prefix('-')
        .map_or(("", plain.as_str()), |r| ("-", r));
    let (whole, decimals) = rest
        .split_once('.')
        .map_or((rest, None), |(w, d)| (w, Some(d)));
    let whole = in_thousands(whole);
    match decimals {
        Some(d) => format!("{sign}{whole}.{d}"),
        None => format!("{sign}{whole}"),
    }
}

/// Digits with a comma before every three.
fn in_thousands(digits: &str) -> String {
    let mut grouped = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped
}

/// Units of 0 or more on the axis of a picture: `1,200`.
pub fn on_axis(units: f64) -> String {
    in_thousands(&format!("{units:.0}"))
}

/// An amount with its sign, for lines that add up: `+12.50`, `-3.00`.
pub fn signed(money: Money, currency: &Currency) -> String {
    if money.minor() < 0 {
        exact(money, currency)
    } else {
        format!("+{}", exact(money, currency))
    }
}

/// An amount as one would say it: rounded to a step of about 2 % of itself out
/// of 1, 2, 5, 10, 20, 50 … units (or tenths, hundredths of small amounts), and
/// never to 0.
pub fn round(money: Money, currency: &Currency) -> String {
    let units = currency.units(money);
    let step = round_step(units.abs()).max(1.0 / currency.scale() as f64);
    let Some(rounded) = currency.round((units / step).round() * step) else {
        return exact(money, currency);
    };
    let words = exact(rounded, currency);
    match words.split_once('.') {
        Some((whole, _)) if step >= 1.0 => whole.to_string(),
        _ => words,
    }
}

/// A price that was seen, to whole units where it has ten or more: `95`, `1,250`, `7.50`.
pub fn whole(money: Money, currency: &Currency) -> String {
    let units = currency.units(money);
    let rounded = currency
        .round(units.round())
        .filter(|_| units.abs() >= 10.0);
    plain(rounded.unwrap_or(money), currency)
}

/// An amount with decimals only where it has any: `235`, `12.50`.
pub fn plain(money: Money, currency: &Currency) -> String {
    let words = exact(money, currency);
    match words.split_once('.') {
        Some((whole, decimals)) if decimals.bytes().all(|d| d == b'0') => whole.to_string(),
        _ => words,
    }
}

/// Step of about 2 % of an amount of `units`; 0 for nothing.
pub fn round_step(units: f64) -> f64 {
    let target = units * 0.02;
    if !(target.is_finite() && target > 0.0) {
        return 0.0;
    }
    let decade = 10_f64.powf(target.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|s| s * decade);
    let nearest = steps
        .iter()
        .copied()
        .min_by(|a, b| (a / target).ln().abs().total_cmp(&(b / target).ln().abs()));
    nearest.unwrap_or(1.0)
}

/// A bike on one line: `hybrid, 2016, 4 tidy, 2 sport, 53 cm (M)`.
pub fn bike(bike: &Bike) -> String {
    let mut parts = vec![bike.style.to_string()];
    parts.push(bike.made.map_or("year unknown".into(), |y| y.to_string()));
    parts.push(bike.condition.map_or("condition unknown".into(), |c| {
        format!("condition {} {c}", c.grade())
    }));
    parts.push(
        bike.tier
            .map_or("tier unknown".into(), |t| format!("tier {} {t}", t.grade())),
    );
    parts.push(match (bike.seat_tube, bike.size()) {
        (Some(tube @ SeatTube::Length(_)), Some(class)) => format!("{tube} ({class})"),
        (Some(tube), _) => tube.to_string(),
        (None, _) => "size unknown".into(),
    });
    parts.join(", ")
}

/// The same in few characters: `hybrid 2016, tidy, sport, M`; what is not known is left out.
pub fn briefly(bike: &Bike) -> String {
    let mut parts = vec![match bike.made {
        Some(years) => format!("{} {years}", bike.style),
        None => bike.style.to_string(),
    }];
    parts.extend(bike.condition.map(|condition| condition.to_string()));
    parts.extend(bike.tier.map(|tier| tier.to_string()));
    parts.extend(bike.size().map(|size| size.to_string()));
    parts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::on_axis;

    #[test]
    fn an_axis_groups_thousands() {
        let said = [0.0, 999.4, 1000.0, 1_234_567.0].map(on_axis);
        assert_eq!(said, ["0", "999", "1,000", "1,234,567"]);
    }
}
