//! Books of the model's own form.

use super::{euro, mean, mean_and_error, share};
use crate::recovery::from_model::{Parameters, Simulated, simulate};
use wheelworth::trade::{Outcome, Style};

/// Books with every feature recorded, so that the truth can price every row.
fn fully_recorded() -> Vec<Simulated> {
    let from = Parameters {
        unknown: 0.0,
        new_price_unknown: 0.0,
        ..Parameters::default()
    };
    (0..100)
        .map(|seed| simulate(seed, &from, 40, 200, 40))
        .collect()
}

#[test]
fn a_seed_is_a_book() {
    let from = Parameters::default();
    let (once, again) = (
        simulate(4, &from, 20, 50, 10),
        simulate(4, &from, 20, 50, 10),
    );
    assert_eq!(once.sales, again.sales);
    assert_eq!(once.comps, again.comps);
    assert_eq!(once.fresh, again.fresh);
    assert_eq!(once.as_of, "2026-05-01".parse().unwrap());
    let more = simulate(4, &from, 20, 100, 10);
    assert_eq!((once.sales, once.fresh), (more.sales, more.fresh));
}

#[test]
fn book_rows_are_the_truth_plus_error() {
    let (mut own, mut fresh, mut asks, mut paid) = (vec![], vec![], vec![], vec![]);
    for book in fully_recorded() {
        let truth = &book.truth;
        let ln = |bike, day, price| euro().units(price).ln() - truth.ln_price(bike, day, euro());
        for sale in &book.sales {
            let error = ln(
                &sale.bike,
                sale.priced_on().unwrap(),
                sale.sold.unwrap().price,
            );
            own.push(error / truth.sigma_own);
        }
        for (bike, price) in &book.fresh {
            fresh.push(ln(bike, book.as_of, *price) / truth.sigma_own);
        }
        for comp in &book.comps {
            let day = comp.priced_on().unwrap();
            let offset = truth.ask_offset[comp.outcome.index()];
            asks.push((ln(&comp.bike, day, comp.standing_ask()) - offset) / truth.sigma_own);
            paid.extend(
                comp.sold_price
                    .map(|price| ln(&comp.bike, day, price) - truth.comp_sale_offset),
            );
        }
    }
    for (name, errors) in [
        ("own", &own),
        ("fresh", &fresh),
        ("asks", &asks),
        ("paid", &paid),
    ] {
        let (mean, error) = mean_and_error(errors);
        assert!(mean.abs() < 4.0 * error, "{name}: {mean:.4} ± {error:.4}");
    }
    // Unit errors: the variance's own standard error is sqrt(2/4000) = 0.022.
    for errors in [&own, &fresh] {
        let variance = mean(&errors.iter().map(|e| e * e).collect::<Vec<_>>());
        assert!((variance - 1.0).abs() < 0.09, "{variance:.3}");
    }
    // The four ask groups have 1.1 to 1.4 times the own error.
    let variance = mean(&asks.iter().map(|e| e * e).collect::<Vec<_>>());
    assert!((1.21..1.96).contains(&variance), "{variance:.3}");
}

#[test]
fn book_coefficients_follow_their_priors() {
    let from = Parameters::default();
    let truths: Vec<_> = (0..2_000)
        .map(|seed| simulate(seed, &from, 0, 0, 0).truth)
        .collect();
    let check = |of: &dyn Fn(usize) -> f64, expected: f64| {
        let (mean, error) = mean_and_error(&(0..truths.len()).map(of).collect::<Vec<_>>());
        assert!(
            (mean - expected).abs() < 4.0 * error,
            "{mean:.4} ± {error:.4} for {expected}"
        );
    };
    check(&|i| truths[i].age[0], -0.14);
    check(&|i| truths[i].size[0], -0.08);
    check(&|i| truths[i].new_price, 0.3);
    check(&|i| truths[i].ask_offset[Outcome::Withdrawn.index()], 0.25);
    check(&|i| truths[i].quarters[10], 0.0);
    check(&|i| truths[i].quarters[10].powi(2), 10.0 * 0.03 * 0.03);
    // Mean of 1/sigma² is 1/sigma0² for an inverse gamma with b = a·sigma0².
    check(&|i| truths[i].sigma_own.powi(-2), 25.0);
    // Mean of a normal cut at 0 (mean .13, sd .07): m + s·φ(m/s)/Φ(m/s), with
    // m/s = 1.857142857: φ = 0.0711170, Φ = 0.9683546 (computed with Python's
    // math.erf), so 0.135141.
    check(&|i| truths[i].condition_steps[2], 0.135141);
    assert!(truths.iter().all(|truth| {
        truth
            .condition_steps
            .iter()
            .chain(&truth.tier_steps)
            .all(|s| *s >= 0.0)
    }));
    assert!(
        truths
            .iter()
            .all(|truth| truth.size[2] == 0.0 && truth.style[Style::Hybrid.index()] == 0.0)
    );
}

#[test]
fn book_shares_of_unknowns_are_as_set() {
    let book = simulate(1, &Parameters::default(), 0, 5_000, 0);
    let (lost, no_new) = (
        share(&book.comps, |comp| comp.bike.condition.is_none()),
        share(&book.comps, |comp| comp.bike.new_price.is_none()),
    );
    // 4 standard errors at 5,000 rows: 0.0153 and 0.0283.
    assert!((lost - 0.08).abs() < 0.0153, "{lost}");
    assert!((no_new - 0.5).abs() < 0.0283, "{no_new}");
}
