//! Laws that hold whatever the numbers are.

mod statistics;
