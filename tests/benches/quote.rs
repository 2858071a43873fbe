//! One bike priced on a fitted model.

use crate::fit::fitted;
use crate::made_up::{AS_OF, records};
use criterion::Criterion;
use std::hint::black_box;
use wheelworth::pricing::design::base::standard_base;
use wheelworth::pricing::quote::{PriceQuestion, Source};
use wheelworth::pricing::{Priors, quote};
use wheelworth::trade::{Bike, Condition, Money, SeatTube, Style, Tier, Years};

/// A bike with every feature but the new price, and one of which only the
/// style is known.
pub(crate) fn one(criterion: &mut Criterion) {
    let model = fitted(&records(400));
    let base = standard_base(AS_OF);
    let described = Bike {
        style: Style::Hybrid,
        made: Some(Years::from(2016)),
        condition: Some(Condition::Tidy),
        tier: Some(Tier::Sport),
        seat_tube: SeatTube::from_tenths(5300),
        new_price: None,
    };
    let mut group = criterion.benchmark_group("quote");
    for (name, bike) in [
        ("a described bike", described),
        ("a style alone", Bike::of(Style::Hybrid)),
    ] {
        let question = PriceQuestion {
            id: None,
            bike,
            cost: Some(Money::from_minor(6450)),
            guess: None,
            hours: None,
            level: 0.8,
            before: None,
            stood: None,
        };
        group.bench_function(name, |bencher| {
            bencher.iter(|| {
                let source = Source::Fitted(&model);
                let quote = quote(
                    &source,
                    Priors::shipped(),
                    black_box(&question),
                    &base,
                    None,
                );
                assert!(quote.value.is_some());
                quote
            });
        });
    }
    group.finish();
}
