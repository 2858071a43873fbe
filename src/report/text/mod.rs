//! What every text is made of: amounts, shares, counts, days, lines and tables, and problems
//! that point into a file.

pub mod amounts;
pub mod coded;
pub mod counts;
pub mod dates;
pub mod grades;
pub mod problems;
pub mod shares;
pub mod table;
pub mod wrap;
