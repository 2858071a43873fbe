//! Rows on their way into the book, from a file or from flags: each kind held against what is there, what is odd about them, those set aside.

pub(in crate::cli) mod asks;
pub(in crate::cli) mod comps;
pub(in crate::cli) mod costs;
pub(in crate::cli) mod findings;
pub(in crate::cli) mod gifts;
pub(in crate::cli) mod importable;
pub(in crate::cli) mod like_bike;
pub(in crate::cli) mod offered;
mod offers;
pub(in crate::cli) mod put;
pub(in crate::cli) mod rejects;
mod returns;
pub(in crate::cli) mod sales;
