//! Words that people put around an amount, a day or a year, and that change nothing of it:
//! what is left is proposed, never taken by itself. Common usage, no source.

/// Before it: about so much.
const BEFORE: [&str; 9] = [
    "circa", "approx.", "approx", "about", "ca.", "ca", "c.", "~", "around",
];

/// Behind an ask: to be haggled over, or not.
const BEHIND: [&str; 15] = [
    "vb",
    "vhb",
    "fp",
    "festpreis",
    "obo",
    "o.b.o.",
    "ono",
    "o.n.o.",
    "or nearest offer",
    "or best offer",
    "negotiable",
    "neg.",
    "neg",
    "firm",
    "fix",
];

/// What is left of a cell without such words; `None` where it has none.
pub(in crate::intake) fn without_words_around(cell: &str) -> Option<String> {
    let whole = cell.trim().to_lowercase();
    let mut rest = whole.as_str();
    if let Some(about) = BEFORE.iter().find_map(|word| rest.strip_prefix(word)) {
        rest = about.trim_start();
    }
    if let Some(ask) = BEHIND.iter().find_map(|word| rest.strip_suffix(word)) {
        rest = ask.trim_end();
    }
    let digits = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let left = rest.len() < whole.len() && digits(rest.chars().next());
    left.then(|| rest.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_around_go_and_nothing_else() {
        for (cell, left) in [
            ("160 VB", Some("160")),
            ("ca. 90", Some("90")),
            ("ca. 10.7.2024", Some("10.7.2024")),
            ("~ 1.200 obo", Some("1.200")),
            ("160", None),
            ("offer", None),
            ("vb", None),
            ("130-150", None),
        ] {
            assert_eq!(without_words_around(cell).as_deref(), left, "{cell}");
        }
    }
}
