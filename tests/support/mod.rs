//! What the tests share: a workshop with a book to run commands on, how far two
//! numbers may differ, and a second solver.

pub mod program;
pub mod second_opinion;
pub mod sources;
pub mod tolerance;
pub mod workshop;
