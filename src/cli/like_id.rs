//! The id that was probably meant.

/// Longer ids, in bytes, are not compared: that would cost memory in proportion
/// to their length.
const LONGEST: usize = 100;

/// The id that `id` is most like, if any is like it (Jaro and Winkler's
/// similarity above 0.75, chosen by trial; no source).
pub fn nearest<'a>(ids: impl Iterator<Item = &'a str>, id: &str) -> Option<&'a str> {
    if id.len() > LONGEST {
        return None;
    }
    let id = without_leading_zeros(id);
    ids.filter(|other| other.len() <= LONGEST)
        .map(|other| {
            let alike = strsim::jaro_winkler(&without_leading_zeros(other), &id);
            (alike, other)
        })
        .filter(|(alike, _)| *alike > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, other)| other)
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
