//! The shed beside what the pricing doubts: data alone.

use crate::accounts::Stock;
use crate::pricing::quote::caution::QuoteCaution;

/// The shed with what the pricing doubts about its bikes.
pub struct Shed {
    /// The shed.
    pub stock: Stock,
    /// A bike's id and a caution of its price.
    pub doubts: Vec<(String, QuoteCaution)>,
}
