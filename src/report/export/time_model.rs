//! The time model as JSON, with every episode that it was fitted to.

use super::model_file::{self, Seen};
use crate::pricing::time_on_market::TimeSystem;
use crate::statistics::survival::weibull::NormalPrior;
use crate::trade::{Currency, Day};
use serde::Serialize;

/// The word that is typed, and the file's own.
pub const WORD: &str = "time-model";

/// The shape's place after the columns.
const LN_SCALE: &str = "ln scale";

#[derive(Serialize)]
struct File<'a> {
    export: &'static str,
    as_of: String,
    currency: &'a str,
    columns: &'a [String],
    coefficients: &'a [f64],
    ln_scale: f64,
    standard_errors: Vec<f64>,
    covariance: Vec<&'a [f64]>,
    log_likelihood: f64,
    log_posterior: f64,
    events: f64,
    bounded: &'a [usize],
    listings: Listings,
    priors: Vec<Prior<'a>>,
    episodes: Vec<Episode<'a>>,
    records: &'a [Seen],
}

#[derive(Serialize)]
struct Listings {
    own: usize,
    own_sold: usize,
    comps: usize,
    comps_sold: usize,
    comps_gone: usize,
}

#[derive(Serialize)]
struct Prior<'a> {
    column: &'a str,
    mean: f64,
    sd: f64,
    lowest: Option<f64>,
    highest: Option<f64>,
}

#[derive(Serialize)]
struct Episode<'a> {
    entry: f64,
    exit: f64,
    event: f64,
    weight: f64,
    x: &'a [f64],
}

/// The bytes of the file. `records`: those of the book, of which some speak.
///
/// # Errors
/// None in practice: every number is finite.
pub fn bytes(
    system: &TimeSystem,
    as_of: Day,
    currency: &Currency,
    records: &[Seen],
) -> Result<Vec<u8>, serde_json::Error> {
    let (fit, model) = (&system.fitted.fit, &system.model);
    let rests_on = &system.fitted.rests_on;
    let places = model.names.len() + 1;
    let prior = |column, prior: &NormalPrior, lowest, highest| Prior {
        column,
        mean: prior.mean,
        sd: prior.sd,
        lowest,
        highest,
    };
    let bounds = model.lower.iter().zip(&model.upper);
    let named = model.names.iter().zip(&model.priors).zip(bounds);
    let of_columns = named.map(|((name, p), (low, high))| prior(name.as_str(), p, *low, *high));
    let of_scale = prior(LN_SCALE, &model.ln_scale, None, None);
    let episodes = system.episodes.iter().map(|episode| Episode {
        entry: episode.entry,
        exit: episode.exit,
        event: episode.event,
        weight: episode.weight,
        x: &episode.x,
    });
    model_file::bytes(&File {
        export: WORD,
        as_of: as_of.to_string(),
        currency: currency.code(),
        columns: &fit.names,
        coefficients: &fit.coefficients,
        ln_scale: fit.ln_scale,
        standard_errors: fit.standard_errors(),
        covariance: fit.covariance.chunks(places).collect(),
        log_likelihood: fit.log_likelihood,
        log_posterior: fit.log_posterior,
        events: fit.events,
        bounded: &fit.bounded,
        listings: Listings {
            own: rests_on.own,
            own_sold: rests_on.own_sold,
            comps: rests_on.comps,
            comps_sold: rests_on.comps_sold,
            comps_gone: rests_on.comps_gone,
        },
        priors: of_columns.chain([of_scale]).collect(),
        episodes: episodes.collect(),
        records,
    })
}
