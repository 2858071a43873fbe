//! How fast the parts are: `cargo bench --bench speed [-- FILTER]`.
//! Whole-program figures beside scripts that do the same: `tests/benches/whole_program`.

mod fit;
mod made_up;
mod odd;
mod parsing;
mod quote;

use criterion::{Criterion, criterion_group, criterion_main};
use std::time::Duration;

/// Few samples: the slowest takes tens of milliseconds.
fn settings() -> Criterion {
    Criterion::default()
        .sample_size(20)
        .warm_up_time(Duration::from_secs(1))
        .measurement_time(Duration::from_secs(4))
}

criterion_group! {
    name = speed;
    config = settings();
    targets = parsing::rows, parsing::cells, fit::r_factor, fit::value_model, quote::one, odd::imports
}
criterion_main!(speed);
