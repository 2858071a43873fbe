//! Command lines as one would type them.

/// A word as one would type it in a shell.
pub(super) fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "-_./:=,".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.into()
    } else {
        format!("'{}'", word.replace('\'', "'\\''"))
    }
}
