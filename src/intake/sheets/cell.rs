//! A value of a cell as it is written in a CSV file.

/// What a cell holds, beside its text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::intake) enum Holds {
    /// Text, to be read as that of a CSV file is.
    Text,
    /// A number: its full stop stands before decimals.
    Number,
    /// A day.
    Day,
    /// A day with a time of day.
    DayAndTime,
    /// A number shown as a percentage.
    Percent,
    /// Yes or no.
    YesOrNo,
    /// What a formula gives that cannot be worked out.
    Error,
    /// A formula without what it gives.
    Formula,
}

/// A cell that is not empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::intake) struct Cell {
    pub(in crate::intake) text: String,
    pub(in crate::intake) holds: Holds,
}

impl Cell {
    pub(in crate::intake) fn new(text: impl Into<String>, holds: Holds) -> Self {
        Self {
            text: text.into(),
            holds,
        }
    }

    /// A number; one that is none (which no spreadsheet writes) is an error.
    pub(in crate::intake) fn number(value: f64) -> Self {
        match as_shown(value) {
            Some(text) => Self::new(text, Holds::Number),
            None => Self::new("#NUM!", Holds::Error),
        }
    }

    /// A number that is shown as a percentage.
    pub(in crate::intake) fn percent(value: f64) -> Self {
        match as_shown(value * 100.0) {
            Some(text) => Self::new(format!("{text}%"), Holds::Percent),
            None => Self::new("#NUM!", Holds::Error),
        }
    }

    /// A number with the sign of another currency than the book's beside it.
    pub(in crate::intake) fn of_currency(value: f64, mark: &str) -> Self {
        let mut cell = Self::number(value);
        cell.text = format!("{mark} {}", cell.text);
        cell
    }

    pub(in crate::intake) fn yes_or_no(yes: bool) -> Self {
        Self::new(if yes { "TRUE" } else { "FALSE" }, Holds::YesOrNo)
    }
}

/// A number as a spreadsheet shows it: at 15 significant digits, which is what they work
/// to (common practice, no source), without an exponent. `None` for what is no number.
pub(in crate::intake) fn as_shown(value: f64) -> Option<String> {
    if !value.is_finite() {
        return None;
    }
    let rounded: f64 = format!("{value:.14e}").parse().ok()?;
    Some(if rounded == 0.0 {
        "0".to_string()
    } else {
        rounded.to_string()
    })
}

/// Whether a number format shows a percentage: a `%` that is no text.
pub(in crate::intake) fn is_percent(format: &str) -> bool {
    let mut quoted = false;
    let mut letters = format.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '"' => quoted = !quoted,
            '\\' => {
                letters.next();
            }
            '%' if !quoted => return true,
            _ => {}
        }
    }
    false
}

/// What a number format shows beside a number and may be a currency: `[$€-407]`, `[$CHF]`,
/// `"kr"`, `£`. A bare `$` is none: programs write it for whatever currency the computer
/// has.
pub(in crate::intake) fn marks_of(format: &str) -> Vec<String> {
    let mut marks = Vec::new();
    let mut letters = format.chars();
    while let Some(letter) = letters.next() {
        let mark: String = match letter {
            '"' => letters.by_ref().take_while(|c| *c != '"').collect(),
            '[' => {
                let inside: String = letters.by_ref().take_while(|c| *c != ']').collect();
                // Without the sign of money it is a colour, a condition or a span of time.
                let sign = inside.strip_prefix('$').unwrap_or("");
                sign.split('-').next().unwrap_or("").to_string()
            }
            '\\' => letters.next().map(String::from).unwrap_or_default(),
            // Room as wide as the next letter, or filled with it.
            '_' | '*' => {
                letters.next();
                continue;
            }
            other if !other.is_ascii() => other.to_string(),
            _ => continue,
        };
        let mark = mark.trim();
        if !mark.is_empty() {
            marks.push(mark.to_string());
        }
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_they_are_shown() {
        for (value, shown) in [
            (30.299_999_999_999_997, "30.3"),
            (2012.0, "2012"),
            (12.345, "12.345"),
            (0.1 + 0.2, "0.3"),
            (-0.0, "0"),
            (-12.5, "-12.5"),
            (1e15, "1000000000000000"),
            (1.5e-7, "0.00000015"),
        ] {
            assert_eq!(as_shown(value).unwrap(), shown);
        }
        assert_eq!(as_shown(f64::NAN), None);
        assert_eq!(Cell::number(f64::INFINITY).holds, Holds::Error);
    }

    #[test]
    fn formats_tell_percentages_and_currencies() {
        assert!(is_percent("0.00%") && !is_percent("0\" %\"") && !is_percent("0\\%"));
        let marks = |format: &str| marks_of(format).join(" ");
        for (format, shown) in [
            ("#,##0.00 [$€-407]", "€"),
            ("[$CHF] 0.00", "CHF"),
            ("[$-409]d. mmm", ""),
            ("\"$\"#,##0.00", "$"),
            ("£0.00", "£"),
            ("\"USD\" 0.00", "USD"),
            ("0.00 \"CHF\"", "CHF"),
            ("[Red]#,##0.00 \"kr\"", "kr"),
            ("[$-407]#,##0.00 £", "£"),
            ("$#,##0.00", ""),
            ("#,##0.00 _€", ""),
            ("0.00\\ \"zł\"", "zł"),
            ("General", ""),
        ] {
            assert_eq!(marks(format), shown, "{format}");
        }
    }
}
