//! The only test binary. Every test file hangs below one of these modules.

/// Simulated books: what is put in must be found again.
mod recovery;
