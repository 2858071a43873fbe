//! Comps that are not one whole bike: a lot of several, or parts, told by what is written
//! beside them. In English and German, common usage, no source.

use crate::intake::problems::pointing::shortened;
use crate::intake::problems::problem::RowNote;

/// What stands in the text of a lot; each begins and ends at a word's bounds.
const SEVERAL: [&str; 27] = [
    "lot",
    "joblot",
    "job lot",
    "bundle",
    "set of",
    "pair",
    "pair of",
    "both bikes",
    "two bikes",
    "three bikes",
    "four bikes",
    "2 bikes",
    "3 bikes",
    "4 bikes",
    "5 bikes",
    "two for",
    "x2",
    "x3",
    "x4",
    "2x",
    "3x",
    "konvolut",
    "sammlung",
    "zwei räder",
    "2 räder",
    "2 fahrräder",
    "2 stück",
];

/// What stands in the text of parts.
const PARTS: [&str; 15] = [
    "frame only",
    "frameset",
    "frame set",
    "frame and fork",
    "for parts",
    "parts only",
    "wheels only",
    "wheelset",
    "nur rahmen",
    "rahmenset",
    "nur teile",
    "teilespender",
    "ersatzteilspender",
    "als ersatzteil",
    "laufradsatz",
];

/// What a pair or a set may be of that comes with a whole bike.
const GOES_WITH: [&str; 19] = [
    "tyres",
    "tires",
    "lights",
    "pedals",
    "mudguards",
    "fenders",
    "grips",
    "tubes",
    "brakes",
    "pads",
    "panniers",
    "bags",
    "keys",
    "locks",
    "tools",
    "new",
    "spare",
    "bottle",
    "shoes",
];

/// What is to be told of a comp by one of its texts.
pub(in crate::intake) fn not_one_bike(text: &str) -> Option<RowNote> {
    if text.len() < 2 || text.len() > 10_000 || !text.bytes().any(|b| b.is_ascii_alphabetic()) {
        return None;
    }
    let small = text.to_lowercase();
    let words: Vec<&str> = small
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let note = |parts| {
        let written = shortened(text.trim());
        Some(RowNote::NotOneBike { written, parts })
    };
    if PARTS.iter().any(|pattern| place(&words, pattern).is_some()) {
        return note(true);
    }
    let several = SEVERAL.iter().any(|pattern| {
        place(&words, pattern).is_some_and(|(at, after)| {
            let next = words.get(after).copied().unwrap_or("");
            let next = match next {
                "of" => words.get(after + 1).copied().unwrap_or(""),
                next => next,
            };
            let before = at
                .checked_sub(1)
                .and_then(|before| words.get(before))
                .copied();
            // 'a lot of rust', 'a pair of lights', '2x10 gears' are of one bike.
            // An id may be no more than that.
            let alone = words.len() == 1 && pattern.len() == 2;
            let much = *pattern == "lot" && before == Some("a") && next != "bikes";
            !much && !alone && !GOES_WITH.contains(&next) && !next.ends_with("speed")
        })
    });
    if several { note(false) } else { None }
}

/// Where the words of a pattern stand one after the other: the first, and the one behind.
fn place(words: &[&str], pattern: &str) -> Option<(usize, usize)> {
    let wanted: Vec<&str> = pattern.split(' ').collect();
    let at = words
        .windows(wanted.len())
        .position(|window| window == wanted)?;
    Some((at, at + wanted.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lots_and_parts_are_told_from_whole_bikes() {
        for text in [
            "job lot of 5",
            "LOT-7",
            "2x hybrid",
            "hybrid x2",
            "Konvolut",
            "pair, his and hers",
            "set of two",
        ] {
            let parts = matches!(
                not_one_bike(text),
                Some(RowNote::NotOneBike { parts: true, .. })
            );
            assert!(not_one_bike(text).is_some() && !parts, "{text}");
        }
        for text in ["frame only", "sold for parts", "nur Rahmen"] {
            let parts = matches!(
                not_one_bike(text),
                Some(RowNote::NotOneBike { parts: true, .. })
            );
            assert!(parts, "{text}");
        }
        for text in [
            "a lot of rust",
            "new pair of tyres",
            "set of lights",
            "slot 7",
            "pilot",
            "2x10 gears",
            "x1",
            "x2",
            "Lottery find",
        ] {
            assert_eq!(not_one_bike(text), None, "{text}");
        }
    }
}
