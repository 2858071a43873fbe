//! Bikes that are probably listed more than once, as the book knows them.

use crate::trade::{Bike, Money};

/// One bike listed more than once, probably.
#[derive(Clone, Debug, PartialEq)]
pub struct DoubleListing {
    /// Each listing with its source (empty where not recorded).
    pub listings: Vec<(String, String)>,
    /// The bike.
    pub bike: Bike,
    /// The ask that stood last.
    pub ask: Money,
}

/// The double listings that are named, and how many there are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DoubleListings {
    /// The first of them.
    pub named: Vec<DoubleListing>,
    /// All.
    pub count: usize,
}
