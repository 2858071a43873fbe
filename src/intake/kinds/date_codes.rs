//! A user's own table of date codes: where in a code stamped on a frame or part
//! the year stands, and what it means there. The table is the user's file; the
//! program knows no codes of its own.

use crate::intake::cells::features::{BETWEEN_YEARS, FIRST_MODEL_YEAR, parse_made};
use crate::intake::cells::row::RowCells;
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::pointing::shortened;
use crate::intake::problems::problem::CellProblem;
use crate::trade::{Day, Years};
use std::collections::BTreeSet;

/// The kind of a table of date codes.
#[derive(Clone, Copy, Debug)]
pub struct DateCodes;

/// One row of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DateRule {
    /// What the codes begin with that it is about; empty: it is about every code.
    pub prefix: String,
    /// First and last character that tell the year, from 1.
    pub position: (usize, usize),
    /// What these characters mean.
    pub meaning: Meaning,
}

/// What characters of a code mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meaning {
    /// `A=1998 B=1999`: characters in capitals, and their years. The same
    /// characters may stand more than once, as where letters come round again.
    Listed(Vec<(String, Years)>),
    /// `199y`, `20yy`, `yy`: the last digits of the year, after these first ones;
    /// where there are none, of any century or decade.
    Digits(String),
}

/// What a rule says of a code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reading {
    /// The years that it may be of; none of them may lie in the past.
    Years(BTreeSet<i16>),
    /// Nothing: the code does not begin so.
    OtherPrefix,
    /// Nothing: the code ends before the position.
    TooShort,
    /// Nothing: these characters have no meaning.
    NoMeaning(String),
}

/// Model years before this are not proposed where the digits of a code fit a later
/// one too: hardly any older bike is refurbished (judgement, no source).
const LIKELY_FROM: i16 = 1950;

const PREFIX: usize = place(DateCodes::FIELDS, "prefix");
const POSITION: usize = place(DateCodes::FIELDS, "position");
const MEANING: usize = place(DateCodes::FIELDS, "meaning");

/// Most characters of a code; what is longer is no code.
const LONGEST: usize = 100;

impl Kind for DateCodes {
    type Record = DateRule;
    const NAME: &'static str = "date-codes";
    const COMMAND: &'static str = "wheelworth price --date-code CODE --date-codes";
    const FIELDS: &'static [Field] = &[
        Field::optional("prefix", "what the codes begin with"),
        Field::required("position", "character that tells the year, from 1"),
        Field::required("meaning", "what it means there"),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<DateRule> {
        let prefix = row.text(PREFIX).unwrap_or_default();
        row.require(POSITION);
        let position = row.read(POSITION, parse_position);
        row.require(MEANING);
        let long = position.map(|(first, last)| last - first + 1);
        let meaning = row.read(MEANING, |text| parse_meaning(text, long));
        Some(DateRule {
            prefix,
            position: position?,
            meaning: meaning?,
        })
    }
}

/// Reads the place of the characters that tell the year: `3`, `3-4`, `3..4`.
fn parse_position(text: &str) -> Result<(usize, usize), CellProblem> {
    let ends = BETWEEN_YEARS.iter().find_map(|b| text.split_once(b));
    let (first, last) = ends.unwrap_or((text, text));
    let place = |text: &str| text.trim().parse().ok().filter(|n| *n <= LONGEST);
    match (place(first), place(last)) {
        (Some(first), Some(last)) if 1 <= first && first <= last => Ok((first, last)),
        _ => Err(CellProblem::new(
            format!(
                "a place in the code from 1 to {LONGEST}, such as 3, or 3..4 for two characters"
            ),
            "Count the characters from the left, the first is 1.",
        )),
    }
}

/// Reads what so many characters mean (`None` where that is not known).
fn parse_meaning(text: &str, long: Option<usize>) -> Result<Meaning, CellProblem> {
    let fits = |count: usize| long.is_none_or(|long| long == count);
    if !text.contains('=') {
        let lower = text.to_lowercase();
        let first = lower.trim_end_matches('y');
        let digits = lower.len() - first.len();
        let whole = lower.len() == 4 || (first.is_empty() && (1..4).contains(&digits));
        if !whole || digits == 0 || !first.bytes().all(|b| b.is_ascii_digit()) {
            return Err(CellProblem::new(
                "a list such as A=1998 B=1999, or digits of the year such as 199y, 20yy or yy",
                "Write a y for each digit of the year that the code tells.",
            ));
        }
        if !fits(digits) {
            return Err(CellProblem::new(
                "a y for each character of position",
                "Correct the position, or write as many y as it has characters.",
            ));
        }
        return Ok(Meaning::Digits(first.to_string()));
    }
    let parts = text.split(|c: char| c == ';' || c == ',' || c.is_whitespace());
    let mut listed = Vec::new();
    for part in parts.filter(|part| !part.is_empty()) {
        let Some((characters, years)) = part.split_once('=') else {
            return Err(CellProblem::new(
                format!(
                    "characters and their year, such as A=1998, not '{}'",
                    shortened(part)
                ),
                "Put a blank between one and the next, and none within.",
            ));
        };
        if characters.is_empty() || !fits(characters.chars().count()) {
            return Err(CellProblem::new(
                format!(
                    "as many characters before the = as position has, not '{}'",
                    shortened(characters)
                ),
                "Correct the position, or the characters.",
            ));
        }
        // A table may tell of years to come; which are past is for the answer's day.
        let years = parse_made(years, Day::constant(9998, 12, 31)).map_err(|problem| {
            let expected = format!("after '{}=' {}", shortened(characters), problem.expected);
            CellProblem::new(expected, "Correct the year, or take it out of the list.")
        })?;
        listed.push((characters.chars().map(capital).collect(), years));
    }
    Ok(Meaning::Listed(listed))
}

/// A character as a capital; as it stands where its capital is more than one, as
/// that of `ß` is, for positions must not move.
fn capital(c: char) -> char {
    let mut capitals = c.to_uppercase();
    match (capitals.next(), capitals.next()) {
        (Some(capital), None) => capital,
        _ => c,
    }
}

impl DateRule {
    /// Whether it names the years itself, digits alone fitting any century.
    pub fn names_years(&self) -> bool {
        matches!(self.meaning, Meaning::Listed(_))
    }

    /// Of these years the likely ones on a day: from 1950 to its own year.
    pub fn likely(years: &BTreeSet<i16>, today: Day) -> BTreeSet<i16> {
        let likely = LIKELY_FROM..=today.year();
        years
            .iter()
            .copied()
            .filter(|year| likely.contains(year))
            .collect()
    }

    /// What it says of a code on a day. Capitals and small letters are the same,
    /// blanks at the ends do not count, and years later than the one after `today`
    /// cannot be meant.
    pub fn read(&self, code: &str, today: Day) -> Reading {
        let code: Vec<char> = code.trim().chars().map(capital).collect();
        let prefix: Vec<char> = self.prefix.trim().chars().map(capital).collect();
        if !code.starts_with(&prefix) {
            return Reading::OtherPrefix;
        }
        let (first, last) = self.position;
        let Some(found) = code.get(first - 1..last) else {
            return Reading::TooShort;
        };
        let found: String = found.iter().collect();
        let possible = FIRST_MODEL_YEAR as i16..=today.year() + 1;
        let mut years = BTreeSet::new();
        match &self.meaning {
            Meaning::Listed(listed) => {
                let meant = listed.iter().filter(|(key, _)| *key == found);
                let mut meant = meant.peekable();
                if meant.peek().is_none() {
                    return Reading::NoMeaning(found);
                }
                years.extend(meant.flat_map(|(_, years)| years.each()));
            }
            Meaning::Digits(_) if !found.bytes().all(|b| b.is_ascii_digit()) => {
                return Reading::NoMeaning(found);
            }
            Meaning::Digits(first) => {
                let told = format!("{first}{found}");
                let ends_so = |year: &i16| year.to_string().ends_with(&told);
                years.extend(possible.clone().filter(ends_so));
            }
        }
        years.retain(|year| possible.contains(year));
        Reading::Years(years)
    }
}

#[cfg(test)]
mod tests {
    use super::{DateRule, Meaning, Reading, parse_meaning, parse_position};
    use crate::trade::{Day, Years};

    fn years(prefix: &str, position: &str, meaning: &str, code: &str) -> Vec<i16> {
        let position = parse_position(position).unwrap();
        let rule = DateRule {
            prefix: prefix.into(),
            position,
            meaning: parse_meaning(meaning, Some(position.1 - position.0 + 1)).unwrap(),
        };
        match rule.read(code, Day::constant(2026, 5, 2)) {
            Reading::Years(years) => years.into_iter().collect(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn digits_are_those_of_the_year() {
        assert_eq!(years("", "3-4", "20yy", "AB07X"), [2007]);
        assert_eq!(years("ab", "3", "199y", "AB7"), [1997]);
        assert_eq!(years("", "1..4", "yyyy", "2011-3"), [2011]);
        assert_eq!(years("", "1", "201y", "8"), [2018]);
        // Up to the year after the day: 2027 and not 2028.
        assert_eq!(years("", "2-3", "yy", "K27"), [1827, 1927, 2027]);
        assert_eq!(years("", "2-3", "yy", "K28"), [1828, 1928]);
        assert_eq!(years("", "1", "202y", "9"), [0_i16; 0]);
    }

    #[test]
    fn lists_may_come_round_again_and_name_ranges() {
        let list = "A=1986 A=2006;b=1987..1988, C=2040";
        assert_eq!(years("", "2", list, "xa"), [1986, 2006]);
        assert_eq!(years("", "2", list, "xB9"), [1987, 1988]);
        assert_eq!(years("", "2", list, "xC"), [0_i16; 0]);
    }

    #[test]
    fn a_letter_whose_capital_is_two_is_one_character() {
        assert_eq!(years("", "3", "199y", "Aß7"), [1997]);
        assert_eq!(years("aß", "3", "199y", "Aß7"), [1997]);
        assert_eq!(years("", "1", "ß=2001 ü=2002", "ß"), [2001]);
        assert_eq!(years("", "1", "ß=2001 ü=2002", "Ü"), [2002]);
    }

    #[test]
    fn what_says_nothing_says_why() {
        let rule = DateRule {
            prefix: "AB".into(),
            position: (3, 3),
            meaning: Meaning::Listed(vec![("C".into(), Years::from(2001))]),
        };
        let today = Day::constant(2026, 5, 2);
        assert_eq!(rule.read("XBC", today), Reading::OtherPrefix);
        assert_eq!(rule.read("ab", today), Reading::TooShort);
        assert_eq!(rule.read("ABD", today), Reading::NoMeaning("D".into()));
    }

    #[test]
    fn cells_that_make_no_sense_are_refused() {
        for text in ["0", "x", "4-3", "1-101", "", "-3", "3-"] {
            assert!(parse_position(text).is_err(), "{text}");
        }
        for (text, long) in [
            ("year", 1),
            ("2yy", 2),
            ("20yy", 1),
            ("A=1998", 2),
            ("A=98", 1),
            ("=1998", 1),
            ("A=1998 B", 1),
            ("1998", 1),
            ("y2yy", 1),
            ("yyyyy", 5),
            ("A=2001..1999", 1),
        ] {
            assert!(parse_meaning(text, Some(long)).is_err(), "{text}");
        }
    }
}
