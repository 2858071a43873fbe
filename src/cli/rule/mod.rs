//! `rule`: the rule of giving, its changes, and what money does.

mod change;
mod figure;
pub(super) mod flags;

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use crate::book::Book;
use crate::report::rule::{json, text};
use flags::Rule;

/// Shows the rule, changes it, or keeps a beneficiary's figure.
///
/// # Errors
/// What was typed cannot be, the quarter is closed, or the book cannot be read or written.
pub(super) fn run(context: &mut Context<'_>, arguments: &Rule) -> Result<u8, Failure> {
    let changes =
        arguments.give.is_some() || arguments.share.is_some() || !arguments.beneficiary.is_empty();
    let mut book = Book::open(&context.book)?;
    let told = match (&arguments.means, changes) {
        (Some(means), _) => figure::keep(context.as_of, &mut book, arguments, means)?,
        (None, true) => change::make(context.as_of, &mut book, arguments)?,
        (None, false) if arguments.from.is_some() => {
            return Err(Failure::usage(
                "rule: what changes from that day on?",
                "Give --give, --share or --beneficiary; without --from the rule is shown.",
            ));
        }
        (None, false) => vec![],
    };
    let kept = book.rule_changes()?;
    let rules = book.rules()?;
    let (means, currency) = (book.means()?, book.settings().currency);
    match context.format {
        Format::Json => {
            let shown = json::of(&rules, &kept, &means, context.as_of, &currency);
            writeln!(context.out, "{shown:#}")?;
        }
        Format::Text if told.is_empty() => {
            let shown = text::all(&rules, &kept, &means, context.as_of, &currency);
            context.out.write_all(shown.as_bytes())?;
        }
        Format::Text => context.out.write_all(text::told(&told).as_bytes())?,
    }
    Ok(DONE)
}
