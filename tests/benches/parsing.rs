//! CSV text to checked records.

use crate::made_up::{comps_csv, currency, reader};
use criterion::{Criterion, Throughput};
use std::hint::black_box;
use wheelworth::intake::{DateOrder, parse_day, parse_money, parse_seat_tube};

const ROWS: usize = 10_000;

/// A file of 10,000 comps, in memory.
pub(crate) fn rows(criterion: &mut Criterion) {
    let text: &'static str = comps_csv(ROWS).leak();
    let mut group = criterion.benchmark_group("parsing");
    group.throughput(Throughput::Elements(ROWS as u64));
    group.bench_function("10000 comps", |bencher| {
        bencher.iter(|| {
            let mut reader = reader(text);
            let mut rows = 0;
            while let Some(row) = reader.next_row().expect("a file that can be read") {
                black_box(row.expect("a row without fault"));
                rows += 1;
            }
            assert_eq!(rows, ROWS);
        });
    });
    group.finish();
}

/// Single cells, as people write them.
pub(crate) fn cells(criterion: &mut Criterion) {
    let euro = currency();
    let mut group = criterion.benchmark_group("cell");
    for text in ["120", "1234.50", "1.234,50 €"] {
        group.bench_function(format!("money {text}"), |bencher| {
            bencher.iter(|| parse_money(black_box(text), &euro, None).is_ok());
        });
    }
    for (text, order) in [
        ("2025-06-14", None),
        ("14/06/2025", Some(DateOrder::DayFirst)),
    ] {
        group.bench_function(format!("date {text}"), |bencher| {
            bencher.iter(|| parse_day(black_box(text), order).is_ok());
        });
    }
    for text in ["53", "530mm", "20.5in"] {
        group.bench_function(format!("seat tube {text}"), |bencher| {
            bencher.iter(|| parse_seat_tube(black_box(text)).is_ok());
        });
    }
    group.finish();
}
