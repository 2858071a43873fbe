//! The only test binary. Every test file hangs below one of these modules.

/// Files that tests and the program ship with, and how they are made.
mod fixtures;
/// Simulated books: what is put in must be found again.
mod recovery;
