//! What the model says of an own sale without it is worked out from one fit; here it is
//! held against fits that really lack it.

use super::market::{Config, Market};
use wheelworth::pricing::design::features::facts;
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::fitted::FittedValue;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};

fn fit(records: &InMemory, market: &Market, without: Option<String>) -> FittedValue {
    let settings = ValueSettings {
        as_of: market.as_of,
        currency: Config::new(0, 0).currency,
        without,
    };
    let priors = Priors::shipped();
    let model = ValueModel { priors, settings };
    model.fit(records, &mut Unobserved).expect("a fit")
}

/// Slope of the errors as worked out on the errors by refits, and of the residuals with
/// each sale in the fit, over the own sales of some markets.
pub fn slopes(own: usize, seeds: std::ops::Range<u64>) -> (f64, f64) {
    let (mut worked_out, mut within, mut squares) = (0.0, 0.0, 0.0);
    for seed in seeds {
        let market = Market::of(seed, &Config::new(own, 0));
        let records = InMemory {
            sales: market.sales.clone(),
            ..InMemory::default()
        };
        let whole = fit(&records, &market, None);
        for (sale, told) in market.sales.iter().zip(&whole.own) {
            let here = facts(&sale.bike, told.day, &whole.currency);
            let error = |fitted: &FittedValue| {
                let mut x = vec![0.0; fitted.coding.width()];
                fitted.coding.row(&here, told.day, None, &mut x);
                let parts = fitted.components.iter();
                let value: f64 = parts.map(|one| one.weight * one.fit.predict(&x)).sum();
                told.ln_price - value
            };
            let refit = error(&fit(&records, &market, Some(sale.id.clone())));
            worked_out += refit * (told.ln_price - told.left_out.location);
            within += refit * error(&whole);
            squares += refit * refit;
        }
    }
    (worked_out / squares, within / squares)
}

#[test]
fn sales_left_out_are_as_if_they_were_not_there() {
    for (own, seeds) in [(15, 400..408), (40, 410..413)] {
        let (worked_out, within) = slopes(own, seeds);
        println!("{own} sales: {worked_out:.3} worked out, {within:.3} with the sale in it");
        assert!((0.96..1.04).contains(&worked_out), "{worked_out}");
    }
}
