//! Values of flags, read as the cells of files are.

use super::failure::Failure;
use crate::intake::{self, CellProblem, Settings};
use crate::trade::Money;

/// An amount of at least `least` minor units: 0 or 1.
pub(super) fn money(
    flag: &str,
    text: Option<&String>,
    least: i64,
    settings: &Settings,
) -> Result<Option<Money>, Failure> {
    read(flag, text, |t| {
        let amount = intake::parse_money(t, &settings.currency, settings.book_decimal)?;
        if amount.minor() >= least {
            return Ok(amount);
        }
        Err(if least > 0 {
            CellProblem::new(
                "an amount above 0",
                "Give an amount above 0, or leave it out.",
            )
        } else {
            CellProblem::new(
                "an amount that is not negative",
                "Take the minus sign away, or leave it out.",
            )
        })
    })
}

/// Reads a flag that was given.
pub(super) fn read<T>(
    flag: &str,
    text: Option<&String>,
    parse: impl Fn(&str) -> Result<T, CellProblem>,
) -> Result<Option<T>, Failure> {
    text.map(|t| parse(t).map_err(|problem| Failure::flag(flag, t, &problem)))
        .transpose()
}

/// Refuses what is no probability of a range.
pub(super) fn check_level(level: f64) -> Result<(), Failure> {
    if level > 0.0 && level < 1.0 {
        return Ok(());
    }
    Err(Failure::usage(
        format!("--level '{level}': expected a probability above 0 and below 1"),
        match level {
            2.0..100.0 => format!("{level} % is {}.", level / 100.0),
            _ => "Give a number such as 0.8, four in five.".to_string(),
        },
    ))
}
