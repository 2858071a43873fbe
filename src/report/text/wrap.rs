//! Text that is broken or cut to fit a width. Every width is one of columns on a
//! screen: a letter of Chinese takes two, an accent none of its own.

use std::fmt::Write as _;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};
use unicode_width::UnicodeWidthStr as _;

/// A width that breaks nothing.
pub const UNBROKEN: usize = usize::MAX;

/// Columns that a text takes.
pub fn width(text: &str) -> usize {
    text.width()
}

/// Breaks text between words into lines of at most `width` columns, the first after
/// `first` and the others after `rest`. A word that is longer than the lines after
/// the first is cut. Blanks that set words apart within a line stay.
pub fn wrap(text: &str, width: usize, first: &str, rest: &str) -> Vec<String> {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    let lines = textwrap::wrap(text, options).into_iter();
    lines.map(std::borrow::Cow::into_owned).collect()
}

/// Writes text with a hanging indent below its mark, in lines of at most `width`.
pub fn paragraph(out: &mut String, width: usize, mark: &str, text: &str) {
    let hang = " ".repeat(mark.width());
    for line in wrap(text, width, mark, &hang) {
        let _ = writeln!(out, "{line}");
    }
}

/// Writes texts with their numbers, in lines of at most `width`.
pub fn numbered(out: &mut String, width: usize, texts: impl IntoIterator<Item = String>) {
    for (number, text) in (1..).zip(texts) {
        paragraph(out, width, &format!("  {number}. "), &text);
    }
}

/// Cut to at most `width` columns, the cut marked by `…`.
pub fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_string();
    }
    let mut taken = 0;
    let fits = |letter: &char| {
        taken += letter.to_string().width();
        taken < width
    };
    let start: String = text.chars().take_while(fits).collect();
    format!("{start}…")
}

/// With blanks at its right up to `width` columns.
pub fn padded(text: &str, width: usize) -> String {
    let blanks = width.saturating_sub(text.width());
    format!("{text}{}", " ".repeat(blanks))
}

#[cfg(test)]
mod tests {
    use super::{cut, padded, wrap};

    #[test]
    fn lines_break_between_words_and_cut_long_ones() {
        assert_eq!(wrap("a bc  de", 20, "- ", "  "), ["- a bc  de"]);
        assert_eq!(wrap("a bc  de", 6, "- ", "  "), ["- a bc", "  de"]);
        assert_eq!(wrap("inner-tube", 8, "", "  "), ["inner-", "  tube"]);
    }

    #[test]
    fn widths_are_those_on_a_screen() {
        assert_eq!(cut("bottom bracket", 7), "bottom…");
        assert_eq!(cut("自転車屋", 5), "自転…");
        assert_eq!(padded("車", 3), "車 ");
        assert_eq!(padded("toolong", 3), "toolong");
    }
}
