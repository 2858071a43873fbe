//! The only test binary. Every test file hangs below one of these modules
//! (`house::test_files` sees to that).

// The pedantic lints are for the program: a case by hand takes as many lines as it has
// steps, and published numbers stand with the digits of their sources.
#![allow(unreachable_pub, clippy::pedantic, clippy::too_many_arguments)]

/// Values from outside: certified, printed, or computed by a reference library.
mod certified;
/// One file a command: what is typed, what comes back.
mod commands;
/// Files that tests and the program ship with, and how they are made.
mod fixtures;
/// Inputs of the fuzz targets, held against their laws.
mod fuzz;
/// Files and books as they should not be.
mod hostile;
/// The rules of the house: arrows between the rooms, doors, sizes, README and the guide,
/// plain words.
mod house;
/// Laws that hold whatever the numbers are.
mod properties;
/// Simulated books: what is put in must be found again.
mod recovery;
/// A workshop to run commands in, tolerances, and a second solver.
mod support;
/// Tiny cases wholly by hand, each step shown.
mod worked;
