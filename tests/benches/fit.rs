//! Rows of numbers to an R factor, and records to a fitted value model.

use crate::made_up::{AS_OF, chance, currency, normal, records};
use criterion::{Criterion, Throughput};
use std::hint::black_box;
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::fitted::FittedValue;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::statistics::RFactor;

const ROWS: usize = 10_000;
const COLUMNS: usize = 60;

/// 10,000 rows of 60 columns folded into an R factor.
pub(crate) fn r_factor(criterion: &mut Criterion) {
    let rng = &mut chance(11);
    let numbers: Vec<f64> = (0..ROWS * COLUMNS).map(|_| normal(rng)).collect();
    let mut group = criterion.benchmark_group("fit");
    group.throughput(Throughput::Elements(ROWS as u64));
    group.bench_function("R factor of 10000 x 60", |bencher| {
        bencher.iter(|| {
            let mut r_factor = RFactor::new(COLUMNS);
            for row in numbers.chunks_exact(COLUMNS) {
                r_factor.push(row, row[0] + 1.0, 1.0).expect("finite rows");
            }
            black_box(r_factor.factor())
        });
    });
    group.finish();
}

/// The value model on 40 own sales and 400 or 10,000 comps.
pub(crate) fn value_model(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("fit");
    for comps in [400, 10_000] {
        let records = records(comps);
        group.bench_function(format!("40 sales + {comps} comps"), |bencher| {
            bencher.iter(|| black_box(fitted(&records)));
        });
    }
    group.finish();
}

/// The model that the records give.
pub(crate) fn fitted(records: &InMemory) -> FittedValue {
    let model = ValueModel {
        priors: Priors::shipped(),
        settings: ValueSettings {
            as_of: AS_OF,
            currency: currency(),
            without: None,
        },
    };
    model
        .fit(records, &mut Unobserved)
        .expect("records that can be fitted")
}
