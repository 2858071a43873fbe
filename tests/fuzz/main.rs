//! Coverage-guided fuzzing by libFuzzer: any bytes into one of the targets, which
//! `WHEELWORTH_FUZZ` names. `tests/fuzz/run` builds and runs it.
#![allow(unreachable_pub, clippy::pedantic)] // as in tests/suite.rs
#![no_main]

mod laws;

use std::sync::LazyLock;

static TARGET: LazyLock<fn(&[u8])> = LazyLock::new(|| {
    let asked = std::env::var("WHEELWORTH_FUZZ").unwrap_or_default();
    let found = laws::TARGETS.iter().find(|(name, _)| *name == asked);
    found
        .unwrap_or_else(|| panic!("WHEELWORTH_FUZZ names no target: '{asked}'"))
        .1
});

libfuzzer_sys::fuzz_target!(|data: &[u8]| (*TARGET)(data));
