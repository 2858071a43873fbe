//! The only test binary. Every test file hangs below one of these modules.

/// Values from outside: certified, printed, or computed by a reference library.
mod certified;
/// Files that tests and the program ship with, and how they are made.
mod fixtures;
/// Laws that hold whatever the numbers are.
mod properties;
/// Simulated books: what is put in must be found again.
mod recovery;
/// Tolerances, comparisons and a second solver.
mod support;
