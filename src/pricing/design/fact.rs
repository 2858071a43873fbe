//! Where each fact of a bike stands among its numbers, [`Facts::values`](super::features::Facts).

use crate::trade::Style;
use std::ops::Range;

/// Numbers of a bike.
pub const FACTS: usize = STYLE.end;

/// Years of age in each length between the knots, less the base's.
pub const AGE: Range<usize> = 0..5;

/// Of these, those up to 15 years.
pub const AGE_TO_15: Range<usize> = 0..3;

/// Of these, those from 15 to 35 years.
pub const AGE_15_TO_35: usize = 3;

/// Cumulative steps of condition, 1 to 2 first.
pub const CONDITION: Range<usize> = AGE.end..AGE.end + 4;

/// Cumulative steps of tier, 1 to 2 first.
pub const TIER: Range<usize> = CONDITION.end..CONDITION.end + 4;

/// Whether the size is S or L.
pub const S_OR_L: usize = TIER.end;

/// Whether the size is XS or XL.
pub const XS_OR_XL: usize = S_OR_L + 1;

/// Both of them.
pub const SIZE: Range<usize> = S_OR_L..XS_OR_XL + 1;

/// ln of the new price.
pub const NEW_PRICE: usize = SIZE.end;

/// One a style.
pub const STYLE: Range<usize> = NEW_PRICE + 1..NEW_PRICE + 1 + Style::ALL.len();

/// The facts that may be unknown, in groups. Which of them are known is a missingness
/// mask, [`Facts::known`](super::features::Facts), with a bit for each.
pub const GROUPS: [Range<usize>; 5] = [AGE, CONDITION, TIER, SIZE, NEW_PRICE..NEW_PRICE + 1];

/// Place of a group in [`GROUPS`] by its bit in the mask.
pub const fn group(known: u32) -> usize {
    known.trailing_zeros() as usize
}

/// Bit of the mask: the age is known.
pub const AGE_KNOWN: u32 = 1;

/// Condition is known.
pub const CONDITION_KNOWN: u32 = 2;

/// Tier is known.
pub const TIER_KNOWN: u32 = 4;

/// Size class is known (or the style has none).
pub const SIZE_KNOWN: u32 = 8;

/// New price is known.
pub const NEW_PRICE_KNOWN: u32 = 16;

/// Everything is known.
pub const ALL_KNOWN: u32 = 31;
