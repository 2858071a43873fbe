//! The measure column of an inspection sheet: lengths, percentages, tyre sizes,
//! words.

use crate::intake::cells::did_you_mean::nearest;
use crate::intake::cells::features::{
    FrameLength, frame_length, length_unit, number_and_unit, parse_style, size_word,
};
use crate::intake::problems::problem::CellProblem;
use crate::trade::inspection::measure::decimal;
use crate::trade::inspection::{
    Check, Fact, FactWord, Item, Limit, Measure, TyreSize, Unit, plain,
};

/// Reads the measure of a check.
pub(in crate::intake) fn measure_of_check(
    item: &'static Item,
    check: &Check,
    text: &str,
) -> Result<Measure, CellProblem> {
    let Some(limit) = check.limit else {
        return Err(CellProblem::new(
            format!("an empty cell: {} takes a result, no measure", item.name),
            "Put it into the note column.",
        ));
    };
    let value = match limit.unit {
        Unit::Length => length(item, limit, text)?,
        Unit::Percent => percent(item, limit, text)?,
    };
    Ok(match limit.unit {
        Unit::Length => Measure::Length(value),
        Unit::Percent => Measure::Percent(value),
    })
}

fn length(item: &Item, limit: Limit, text: &str) -> Result<i64, CellProblem> {
    let none = || {
        CellProblem::new(
            format!("a length for {} such as 1.5 mm", item.name),
            "Write millimetres, or leave the cell empty if it was not measured.",
        )
    };
    let (number, unit) = number_and_unit(text).ok_or_else(none)?;
    let tenths = match unit.as_str() {
        "" => 10, // millimetres
        unit => length_unit(unit).ok_or_else(none)?,
    };
    let most = limit.most_read;
    if number.digits * tenths > most * number.scale() {
        return Err(CellProblem::new(
            format!("a length of at most {} mm", decimal(most, 10)),
            "Check the number and its unit.",
        ));
    }
    Ok(number.times(tenths).0)
}

fn percent(item: &Item, limit: Limit, text: &str) -> Result<i64, CellProblem> {
    let none = || {
        CellProblem::new(
            format!("a percentage for {} such as 0.5 %", item.name),
            "Write percent, or leave the cell empty if it was not measured.",
        )
    };
    let (number, unit) = number_and_unit(text).ok_or_else(none)?;
    if !matches!(unit.as_str(), "" | "%") {
        return Err(none());
    }
    let most = limit.most_read;
    if number.digits * 100 > most * number.scale() {
        return Err(CellProblem::new(
            format!("at most {} %", decimal(most, 100)),
            "Check the decimal point.",
        ));
    }
    Ok(number.times(100).0)
}

/// Reads a fact.
pub(in crate::intake) fn read_fact(
    item: &'static Item,
    fact: Fact,
    text: &str,
) -> Result<Measure, CellProblem> {
    match fact {
        Fact::Name => Ok(Measure::Name(text.to_string())),
        Fact::Style => parse_style(text).map(Measure::Style),
        Fact::Words(words) => word(item, words, text).map(Measure::Word),
        Fact::FrameLength => {
            let sized = item.name == "seat tube";
            if let Some(class) = size_word(text).filter(|_| sized) {
                return Ok(Measure::Size(class));
            }
            let what = FrameLength {
                name: item.name,
                within: item.name,
                least: 25,
                most: 80,
                or_class: sized,
            };
            frame_length(text, what).map(Measure::Length)
        }
        Fact::Tyre => parse_tyre_size(text).map(Measure::Tyre),
    }
}

/// The item whose words are numbers.
const GEARS: &str = "gears";

/// A word of a list; for the gears the bare number of sprockets does.
fn word(item: &Item, words: &'static [FactWord], text: &str) -> Result<&'static str, CellProblem> {
    let written = plain(text);
    let known = || words.iter().map(|known| known.word);
    let same = |other: &&str| *other == written || *other == format!("{written} speed");
    known().find(same).ok_or_else(|| {
        let mend = match nearest(text, known()) {
            Some(word) => format!("Did you mean {word}?"),
            None if item.name == GEARS && written.contains(|c: char| c.is_ascii_digit()) => {
                "Count the sprockets at the back alone, not times the chainrings.".to_string()
            }
            None => "Write the one that is nearest, or leave the cell empty if it is not known."
                .to_string(),
        };
        let list: Vec<&str> = known().collect();
        CellProblem::new(
            format!("a word for {} ({})", item.name, list.join(", ")),
            mend,
        )
    })
}

/// What inch sizes usually sit on: the beginning of the name, whether a fraction
/// follows, the bead in millimetres, an example. From memory.
const INCHES: [(&str, bool, u16, &str); 14] = [
    ("700", false, 622, "28-622"),
    ("650b", false, 584, "47-584"),
    ("29", false, 622, "54-622"),
    ("28", false, 622, "40-622"),
    ("28", true, 622, "37-622"),
    ("27.5", false, 584, "54-584"),
    ("27", true, 630, "32-630"),
    ("26", false, 559, "47-559"),
    ("26", true, 590, "37-590"),
    ("24", false, 507, "47-507"),
    ("24", true, 540, "37-540"),
    ("20", false, 406, "47-406"),
    ("20", true, 451, "37-451"),
    ("16", false, 305, "47-305"),
];

/// Reads a tyre size by ISO 5775: section width and bead-seat diameter in
/// millimetres, `40-622`. A size in inches is refused, since one name has several
/// beads; the mend says what it usually is.
///
/// # Errors
/// Text that is no such size, a width or a bead that no tyre has.
///
/// ```
/// use wheelworth::intake::parse_tyre_size;
/// assert_eq!(parse_tyre_size("40-622").unwrap().bead, 622);
/// assert!(parse_tyre_size("26x1.75").unwrap_err().mend.contains("559"));
/// ```
pub fn parse_tyre_size(text: &str) -> Result<TyreSize, CellProblem> {
    let parts = text.split_once(['-', '–', '−', 'x', '×']);
    let size = match parts {
        Some((width, bead)) => {
            let bead = bead.trim_start();
            let end = bead
                .find(|c: char| !c.is_ascii_digit())
                .unwrap_or(bead.len());
            let after = bead[end..].chars().next();
            let ends = after.is_none_or(|c| c.is_whitespace() || c == '(');
            number(width.trim(), 2..=3)
                .zip(number(&bead[..end], 3..=3))
                .filter(|_| ends)
        }
        None => None,
    };
    size.and_then(|(width, bead)| TyreSize::new(width, bead))
        .ok_or_else(|| {
            let mend = match usual(text) {
                Some((bead, example)) => format!(
                    "One name in inches has several rims; this one is usually bead {bead}: look for two \
                     numbers such as {example} on the side wall and write those."
                ),
                None => "Write the two numbers on the side wall, width and bead in millimetres, or leave \
                         the cell empty."
                    .to_string(),
            };
            CellProblem::new("a tyre size such as 40-622 (ISO 5775)", mend)
        })
}

fn number(text: &str, digits: std::ops::RangeInclusive<usize>) -> Option<u16> {
    let plain = digits.contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    text.parse().ok().filter(|_| plain)
}

/// The usual bead of a size in inches, with an example.
fn usual(text: &str) -> Option<(u16, &'static str)> {
    let text = text.trim().to_lowercase();
    let fraction = text.contains(['/', '½', '¼', '¾', '⅜', '⅝', '⅛']);
    let begins = |name: &str| {
        let after = text.strip_prefix(name).and_then(|rest| rest.chars().next());
        text.starts_with(name) && after.is_none_or(|c| !c.is_ascii_digit() && c != '.')
    };
    let found = INCHES
        .iter()
        .find(|(name, of_fraction, ..)| *of_fraction == fraction && begins(name));
    found.map(|(_, _, bead, example)| (*bead, *example))
}
