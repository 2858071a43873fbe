//! What money does, by a beneficiary's own figure.

use super::flags::Rule;
use crate::book::Book;
use crate::cli::failure::Failure;
use crate::cli::flag_values::money;
use crate::cli::{how_written, like_id};
use crate::intake;
use crate::report::rule::text;
use crate::report::text::counts::listed;
use crate::trade::{Day, Means};

/// Keeps it; what was done, in sentences.
pub(super) fn keep(
    as_of: Day,
    book: &mut Book,
    wanted: &Rule,
    means: &str,
) -> Result<Vec<String>, Failure> {
    let settings = how_written::settings(book, as_of)?;
    let wrong = |expected: &str| {
        Failure::usage(
            format!("--means '{means}': expected {expected}"),
            "Give what it is and what one costs: --means \"meal=2.40\", or with the word for several of it: \
             --means \"child/children=8\".",
        )
    };
    let (what, amount) = means
        .rsplit_once('=')
        .ok_or_else(|| wrong("what money does, = and what one costs"))?;
    let (unit, units) = match what.split_once('/') {
        None => (what.trim().to_string(), several(what.trim())),
        Some((one, several)) => (one.trim().to_string(), several.trim().to_string()),
    };
    if [&unit, &units].iter().any(|word| !is_word(word)) {
        return Err(wrong("a word or a few for what money does before the ="));
    }
    let amount = amount.trim().to_string();
    let amount = money("--means", Some(&amount), 1, &settings)?
        .ok_or_else(|| wrong("what one costs after the ="))?;
    let on = match &wanted.from {
        None => as_of,
        Some(text) => intake::parse_typed_day(text, settings.dates, as_of)
            .map_err(|problem| Failure::flag("--from", text, &problem))?,
    };
    if on > as_of {
        return Err(Failure::usage(
            format!("--from '{on}': expected a day up to {as_of}, not one in the future"),
            "Give the day on which you were given the figure.",
        ));
    }
    let means = Means {
        beneficiary: whose(as_of, book, wanted.whose.as_deref())?,
        on,
        unit,
        units,
        amount,
    };
    book.keep_means(&means)?;
    Ok(text::of_figure(&means, &book.settings().currency))
}

/// Longest word, in letters, that reads well in a sentence. A choice without a source.
const LONGEST: usize = 60;

fn is_word(text: &str) -> bool {
    !text.is_empty() && text.chars().count() <= LONGEST && !text.chars().any(char::is_control)
}

/// Several of it, by the rules of English that hold for most words (general knowledge);
/// what comes out is told at once, and another word can be given.
fn several(one: &str) -> String {
    let hisses = ["s", "x", "z", "ch", "sh"];
    let before_y = one.strip_suffix('y');
    match before_y {
        Some(stem) if !stem.ends_with(['a', 'e', 'i', 'o', 'u']) => format!("{stem}ies"),
        _ if hisses.iter().any(|end| one.ends_with(end)) => format!("{one}es"),
        _ => format!("{one}s"),
    }
}

/// Whose figure it is: the one who was named, or the only one there is.
fn whose(as_of: Day, book: &Book, named: Option<&str>) -> Result<String, Failure> {
    let rules = book.rules()?;
    // A rule that begins later names them already.
    let known = rules.named_by(Day::MAX);
    let now: Vec<&str> = {
        let now = rules.on(as_of).beneficiaries.iter();
        now.map(|who| who.name.as_str()).collect()
    };
    match (named.map(str::trim), now.as_slice()) {
        (Some(name), _) if known.contains(&name) => Ok(name.to_string()),
        (Some(name), _) => {
            let near = like_id::nearest(known.iter().copied(), name);
            let hint = match near {
                Some(near) => format!("Did you mean {near}?"),
                None if known.is_empty() => NAME_ONE.to_string(),
                None => format!("The rule names {}.", listed(&known)),
            };
            Err(Failure::refused(
                format!("--for '{name}': the rule names no such beneficiary"),
                hint,
            ))
        }
        (None, [only]) => Ok((*only).to_string()),
        (None, []) => Err(Failure::refused(
            "rule: whose figure is it? The rule names nobody",
            NAME_ONE,
        )),
        (None, several) => Err(Failure::usage(
            "rule: whose figure is it?",
            format!("Give --for NAME: {}.", several.join(" or ")),
        )),
    }
}

const NAME_ONE: &str = "Name a beneficiary first: wheelworth rule --from DATE --beneficiary NAME.";
