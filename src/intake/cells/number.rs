//! Plain decimal numbers, held exactly.

/// An unsigned decimal number: `digits / 10^decimals`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::intake) struct Decimal {
    pub(in crate::intake) digits: i64,
    pub(in crate::intake) decimals: u32,
}

impl Decimal {
    /// Reads digits with at most one decimal point or comma: `20`, `53,5`.
    /// At most 9 digits before it and 6 after it, so that nothing overflows.
    pub(in crate::intake) fn read(text: &str) -> Option<Self> {
        let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
        let digits_only = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        let bare = whole.len() == text.len();
        if whole.is_empty() || whole.len() > 9 || part.len() > 6 || (!bare && part.is_empty()) {
            return None;
        }
        if !digits_only(whole) || !digits_only(part) {
            return None;
        }
        let value = |s: &str| s.bytes().fold(0_i64, |n, b| n * 10 + i64::from(b - b'0'));
        let decimals = part.len() as u32;
        Some(Self {
            digits: value(whole) * 10_i64.pow(decimals) + value(part),
            decimals,
        })
    }

    /// 10 to the number of decimals.
    pub(in crate::intake) fn scale(self) -> i64 {
        10_i64.pow(self.decimals)
    }

    /// The number when it is whole (`3`, `3.0`).
    pub(in crate::intake) fn whole(self) -> Option<i64> {
        (self.digits % self.scale() == 0).then(|| self.digits / self.scale())
    }

    /// The number times `factor`, rounded half up, and whether that was exact.
    pub(in crate::intake) fn times(self, factor: i64) -> (i64, bool) {
        let (product, scale) = (self.digits * factor, self.scale());
        ((2 * product + scale) / (2 * scale), product % scale == 0)
    }
}
