//! What every text is made of: amounts, and problems that point into a file.

pub mod amounts;
pub mod problems;
