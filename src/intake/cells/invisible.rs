//! Characters that nobody sees, and that make two texts differ all the same.

/// The first invisible character of a text: of Unicode's default ignorable code
/// points (`DerivedCoreProperties` of the Unicode Character Database, from memory)
/// those of the basic plane, and the tags.
pub(in crate::intake) fn invisible(text: &str) -> Option<char> {
    // The first of them, U+00AD, is 0xC2 0xAD in UTF-8.
    if text.is_ascii() {
        return None;
    }
    text.chars().find(|c| is_invisible(*c))
}

/// Whether nothing is seen of a character.
pub(in crate::intake) fn is_invisible(c: char) -> bool {
    matches!(
        c,
        '\u{ad}'
            | '\u{34f}'
            | '\u{61c}'
            | '\u{115f}'..='\u{1160}'
            | '\u{17b4}'..='\u{17b5}'
            | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{3164}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}'
            | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e0fff}'
    )
}

/// A text with what nobody sees, and what a terminal would obey, made visible.
pub fn made_visible(text: &str) -> String {
    let hidden = |c: char| (c.is_control() && c != '\t') || is_invisible(c);
    text.chars()
        .map(|c| if hidden(c) { '\u{fffd}' } else { c })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{invisible, made_visible};

    #[test]
    fn what_nobody_sees_is_found_and_shown() {
        assert_eq!(invisible("B-1\u{200b}"), Some('\u{200b}'));
        assert_eq!(invisible("\u{feff}B-1\u{200b}"), Some('\u{feff}'));
        assert_eq!(invisible("B-1 \u{a0}é ü 👍"), None);
        assert_eq!(made_visible("a\u{202e}b\u{7}\tc"), "a\u{fffd}b\u{fffd}\tc");
    }
}
