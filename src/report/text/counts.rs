//! Counts and lists in words.

/// `1 comp`, `2 comps`.
pub fn many(count: usize, one: &str) -> String {
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}

/// `A`, `A and B`, `A, B and C`.
pub fn listed(names: &[impl AsRef<str>]) -> String {
    match names.split_last() {
        Some((last, [])) => last.as_ref().to_string(),
        Some((last, others)) => {
            let others: Vec<&str> = others.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", others.join(", "), last.as_ref())
        }
        None => String::new(),
    }
}

/// The first `most` of the names, and how many more there are: `B-1, B-2 and 5 more`.
/// A single one more is named.
pub fn first(names: &[impl AsRef<str>], most: usize) -> String {
    let named = if names.len() > most + 1 {
        most
    } else {
        names.len()
    };
    let mut shown: Vec<&str> = names.iter().take(named).map(AsRef::as_ref).collect();
    let more = format!("{} more", names.len() - named);
    if named < names.len() {
        shown.push(&more);
    }
    listed(&shown)
}

/// With a capital first letter.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
