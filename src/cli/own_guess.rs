//! What the owner guesses, before the program has said anything.

use super::failure::Failure;
use super::flag_values::money;
use crate::intake::Settings;
use crate::trade::{Currency, Money};
use std::io::{BufRead as _, Read as _, Write};

/// Most bytes of a guess that is typed.
const MOST_TYPED: u64 = 1000;

/// The guess that `--guess` gives, asked for by `question` where it has no amount.
///
/// # Errors
/// No amount of money, or none where nobody is there to type it.
pub(super) fn guess(
    err: &mut dyn Write,
    flag: Option<&String>,
    question: &str,
    settings: &Settings,
) -> Result<Option<Money>, Failure> {
    let typed = match flag {
        Some(amount) if amount.is_empty() => asked_for(err, question, &settings.currency)?,
        _ => flag.cloned(),
    };
    money("--guess", typed.as_ref(), 1, settings)
}

/// The guess as it is typed on standard input, before the figure is shown; `None` where it
/// is left empty.
fn asked_for(
    err: &mut dyn Write,
    question: &str,
    currency: &Currency,
) -> Result<Option<String>, Failure> {
    write!(
        err,
        "Before you see a price: {question}, in {currency}? (Enter: no guess) "
    )?;
    err.flush()?;
    let mut typed = String::new();
    let read = std::io::stdin()
        .lock()
        .take(MOST_TYPED)
        .read_line(&mut typed);
    match read {
        Ok(1..) => Ok(Some(typed.trim().to_string()).filter(|guess| !guess.is_empty())),
        _ => Err(Failure::usage(
            "--guess has no amount, and nobody is there to type one",
            "Give it: --guess 180",
        )),
    }
}
