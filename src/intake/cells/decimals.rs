//! Which sign stands before decimals: what a file or the book says of it.

use super::decimal_sign::DecimalSign;
use super::money::decimal_sign_told;
use crate::intake::problems::pointing::shortened;
use crate::trade::Currency;

/// A cell that can be read in one way only, and the line on which its row starts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::intake) struct OneWay {
    pub(in crate::intake) line: u64,
    pub(in crate::intake) cell: String,
}

/// What the amounts of a file say of the sign before decimals: the first cell that
/// says each.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::intake) struct Evidence {
    point: Option<OneWay>,
    comma: Option<OneWay>,
}

impl Evidence {
    /// Takes in an amount of the file.
    pub(in crate::intake) fn take(&mut self, cell: &str, line: u64, currency: &Currency) {
        let place = match decimal_sign_told(cell, currency) {
            Some(DecimalSign::Point) => &mut self.point,
            Some(DecimalSign::Comma) => &mut self.comma,
            None => return,
        };
        if place.is_none() {
            let cell = shortened(cell.trim());
            *place = Some(OneWay { line, cell });
        }
    }

    /// Whether nothing more can be learnt.
    pub(in crate::intake) fn is_whole(&self) -> bool {
        self.point.is_some() && self.comma.is_some()
    }

    /// How the amounts of the file are to be read. What the user said of this file
    /// comes first, then the file, then the book.
    pub(in crate::intake) fn reading(self, book: Option<DecimalSign>) -> Decimals {
        match (self.point, self.comma) {
            (Some(point), Some(comma)) => Decimals::Both(point, comma),
            (Some(_), None) => Decimals::Known(DecimalSign::Point),
            (None, Some(_)) => Decimals::Known(DecimalSign::Comma),
            (None, None) => book.map_or(Decimals::Unknown, Decimals::Known),
        }
    }
}

/// How amounts with one separator before three digits are to be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::intake) enum Decimals {
    /// By this sign.
    Known(DecimalSign),
    /// Not at all: nothing says how.
    Unknown,
    /// Not at all: the file has amounts of both kinds.
    Both(OneWay, OneWay),
}

impl Decimals {
    pub(in crate::intake) fn known(&self) -> Option<DecimalSign> {
        match self {
            Self::Known(sign) => Some(*sign),
            Self::Unknown | Self::Both(..) => None,
        }
    }

    /// That a file has both, to stand in the message about a cell.
    pub(in crate::intake) fn both(&self) -> Option<String> {
        let Self::Both(point, comma) = self else {
            return None;
        };
        Some(format!(
            "The file has decimals of both kinds: '{}' (line {}) and '{}' (line {}).",
            point.cell, point.line, comma.cell, comma.line
        ))
    }
}
