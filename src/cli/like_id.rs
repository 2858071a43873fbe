//! The id that was probably meant.

use crate::intake::made_visible;

/// Longer ids, in bytes, are not compared: that would cost memory in proportion
/// to their length.
const LONGEST: usize = 100;

/// The id that `id` is most like, if any is like it (Jaro and Winkler's
/// similarity above 0.75, chosen by trial; no source).
pub(crate) fn nearest<'a>(ids: impl Iterator<Item = &'a str>, id: &str) -> Option<&'a str> {
    if id.len() > LONGEST {
        return None;
    }
    let id = without_leading_zeros(id);
    // Of bikes that are counted 1, 2, 3 the next one is like an earlier one by chance.
    let is_count = id.len() < 3 && id.bytes().all(|b| b.is_ascii_digit());
    ids.filter(|other| other.len() <= LONGEST)
        .map(|other| (without_leading_zeros(other), other))
        .filter(|(bare, _)| !is_count || *bare == id)
        .map(|(bare, other)| (strsim::jaro_winkler(&bare, &id), other))
        .filter(|(alike, _)| *alike > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, other)| other)
}

/// What is seen of an id at a glance: small letters, without blanks and what
/// nobody sees.
pub(crate) fn seen(id: &str) -> String {
    let shown = made_visible(id);
    let inked = |c: &char| !c.is_whitespace() && *c != '\u{fffd}';
    let letters = shown.chars().filter(inked);
    letters.flat_map(char::to_lowercase).collect()
}

/// Where an id and the one that was meant first differ, in words, when a person
/// could not see it: by a letter beyond ASCII, or by one that nobody sees.
pub(crate) fn unseen_difference(id: &str, meant: &str) -> Option<String> {
    let (mut ours, mut theirs) = (id.chars(), meant.chars());
    let mut place = 0;
    let (here, there) = loop {
        place += 1;
        let pair = (ours.next(), theirs.next());
        if pair.0 != pair.1 || pair.0.is_none() {
            break pair;
        }
    };
    let beyond = |c: Option<char>| c.is_some_and(|c| !c.is_ascii());
    let name = |c: Option<char>| match c {
        Some(c) => format!("U+{:04X}", u32::from(c)),
        None => "the end".to_string(),
    };
    (beyond(here) || beyond(there)).then(|| {
        let (here, there) = (name(here), name(there));
        format!("they differ at character {place}: {here} here, {there} there")
    })
}

/// An id in small letters, without the zeros that lead its numbers: `B-01` and
/// `b-1` are the same.
fn without_leading_zeros(id: &str) -> String {
    let mut bare = String::new();
    let mut letters = id.chars().flat_map(char::to_lowercase).peekable();
    while let Some(c) = letters.next() {
        let in_number = bare.ends_with(|c: char| c.is_ascii_digit());
        let more = letters.peek().is_some_and(char::is_ascii_digit);
        if c != '0' || in_number || !more {
            bare.push(c);
        }
    }
    bare
}
