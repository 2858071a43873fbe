//! The apostrophe that keeps a spreadsheet from running a text as a formula.

use std::borrow::Cow;

/// First characters of a text that a spreadsheet runs (the list of OWASP's page
/// on CSV injection, <https://owasp.org/www-community/attacks/CSV_Injection>,
/// from memory).
const RUN: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// Whether a text would be run, also after apostrophes of its own: then one more
/// in front is one that can be told from them.
fn runs(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(RUN)
}

/// A text as it stands in a CSV file: with one apostrophe in front if a
/// spreadsheet would run it. Reading takes that one away again.
///
/// ```
/// use wheelworth::intake::with_guard;
/// assert_eq!(with_guard("=1+1"), "'=1+1");
/// assert_eq!(with_guard("'=1+1"), "''=1+1");
/// assert_eq!(with_guard("'tis blue"), "'tis blue");
/// ```
pub fn with_guard(text: &str) -> Cow<'_, str> {
    if runs(text) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// Takes away what [`with_guard`] put in front.
pub(in crate::intake) fn without_guard(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if runs(rest) => rest,
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::{with_guard, without_guard};

    #[test]
    fn one_apostrophe_is_put_in_front_and_taken_away() {
        for (text, guarded) in [
            ("=1+1", "'=1+1"),
            ("+49 123", "'+49 123"),
            ("-2 mm", "'-2 mm"),
            ("@home", "'@home"),
            ("\tx", "'\tx"),
            ("\rx", "'\rx"),
            ("'=1+1", "''=1+1"),
            ("'''@x", "''''@x"),
        ] {
            assert_eq!(with_guard(text), guarded);
            assert_eq!(without_guard(guarded), text);
        }
        for text in [
            "", "'", "''", "'tis", "a=b", " =1", "' =1", "\"=1", "×", "0",
        ] {
            assert_eq!(with_guard(text), text);
            assert_eq!(without_guard(text), text);
        }
    }
}
