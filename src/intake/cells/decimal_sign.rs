//! The sign before the decimals of an amount.

/// The sign before the decimals of an amount; the other one groups thousands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalSign {
    /// `1,234.50`: `--decimal point`.
    Point,
    /// `1.234,50`: `--decimal comma`.
    Comma,
}

impl DecimalSign {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Point => "point",
            Self::Comma => "comma",
        }
    }

    /// The sign of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Point, Self::Comma]
            .into_iter()
            .find(|sign| sign.word() == word)
    }

    pub(in crate::intake) fn char(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma => ',',
        }
    }

    pub(in crate::intake) fn from_char(sign: char) -> Option<Self> {
        match sign {
            '.' => Some(Self::Point),
            ',' => Some(Self::Comma),
            _ => None,
        }
    }

    pub(in crate::intake) fn other(self) -> Self {
        match self {
            Self::Point => Self::Comma,
            Self::Comma => Self::Point,
        }
    }
}
