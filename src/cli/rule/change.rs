//! A change of the rule from the first day of a quarter on.

use super::flags::Rule;
use crate::book::Book;
use crate::cli::failure::Failure;
use crate::cli::giving_flags::{beneficiaries, share};
use crate::cli::how_written;
use crate::intake;
use crate::report::rule::text;
use crate::trade::{Day, Quarter, RuleChange};

/// Makes it; what was done, in sentences.
pub(super) fn make(as_of: Day, book: &mut Book, wanted: &Rule) -> Result<Vec<String>, Failure> {
    let from = from(as_of, book, wanted)?;
    let rules = book.rules()?;
    let before = rules.on(from).clone();
    let mut giving = before.clone();
    if let Some(give) = wanted.give {
        giving.give = give.of_trade();
    }
    if let Some(percent) = &wanted.share {
        giving.share = share(percent)?;
    }
    if !wanted.beneficiary.is_empty() {
        giving.beneficiaries = beneficiaries(&wanted.beneficiary)?;
    }
    let change = RuleChange { from, giving };
    let mut told = text::of_change(&rules, &change);
    if change.giving != before {
        let starts = book.settings().giving.year_starts;
        let quarter = Quarter::of(from, starts);
        if quarter < Quarter::of(as_of, starts) {
            told.push(text::of_a_quarter_that_is_over(quarter));
        }
        book.change_rule(&change, as_of)?;
    }
    Ok(told)
}

/// The first day of a quarter that is open.
fn from(as_of: Day, book: &Book, wanted: &Rule) -> Result<Day, Failure> {
    let starts = book.settings().giving.year_starts;
    let here = Quarter::of(as_of, starts);
    let Some(text) = &wanted.from else {
        return Err(Failure::usage(
            "rule: from which day on?",
            format!(
                "Give the first day of a quarter: --from {} or --from {}.",
                here.first_day(starts),
                here.next().first_day(starts)
            ),
        ));
    };
    let order = how_written::settings(book, as_of)?.dates;
    let day = intake::parse_typed_day(text, order, as_of)
        .map_err(|problem| Failure::flag("--from", text, &problem))?;
    let quarter = Quarter::of(day, starts);
    let (first, next) = (quarter.first_day(starts), quarter.next().first_day(starts));
    if day != first {
        return Err(Failure::usage(
            format!("--from '{text}': expected the first day of a quarter"),
            format!("A rule holds for whole quarters: give --from {first} or --from {next}."),
        ));
    }
    let last_closed = book
        .closings(Day::MAX)?
        .last()
        .map(|closing| closing.quarter);
    if let Some(last) = last_closed.filter(|last| quarter <= *last) {
        let of_it = if quarter == last {
            format!("{quarter} is closed")
        } else {
            format!("{quarter} lies before {last}, which is closed")
        };
        return Err(Failure::refused(
            format!("--from '{text}': {of_it}, and its report stays as it is"),
            format!(
                "The first quarter that is open begins on {}.",
                last.next().first_day(starts)
            ),
        ));
    }
    Ok(day)
}
