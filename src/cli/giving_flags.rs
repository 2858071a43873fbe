//! Flags of the rule of giving, as `start` and `rule` take them.

use super::failure::Failure;
use crate::trade::{self, Beneficiary};
use clap::ValueEnum;

/// What gifts are taken from.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Give {
    /// The sale prices
    Price,
    /// The sale prices less the costs
    Net,
}

impl Give {
    /// As the books take it.
    pub(super) fn of_trade(self) -> trade::Give {
        match self {
            Give::Price => trade::Give::Price,
            Give::Net => trade::Give::Net,
        }
    }
}

/// Beneficiaries as they were given, each once.
pub(super) fn beneficiaries(texts: &[String]) -> Result<Vec<Beneficiary>, Failure> {
    let mut all: Vec<Beneficiary> = Vec::new();
    for text in texts {
        let beneficiary = beneficiary(text)?;
        if all.iter().any(|known| known.name == beneficiary.name) {
            return Err(Failure::usage(
                format!("--beneficiary '{}' is given twice", beneficiary.name),
                "Name each beneficiary once, with its weight: --beneficiary \"NAME=70\".",
            ));
        }
        all.push(beneficiary);
    }
    Ok(all)
}

/// A percentage above 0, at most 100, with at most two decimals, in hundredths.
pub(super) fn share(text: &str) -> Result<u16, Failure> {
    let bare = text.trim().trim_end_matches('%').trim();
    let (whole, decimals) = bare.split_once('.').unwrap_or((bare, ""));
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    let value = (digits(whole) && !whole.is_empty() && digits(decimals) && decimals.len() <= 2)
        .then(|| format!("{whole}{decimals:0<2}").parse::<u16>().ok())
        .flatten()
        .filter(|share| (1..=10_000).contains(share));
    value.ok_or_else(|| {
        Failure::usage(
            format!("--share '{text}': expected a percentage above 0, at most 100, with at most two decimals"),
            "Give a number such as 100, 50 or 33.33.",
        )
    })
}

/// `NAME` or `NAME=WEIGHT`.
fn beneficiary(text: &str) -> Result<Beneficiary, Failure> {
    let wrong = |expected: &str| {
        Failure::usage(
            format!("--beneficiary '{text}': expected {expected}"),
            "Give a name, or name and weight: --beneficiary \"Reading room=70\".",
        )
    };
    let (name, weight) = match text.rsplit_once('=') {
        None => (text, 1),
        Some((name, weight)) => {
            let weight = weight.trim().parse::<u32>().ok().filter(|w| *w > 0);
            (
                name,
                weight.ok_or_else(|| wrong("a whole number above 0 after the ="))?,
            )
        }
    };
    let name = name.trim();
    if name.is_empty() || name.chars().any(char::is_control) {
        return Err(wrong("a name"));
    }
    Ok(Beneficiary {
        name: name.to_string(),
        weight,
    })
}
