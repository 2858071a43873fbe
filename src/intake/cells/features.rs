//! Features of a bike as people write them: style, year, grades, seat tube.

use super::did_you_mean::nearest;
use super::meanings::meaning;
use super::number::Decimal;
use crate::intake::problems::problem::CellProblem;
use crate::trade::bike::{Condition, SeatTube, SizeClass, Style, Tier};
use crate::trade::{Day, Outcome, Years};

/// First model year that is read: the year of the first two-wheeled machine
/// (1817, general knowledge). Years before [`EARLY_MODEL_YEAR`] get a note.
pub(in crate::intake) const FIRST_MODEL_YEAR: i64 = 1817;

/// Model years before this one are possible but rarely meant.
pub(in crate::intake) const EARLY_MODEL_YEAR: i16 = 1890;

/// Reads a style by its word; case does not matter.
///
/// # Errors
/// Any other text.
pub fn parse_style(text: &str) -> Result<Style, CellProblem> {
    let words = Style::ALL.iter().map(|style| style.word());
    Style::from_word(text).ok_or_else(|| not_a_word("style", text, "a style", words))
}

/// Reads the outcome of a listing by its word; case does not matter.
///
/// # Errors
/// Any other text.
pub fn parse_outcome(text: &str) -> Result<Outcome, CellProblem> {
    let words = Outcome::ALL.iter().map(|outcome| outcome.word());
    Outcome::from_word(text).ok_or_else(|| not_a_word("outcome", text, "an outcome", words))
}

/// Reads a condition: a number 1 to 5 or its word.
///
/// # Errors
/// Any other text.
///
/// ```
/// use wheelworth::intake::parse_condition;
/// assert_eq!(parse_condition("Tidy"), parse_condition("4.0"));
/// ```
pub fn parse_condition(text: &str) -> Result<Condition, CellProblem> {
    let found = grade(text)
        .and_then(Condition::from_grade)
        .or_else(|| Condition::from_word(text));
    found.ok_or_else(|| {
        let words = Condition::ALL.iter().map(|condition| condition.word());
        not_a_word("condition", text, "a condition: 1 to 5, or a word", words)
    })
}

/// Reads a component tier: a number 1 to 5 or its word.
///
/// # Errors
/// Any other text.
pub fn parse_tier(text: &str) -> Result<Tier, CellProblem> {
    let found = grade(text)
        .and_then(Tier::from_grade)
        .or_else(|| Tier::from_word(text));
    found.ok_or_else(|| {
        let words = Tier::ALL.iter().map(|tier| tier.word());
        not_a_word("tier", text, "a tier: 1 to 5, or a word", words)
    })
}

fn grade(text: &str) -> Option<u8> {
    u8::try_from(Decimal::read(text.trim())?.whole()?).ok()
}

/// The problem of a text that is none of `words`, with the one that was meant: one that is
/// written much like it, or what people mean by it in this `column`.
pub(in crate::intake) fn not_a_word(
    column: &str,
    text: &str,
    what: &str,
    words: impl Iterator<Item = &'static str>,
) -> CellProblem {
    let words: Vec<_> = words.collect();
    let meant = || meaning(column, text).filter(|(_, is_guess)| !is_guess);
    let near = nearest(text, words.iter().copied()).or_else(|| meant().map(|(ours, _)| ours));
    let mend = match near {
        Some(word) => format!("Did you mean {word}?"),
        None => "Write one of these words.".to_string(),
    };
    CellProblem::new(format!("{what} ({})", words.join(", ")), mend)
}

/// What stands between the years of a range; the longer signs first.
pub(in crate::intake) const BETWEEN_YEARS: [&str; 6] = ["...", "..", "…", "-", "–", "—"];

/// Reads a model year of four digits (`2013`, `2013.0`), from 1817 to the year
/// after `today`: next year's models are sold in autumn (common practice). Or a
/// range of such years, first and last: `2010..2013`, `2010-2013`, `2010 – 2013`, and
/// `2010/11`. Or about when: `~2012` and `c. 2012` are two years either way, `90s` and
/// `1990s` a decade (of two digits the latest that has begun).
///
/// # Errors
/// Text that is no year, a year outside these, half a range, one that begins with the
/// later year, one that is wider than [`Years::WIDEST`].
///
/// ```
/// use wheelworth::intake::parse_made;
/// use wheelworth::trade::{Day, Years};
/// let today = Day::constant(2026, 5, 2);
/// assert_eq!(parse_made("2010..2013", today).unwrap(), Years::range(2010, 2013).unwrap());
/// assert_eq!(parse_made("2010 - 2010", today), parse_made("2010", today));
/// assert_eq!(parse_made("~2012", today), parse_made("2010..2014", today));
/// assert_eq!(parse_made("90s", today), parse_made("1990..1999", today));
/// assert_eq!(parse_made("late 60s", today), parse_made("1965..1969", today));
/// assert_eq!(parse_made("'83", today), parse_made("1983", today));
/// ```
pub fn parse_made(text: &str, today: Day) -> Result<Years, CellProblem> {
    if let Some(years) = about_when(text.trim(), today) {
        return years;
    }
    let Some((first, last)) = BETWEEN_YEARS
        .iter()
        .find_map(|between| text.split_once(between))
    else {
        return parse_year(text, today).map(Years::from);
    };
    if first.trim().is_empty() || last.trim().is_empty() {
        return Err(CellProblem::new(
            "the first and the last year of a range, such as 2010..2013",
            "Write both years, or leave the cell empty if nothing is known.",
        ));
    }
    let (first, last) = (parse_year(first, today)?, parse_year(last, today)?);
    Years::range(first, last).ok_or_else(|| {
        if first > last {
            CellProblem::new(
                "a range that begins with the earlier year, such as 2010..2013",
                format!("Write {last}..{first} if that is meant, or leave the cell empty."),
            )
        } else {
            CellProblem::new(
                format!(
                    "a range of at most {} years from first to last",
                    Years::WIDEST
                ),
                "Narrow the range, or leave the cell empty if the year is not known.",
            )
        }
    })
}

/// Years on either side of one that is known roughly.
const ROUGHLY: i16 = 2;

/// What stands before a year that is known roughly; the longer words first.
const ABOUT: [&str; 6] = ["circa", "ca.", "ca", "c.", "~", "≈"];

/// A decade, a year that is known roughly, or one that goes on into the next; `None` for
/// what is none of these.
fn about_when(text: &str, today: Day) -> Option<Result<Years, CellProblem>> {
    let small = text.to_lowercase();
    let small = small.trim_end_matches('?').trim();
    let small = small.trim_start_matches(['\'', '’', '‘', '´']);
    if small.len() == 2 && text.starts_with(['\'', '’', '‘', '´']) {
        return Some(parse_year(&of_last_century(small, today)?, today).map(Years::from));
    }
    if let Some(year) = ABOUT.iter().find_map(|about| small.strip_prefix(about)) {
        let year = year.trim().trim_start_matches(['\'', '’']);
        let year = of_last_century(year, today).unwrap_or_else(|| year.to_string());
        return Some(parse_year(&year, today).map(|year| around(year, ROUGHLY, ROUGHLY, today)));
    }
    let (after, before, decade) = part_of_a_decade(small);
    let mut ends = ["'s", "’s", "s", "er"].into_iter();
    if let Some(decade) = ends.find_map(|end| decade.strip_suffix(end)) {
        return Some(
            parse_year(&in_full(decade, today)?, today).and_then(|first| {
                let whole = first % 10 == 0;
                let years = whole.then(|| around(first + after, 0, before - after, today));
                years.ok_or_else(|| {
                    let mend = "Write it as 1990s, or leave the cell empty if it is not known.";
                    CellProblem::new("a decade that begins with a year such as 1990", mend)
                })
            }),
        );
    }
    // 2010/11: bought as the model of either.
    let (first, next) = small.split_once('/')?;
    let first = parse_year(first, today).ok()?;
    let following = first + 1;
    let next = next.trim();
    let follows = next == format!("{following}") || next == format!("{:02}", following % 100);
    follows.then(|| Ok(around(first, 0, 1, today)))
}

/// Which years of a decade 'early', 'mid' and 'late' mean, from 0 to 9, and the decade.
fn part_of_a_decade(text: &str) -> (i16, i16, &str) {
    const PARTS: [(&str, i16, i16); 5] = [
        ("early", 0, 4),
        ("anfang", 0, 4),
        ("mid", 3, 7),
        ("late", 5, 9),
        ("ende", 5, 9),
    ];
    let part = PARTS.iter().find_map(|(word, first, last)| {
        let decade = text.strip_prefix(word)?.trim_start_matches([' ', '-']);
        Some((*first, *last, decade))
    });
    part.unwrap_or((0, 9, text))
}

/// The years around one, up to the last that is read.
fn around(year: i16, before: i16, after: i16, today: Day) -> Years {
    let last = (year + after).min((today.year() + 1).max(year));
    let first = (year - before).max(FIRST_MODEL_YEAR as i16);
    Years::range(first, last).unwrap_or(Years::from(year))
}

/// A year of two digits that this century does not have yet: `83` is 1983; `15` may be of
/// either, and is `None`.
fn of_last_century(year: &str, today: Day) -> Option<String> {
    let whole = in_full(year, today).filter(|_| year.len() == 2)?;
    whole.starts_with("19").then_some(whole)
}

/// The first year of a decade: `90` is 1990, `1990` itself; `None` for what is none.
fn in_full(decade: &str, today: Day) -> Option<String> {
    let decade = decade.trim_start_matches(['\'', '’']);
    let digits = decade.bytes().all(|b| b.is_ascii_digit());
    match decade.len() {
        4 if digits => Some(decade.to_string()),
        2 if digits => {
            let short: i16 = decade.parse().ok()?;
            let century = if 2000 + short <= today.year() {
                2000
            } else {
                1900
            };
            Some((century + short).to_string())
        }
        _ => None,
    }
}

/// Reads one model year.
fn parse_year(text: &str, today: Day) -> Result<i16, CellProblem> {
    let last = i64::from(today.year()) + 1;
    let text = text.trim();
    let four_digits = text.find(['.', ',']).unwrap_or(text.len()) == 4;
    let year = Decimal::read(text)
        .and_then(Decimal::whole)
        .filter(|_| four_digits);
    match year.and_then(|year| i16::try_from(year).ok().map(|small| (year, small))) {
        Some((year, small)) if (FIRST_MODEL_YEAR..=last).contains(&year) => Ok(small),
        Some((year, _)) if year > last => Err(CellProblem::new(
            format!("a model year up to {last}, not one in the future"),
            "Correct the year, or leave the cell empty if it is not known.",
        )),
        Some(_) => Err(CellProblem::new(
            format!("a model year from {FIRST_MODEL_YEAR} on: there were no bicycles before"),
            "Correct the year, or leave the cell empty if it is not known.",
        )),
        None => Err(CellProblem::new(
            "a model year of four digits, such as 2013, or a range such as 2010..2013",
            "Write the year in full, or leave the cell empty if it is not known.",
        )),
    }
}

/// Reads a seat-tube length: `53`, `53cm`, `530mm`, `20in`, `20"`, decimals
/// with a point or a comma. A bare number below 30 is inches, from 30 to 80
/// centimetres, above 250 millimetres. 25 to 80 cm are accepted (1 in = 25.4 mm). Or a size
/// word: `XS S M L XL`, `small`, `medium`, `extra large`, `size M`; the length is unknown then.
///
/// # Errors
/// Text that is no length and no size, a bare number between these, a length outside 25 to 80 cm.
///
/// ```
/// use wheelworth::intake::parse_seat_tube;
/// use wheelworth::trade::{SeatTube, SizeClass};
/// assert_eq!(parse_seat_tube("20\"").unwrap().tenths(), Some(5080));
/// assert_eq!(parse_seat_tube("53,5").unwrap().tenths(), Some(5350));
/// assert_eq!(parse_seat_tube("medium").unwrap(), SeatTube::Class(SizeClass::M));
/// ```
pub fn parse_seat_tube(text: &str) -> Result<SeatTube, CellProblem> {
    parse_seat_tube_of(text, None)
}

/// The same of a bike of some style. For kids 12 to 40 cm are accepted. What is the size
/// of a wheel is refused as one: `700C`, `29er`, `27.5`, a bare 26, 28 or 29, and for
/// kids a bare 12, 14, 16, 18, 20 or 24 (sizes of ISO 5775-2 and trade names of them,
/// from memory). Kids have no size classes, so that a size word says nothing of them.
///
/// # Errors
/// Those of [`parse_seat_tube`], a wheel size, and a size word for kids.
pub fn parse_seat_tube_of(text: &str, style: Option<Style>) -> Result<SeatTube, CellProblem> {
    let of_kids = style == Some(Style::Kids);
    let what = FrameLength {
        name: "seat-tube length",
        within: "seat tube",
        least: if of_kids { 12 } else { 25 },
        most: if of_kids { 40 } else { 80 },
        or_class: !of_kids,
    };
    if is_wheel_size(text, of_kids) {
        return Err(CellProblem::new(
            "a seat-tube length, not the size of a wheel",
            "Measure from the crank to the top of the seat tube and write it with its unit, such as \
             53cm, or leave the cell empty if it is not known.",
        ));
    }
    match size_word(text) {
        Some(_) if of_kids => {
            return Err(CellProblem::new(
                "a seat-tube length: bikes for kids have no size classes",
                "Write the length with its unit, such as 30cm, or leave the cell empty if it is \
                 not known.",
            ));
        }
        Some(class) => return Ok(SeatTube::Class(class)),
        None => {}
    }
    let tenths = frame_length(text, what)?;
    SeatTube::from_tenths(tenths).ok_or_else(|| what.none())
}

/// A size class in letters or in words, with or without `size` before it.
pub(in crate::intake) fn size_word(text: &str) -> Option<SizeClass> {
    let small = text.trim().to_lowercase();
    let bare = small.strip_prefix("size ").unwrap_or(&small);
    let letters: String = bare
        .chars()
        .filter(|c| !matches!(c, ' ' | '-' | '.'))
        .collect();
    match letters.as_str() {
        "xs" | "xsmall" | "extrasmall" => Some(SizeClass::XS),
        "s" | "small" => Some(SizeClass::S),
        "m" | "med" | "medium" => Some(SizeClass::M),
        "l" | "large" => Some(SizeClass::L),
        "xl" | "xlarge" | "extralarge" => Some(SizeClass::XL),
        _ => None,
    }
}

/// Whether a text is the size of a wheel and none of a frame.
fn is_wheel_size(text: &str, of_kids: bool) -> bool {
    let bare = text.trim().to_lowercase().replace([' ', ','], ".");
    let bare = bare.as_str();
    match bare {
        "700" | "700c" | "700.c" | "29er" | "27.5" | "650b" | "650.b" => true,
        "26" | "28" | "29" => !of_kids,
        "12" | "14" | "16" | "18" | "20" | "24" => of_kids,
        _ => false,
    }
}

/// What a length of the frame is called in messages.
#[derive(Clone, Copy)]
pub(in crate::intake) struct FrameLength {
    pub(in crate::intake) name: &'static str,
    pub(in crate::intake) within: &'static str,
    /// Bounds in centimetres.
    pub(in crate::intake) least: i64,
    pub(in crate::intake) most: i64,
    /// Whether a size class is read in its place.
    pub(in crate::intake) or_class: bool,
}

impl FrameLength {
    fn none(self) -> CellProblem {
        let or_class = if self.or_class {
            ", or a size such as M"
        } else {
            ""
        };
        CellProblem::new(
            format!("a {} such as 53cm, 530mm or 20in{or_class}", self.name),
            "Write it with its unit, or leave the cell empty if it is not known.",
        )
    }
}

/// Reads a length of the frame as [`parse_seat_tube`] does, in tenths of a
/// millimetre.
pub(in crate::intake) fn frame_length(text: &str, what: FrameLength) -> Result<i64, CellProblem> {
    let none = || what.none();
    let (number, unit) = number_and_unit(text).ok_or_else(none)?;
    let tenths_of_mm = match unit.as_str() {
        "" => bare_unit(number).ok_or_else(none)?,
        unit => length_unit(unit).ok_or_else(none)?,
    };
    let exact = number.digits * tenths_of_mm;
    let scale = number.scale();
    if !(100 * what.least * scale..=100 * what.most * scale).contains(&exact) {
        return Err(CellProblem::new(
            format!("a {} of {} to {} cm", what.within, what.least, what.most),
            "Check the number and its unit (cm, mm or in), or leave the cell empty.",
        ));
    }
    Ok(number.times(tenths_of_mm).0)
}

/// A number and what stands after it, in small letters.
pub(in crate::intake) fn number_and_unit(text: &str) -> Option<(Decimal, String)> {
    let text = text.trim();
    let split = text.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',');
    let (digits, unit) = text.split_at(split.unwrap_or(text.len()));
    Some((Decimal::read(digits)?, unit.trim().to_lowercase()))
}

/// A unit of length in tenths of a millimetre.
pub(in crate::intake) fn length_unit(unit: &str) -> Option<i64> {
    match unit {
        "cm" => Some(100),
        "mm" => Some(10),
        "in" | "in." | "inch" | "inches" | "\"" | "''" | "″" | "”" | "’’" => Some(254),
        _ => None,
    }
}

/// What a number without a unit is counted in, in tenths of a millimetre.
fn bare_unit(number: Decimal) -> Option<i64> {
    let times = |limit: i64| limit * number.scale();
    match number.digits {
        n if n < times(30) => Some(254),
        n if n <= times(80) => Some(100),
        n if n > times(250) => Some(10),
        _ => None,
    }
}

/// Most hours that are read for one bike; more is taken for a slip of the pen
/// (common practice, no source).
const MOST_HOURS: i64 = 10_000;

/// Reads hours (`6`, `6.5`, `6,5`, `6.5h`) as hundredths of an hour, rounded
/// half up when given finer.
///
/// # Errors
/// Text that is no number, hours below 0 or above 10,000.
pub fn parse_hours(text: &str) -> Result<i64, CellProblem> {
    exact_or_rounded_hours(text).map(|(hundredths, _)| hundredths)
}

/// The same, with whether nothing was rounded.
pub(in crate::intake) fn exact_or_rounded_hours(text: &str) -> Result<(i64, bool), CellProblem> {
    let text = text.trim();
    let number = text.strip_suffix(['h', 'H']).unwrap_or(text).trim_end();
    if let Some(positive) = number.strip_prefix(['-', '−'])
        && Decimal::read(positive.trim_start()).is_some()
    {
        return Err(CellProblem::new(
            "hours that are not negative",
            "Take the minus sign away.",
        ));
    }
    let hours = Decimal::read(number).ok_or_else(|| {
        CellProblem::new(
            "hours as a number, such as 6.5",
            "Write half an hour as 0.5, or leave the cell empty if they are not known.",
        )
    })?;
    if hours.digits > MOST_HOURS * hours.scale() {
        return Err(CellProblem::new(
            format!("at most {MOST_HOURS} hours"),
            "Check the number: it is the hours spent on this one bike.",
        ));
    }
    Ok(hours.times(100))
}
