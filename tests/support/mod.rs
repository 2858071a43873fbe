//! What the tests share: a workshop with a book to run commands on, records in a line, how far two
//! numbers may differ, a second solver, and the project's own sources.

pub mod imports;
pub mod program;
pub mod records;
pub mod second_opinion;
pub mod sheets;
pub mod sources;
pub mod tolerance;
pub mod workshop;
