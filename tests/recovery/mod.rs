//! Simulated books with known truth, and the tests that the value model finds
//! it: books drawn from the model's own form, and a market that is not of it.

/// Books drawn from the form of the value model itself.
pub mod from_model;
/// A local market of buyers and sellers that is not of the model's form.
pub mod market;

use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::fitted::FittedValue;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::trade::{Currency, Day};

/// The value model of the program on these records, when there is anything to
/// go on.
fn fitted(records: &InMemory, as_of: Day, currency: &Currency) -> Option<FittedValue> {
    let model = ValueModel {
        priors: Priors::shipped(),
        settings: ValueSettings {
            as_of,
            currency: *currency,
            without: None,
        },
    };
    model.fit(records, &mut Unobserved).ok()
}

/// The generators keep their own promises.
mod generators;

/// The value model beside the oracle and beside plain rules.
mod against_market;
/// Ranges on books drawn from the model's own form.
mod coverage;
/// Sales left out by formula, against refits.
mod left_out;
/// One table over markets of five forms, beside least squares and ridge.
mod market_cells;
/// The user's own eye beside the price, in that market.
mod own_eye;
/// What an analyst would fit to the same rows.
pub mod rivals;

/// A market that moves and has a season.
mod market_course;
/// Prices tried on books whose market moves.
mod moving_market;
/// Plain rules: least squares, five nearest comps, the style's median.
mod rules;
/// Plans of selling, judged by buyers that no model of ours describes.
mod selling;
