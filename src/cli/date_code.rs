//! `--date-code` of `price` and `offer`: the model year that a code tells by the user's own table.

use super::failure::Failure;
use super::flag_values::read;
use super::whole_file;
use crate::intake::{self, DateCodes, DateRule, Reading, Settings};
use crate::trade::{Day, Years};
use clap::Args;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// A date code and the table that reads it.
#[derive(Clone, Debug, Args)]
pub(crate) struct DateCode {
    /// Code on the frame or a part that tells the year, read by --date-codes; of a year or range
    /// given with --made beside it only the years count that the code allows
    #[arg(
        long,
        value_name = "CODE",
        requires = "date_codes",
        allow_hyphen_values = true
    )]
    pub date_code: Option<String>,
    /// Your table of codes: prefix, position of the year's characters (3, or 3..4 for two; the
    /// first of the code is 1), meaning (A=1998 B=1999, 20yy or yy)
    #[arg(long, value_name = "TABLE.csv", requires = "date_code")]
    pub date_codes: Option<PathBuf>,
}

/// What did not happen where the table cannot be used.
const NOTHING_PRICED: &str = "nothing was priced";

/// Reasons told, at most.
const REASONS: usize = 10;

/// The years that are typed or that the code tells, with a note of the code.
/// `settings`: how the table is read.
///
/// # Errors
/// What is typed or the table cannot be read, or the two leave no year.
pub(crate) fn made(
    typed: Option<&String>,
    told: &DateCode,
    settings: &Settings,
) -> Result<(Option<Years>, Option<String>), Failure> {
    let typed = read("--made", typed, |text| {
        intake::parse_made(text, settings.today)
    })?;
    let (Some(code), Some(table)) = (&told.date_code, &told.date_codes) else {
        return Ok((typed, None));
    };
    let (years, note) = years(code, table, typed, settings)?;
    Ok((Some(years), Some(note)))
}

/// The years that the code tells, within `made` where that is given, and a note
/// of where they come from. Rules that say something must all hold.
fn years(
    code: &str,
    table: &Path,
    made: Option<Years>,
    settings: &Settings,
) -> Result<(Years, String), Failure> {
    let rules = whole_file::rows::<DateCodes>(table, settings, NOTHING_PRICED)?;
    let refused = |message: String, hint: String| {
        Err(Failure::refused(
            format!("--date-code '{code}': {message}"),
            hint,
        ))
    };
    let mut named = false;
    let said: Vec<(u64, BTreeSet<i16>)> = rules
        .iter()
        .filter_map(|(line, rule)| match rule.read(code, settings.today) {
            Reading::Years(years) => {
                named |= rule.names_years();
                Some((*line, years))
            }
            _ => None,
        })
        .collect();
    let file = table.display();
    let Some((_, first)) = said.first() else {
        let (reasons, more) = reasons(&rules, code, settings.today);
        return refused(
            format!("no row of {file} reads it\n{}{more}", reasons.join("\n")),
            format!("Check the code, add a row to {file}, or give --made instead."),
        );
    };
    let told = |years: &BTreeSet<i16>| {
        if years.is_empty() {
            "no year up to now".to_string()
        } else {
            listed(years)
        }
    };
    let lines: Vec<String> = said
        .iter()
        .map(|(line, years)| format!("line {line}: {}", told(years)))
        .collect();
    let all = said
        .iter()
        .fold(first.clone(), |all, (_, years)| &all & years);
    if all.is_empty() {
        return refused(
            format!(
                "the rows of {file} that read it leave no year\n  {}",
                lines.join("\n  ")
            ),
            format!("Check the code and these rows of {file}, or give --made instead."),
        );
    }
    let within = |year: &&i16| made.is_none_or(|made| made.each().any(|y| y == **year));
    let mut left: BTreeSet<i16> = all.iter().filter(within).copied().collect();
    // Digits fit a year in every century; whoever means an odd one says about when.
    let likely = DateRule::likely(&left, settings.today);
    let mut unlikely = BTreeSet::new();
    if made.is_none() && !named && !likely.is_empty() {
        unlikely = &left - &likely;
        left = likely;
    }
    let (Some(oldest), Some(newest)) = (left.first(), left.last()) else {
        let made = made.map_or(String::new(), |made| made.to_string());
        return refused(
            format!(
                "--made {made} and the code contradict one another: {file} says {}",
                listed(&all)
            ),
            "Correct the one that is wrong, or leave it out.".into(),
        );
    };
    let range = Years::range(*oldest, *newest).filter(|range| range.each().count() == left.len());
    match range {
        Some(range) => {
            let lines: Vec<String> = said.iter().map(|(line, _)| line.to_string()).collect();
            let note = format!(
                "date code '{code}': made {range}, by line {} of {file}{}",
                lines.join(", "),
                if unlikely.is_empty() {
                    String::new()
                } else {
                    format!(
                        "; {} would fit too, and is unlikely: say about when with --made if it is",
                        listed(&unlikely)
                    )
                }
            );
            Ok((range, note))
        }
        None => refused(
            format!(
                "it may mean {}; years apart, or more than 40, are not averaged over",
                listed(&left)
            ),
            format!(
                "Say about when with --made, as a year or as a range such as {}..{newest}.",
                newest - 4
            ),
        ),
    }
}

/// Why no rule reads a code, a line each, and how many more there are.
fn reasons(rules: &[(u64, DateRule)], code: &str, today: Day) -> (Vec<String>, String) {
    let why = |(line, rule): &(u64, DateRule)| {
        let (first, last) = rule.position;
        let place = if first == last {
            first.to_string()
        } else {
            format!("{first}..{last}")
        };
        let reason = match rule.read(code, today) {
            Reading::Years(_) => return None,
            Reading::OtherPrefix => format!("is for codes that begin with '{}'", rule.prefix),
            Reading::TooShort => format!("reads character {place}, and the code is shorter"),
            Reading::NoMeaning(found) => format!("has no meaning for '{found}' at {place}"),
        };
        Some(format!("  line {line} {reason}"))
    };
    let shown = rules.iter().take(REASONS).filter_map(why).collect();
    let more = match rules.len().saturating_sub(REASONS) {
        0 => String::new(),
        more => format!("\n  and {more} more"),
    };
    (shown, more)
}

/// Years with those that follow one another drawn together: `1986, 2004..2006`.
fn listed(years: &BTreeSet<i16>) -> String {
    let mut runs: Vec<(i16, i16)> = Vec::new();
    for year in years {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *year => *last = *year,
            _ => runs.push((*year, *year)),
        }
    }
    let words = runs.into_iter().map(|(first, last)| {
        if first == last {
            first.to_string()
        } else {
            format!("{first}..{last}")
        }
    });
    words.collect::<Vec<_>>().join(", ")
}
