//! Own sales as their owner saw them, beside what the model says of each without it.

use super::depreciation::Opinion;
use super::fitted::FittedValue;
use super::initial::OwnRow;
use super::own_sales::OwnSale;
use crate::pricing::eye::learnt::Eye;
use crate::pricing::eye::sighting::Sighting;
use crate::pricing::prior::priors::Priors;

/// Sales of which an eye is learnt at most, the latest: eyes change, too.
const MOST: usize = 200;

/// The eye of the owner of these sales, which `fitted` has in the same order. A first
/// ask speaks where there is no guess.
pub(super) fn eye(priors: &Priors, fitted: &FittedValue, rows: &[OwnRow]) -> Eye {
    let mut latest: Vec<(&OwnRow, &OwnSale)> = rows
        .iter()
        .zip(&fitted.own)
        .filter(|(_, sale)| sale.weight > 0.0)
        .collect();
    latest.sort_by(|a, b| (a.1.day, &a.1.id).cmp(&(b.1.day, &b.1.id)));
    let latest = &latest[latest.len().saturating_sub(MOST)..];
    let (mut guesses, mut asks) = (Vec::new(), Vec::new());
    for (row, sale) in latest {
        match (row.said.guess, row.said.first_ask) {
            (Some(guess), _) => guesses.push(sighting(fitted, row, sale, guess)),
            (None, Some(ask)) => asks.push(sighting(fitted, row, sale, ask)),
            (None, None) => {}
        }
    }
    Eye::learn(priors, &guesses, &asks)
}

/// One sale, with the second opinion on it where its new price is known.
fn sighting(fitted: &FittedValue, row: &OwnRow, sale: &OwnSale, said: f64) -> Sighting {
    let wider = fitted.range_factor.powi(2);
    let whole = sale.left_out.scale.powi(2);
    let sure = fitted.own_variance + row.unknown;
    let first = Opinion {
        mean: sale.left_out.location,
        variance: (whole / wider - sure).max(0.0),
    };
    let second = fitted.depreciation.opinion(&row.facts, &row.x);
    let both = second.map_or(first, |second| first.and(second));
    let luck = fitted.luck_variance();
    Sighting {
        guess: said - both.mean,
        price: sale.ln_price - both.mean,
        bike: (wider * (sure + both.variance) - luck).max(0.0),
        luck,
    }
}
