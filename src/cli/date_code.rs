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
    /// Code on the frame or a part that says the year, read by --date-codes; where --made
    /// gives a year or a range too, only the years that the code allows count
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
    let file = table.display().to_string();
    let refused = |(message, hint): Refusal| {
        Failure::refused(format!("--date-code '{code}': {message}"), hint)
    };
    let said = Said::of(&rules, code, settings.today);
    let all = said.common().map_err(|why| match why {
        NoYear::NothingSaid => {
            let (reasons, more) = reasons(&rules, code, settings.today);
            refused(nothing_said(&file, &reasons, &more))
        }
        NoYear::Contradiction => refused(said.contradict(&file)),
    })?;
    let (left, unlikely) = within(&all, made, said.names_years, settings.today);
    let (Some(oldest), Some(newest)) = (left.first(), left.last()) else {
        return Err(refused(beside_made(made, &file, &all)));
    };
    let range = Years::range(*oldest, *newest).filter(|range| range.each().count() == left.len());
    match range {
        Some(range) => Ok((range, said.note(code, range, &file, &unlikely))),
        None => Err(refused(years_apart(&left, *newest))),
    }
}

/// What is wrong, and what to do about it.
type Refusal = (String, String);

/// Years by the lines of the table that say something.
struct Said {
    by_line: Vec<(u64, BTreeSet<i16>)>,
    /// Whether one of them names its years in full.
    names_years: bool,
}

/// Why the lines of a table leave no year.
enum NoYear {
    NothingSaid,
    Contradiction,
}

impl Said {
    fn of(rules: &[(u64, DateRule)], code: &str, today: Day) -> Self {
        let mut names_years = false;
        let by_line = rules
            .iter()
            .filter_map(|(line, rule)| match rule.read(code, today) {
                Reading::Years(years) => {
                    names_years |= rule.names_years();
                    Some((*line, years))
                }
                _ => None,
            })
            .collect();
        Self {
            by_line,
            names_years,
        }
    }

    /// The years that all of them say.
    fn common(&self) -> Result<BTreeSet<i16>, NoYear> {
        let mut lines = self.by_line.iter().map(|(_, years)| years);
        let first = lines.next().ok_or(NoYear::NothingSaid)?;
        let all = lines.fold(first.clone(), |all, years| &all & years);
        if all.is_empty() {
            return Err(NoYear::Contradiction);
        }
        Ok(all)
    }

    fn contradict(&self, file: &str) -> Refusal {
        let told = |years: &BTreeSet<i16>| match years.is_empty() {
            true => "no year up to now".to_string(),
            false => listed(years),
        };
        let lines = self.by_line.iter();
        let lines: Vec<String> = lines
            .map(|(line, years)| format!("line {line}: {}", told(years)))
            .collect();
        (
            format!(
                "the rows of {file} that read it leave no year\n  {}",
                lines.join("\n  ")
            ),
            format!("Check the code and these rows of {file}, or give --made instead."),
        )
    }

    /// Where the years come from, with those that would fit too.
    fn note(&self, code: &str, range: Years, file: &str, unlikely: &BTreeSet<i16>) -> String {
        let lines = self.by_line.iter().map(|(line, _)| line.to_string());
        let lines: Vec<String> = lines.collect();
        let beside = if unlikely.is_empty() {
            String::new()
        } else {
            format!(
                "; {} would fit too, and is unlikely: say about when with --made if it is",
                listed(unlikely)
            )
        };
        format!(
            "date code '{code}': made {range}, by line {} of {file}{beside}",
            lines.join(", ")
        )
    }
}

/// The years within `made`, and those left out because they are unlikely: digits fit a
/// year in every century, and whoever means an odd one says about when.
fn within(
    all: &BTreeSet<i16>,
    made: Option<Years>,
    names_years: bool,
    today: Day,
) -> (BTreeSet<i16>, BTreeSet<i16>) {
    let fits = |year: &&i16| made.is_none_or(|made| made.each().any(|y| y == **year));
    let left: BTreeSet<i16> = all.iter().filter(fits).copied().collect();
    let likely = DateRule::likely(&left, today);
    if made.is_none() && !names_years && !likely.is_empty() {
        let unlikely = &left - &likely;
        return (likely, unlikely);
    }
    (left, BTreeSet::new())
}

fn nothing_said(file: &str, reasons: &[String], more: &str) -> Refusal {
    (
        format!("no row of {file} reads it\n{}{more}", reasons.join("\n")),
        format!("Check the code, add a row to {file}, or give --made instead."),
    )
}

fn beside_made(made: Option<Years>, file: &str, all: &BTreeSet<i16>) -> Refusal {
    let made = made.map_or(String::new(), |made| made.to_string());
    (
        format!(
            "--made {made} and the code contradict one another: {file} says {}",
            listed(all)
        ),
        "Correct the one that is wrong, or leave it out.".into(),
    )
}

fn years_apart(left: &BTreeSet<i16>, newest: i16) -> Refusal {
    (
        format!(
            "it may mean {}; years apart, or more than 40, are not averaged over",
            listed(left)
        ),
        format!(
            "Say about when with --made, as a year or as a range such as {}..{newest}.",
            newest - 4
        ),
    )
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
