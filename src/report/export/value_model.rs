//! The value model as JSON, with every row that it was fitted to: enough for any
//! least squares to be set beside it.

use super::model_file;
use crate::pricing::Group;
use crate::pricing::Priors;
use crate::pricing::eye::learnt::{Eye, EyeNumbers, SPEAK_ALONE};
use crate::pricing::eye::sighting::EyeSource;
use crate::pricing::prior::priors::EyeBeliefs;
use crate::pricing::value::mixture::SHAPE;
use crate::pricing::value::system::{DataRow, ValueSystem, WhyLeftOut};
use crate::trade::Currency;
use serde::Serialize;

/// The word that is typed, and the file's own.
pub const WORD: &str = "value-model";

/// The groups of facts, by the number of their bit in `Facts::known`.
const FACTS: [&str; 5] = ["age", "condition", "tier", "size", "new price"];

#[derive(Serialize)]
struct File<'a> {
    export: &'static str,
    as_of: String,
    currency: &'a str,
    settings: Settings,
    levels_held: &'a [f64],
    columns: &'a [String],
    usual_new_price: &'a [f64],
    depreciation: Depreciation,
    coefficients: &'a [f64],
    parts: Vec<Component<'a>>,
    prior_rows: Vec<Prior<'a>>,
    pilot: Pilot<'a>,
    eye: OwnEye<'a>,
    rows: Vec<Row<'a>>,
}

/// The second opinion on bikes whose new price is known.
#[derive(Serialize)]
struct Depreciation {
    anchor: f64,
    anchor_variance: f64,
    around: f64,
}

#[derive(Serialize)]
struct Settings {
    residual_sd: f64,
    residual_freedom: f64,
    residual_sd_before: f64,
    residual_sd_before_is_worth: f64,
    range_factor: f64,
    comps_weight: f64,
    prior_weight: f64,
    variance_shape: f64,
    variance_scale: f64,
    sales: usize,
    comps: usize,
    left_out: usize,
}

#[derive(Serialize)]
struct Component<'a> {
    scale: f64,
    chance: f64,
    log_evidence: f64,
    share: f64,
    variance: f64,
    freedom: f64,
    residual_sum: f64,
    held: &'a [usize],
    coefficients: &'a [f64],
    standard_errors: Vec<f64>,
}

#[derive(Serialize)]
struct Prior<'a> {
    column: &'a str,
    mean: f64,
    lowest: Option<f64>,
    highest: Option<f64>,
    weights: &'a [f64],
}

#[derive(Serialize)]
struct Pilot<'a> {
    coefficients: &'a [f64],
    before_is_worth: f64,
    variances: Vec<Spread>,
}

#[derive(Serialize)]
struct Spread {
    price_of: &'static str,
    before: f64,
    variance: f64,
}

/// The user's own eye: what is believed of it, what it was learnt from, what it is.
#[derive(Serialize)]
struct OwnEye<'a> {
    beliefs: &'a EyeBeliefs,
    first_ask_above: f64,
    guesses_speak_alone_from: usize,
    seen: Vec<Seen>,
    eyes: Vec<EyeNumbers>,
    widens: f64,
}

/// A sold bike as its owner saw it, in logs, against what is told of it without the sale.
#[derive(Serialize)]
struct Seen {
    said: &'static str,
    off: f64,
    price_off: f64,
    bike_variance: f64,
    luck_variance: f64,
}

#[derive(Serialize)]
struct Row<'a> {
    kind: &'static str,
    id: &'a str,
    source: Option<&'a str>,
    left_out: Option<&'static str>,
    times_expected: Option<f64>,
    price_of: Option<&'static str>,
    day: Option<String>,
    unknown: Vec<&'static str>,
    ln_price: Option<f64>,
    counts: Option<f64>,
    weight: f64,
    variance: Option<f64>,
    unknown_variance: Option<f64>,
    robust: Option<f64>,
    x: Option<&'a [f64]>,
}

/// The bytes of the file.
///
/// # Errors
/// None in practice: every number is finite.
pub fn bytes(
    system: &ValueSystem,
    priors: &Priors,
    currency: &Currency,
) -> Result<Vec<u8>, serde_json::Error> {
    let fitted = &system.fitted;
    let parts = fitted.components.iter().map(|part| Component {
        scale: part.scale,
        chance: part.chance,
        log_evidence: part.log_evidence,
        share: part.weight,
        variance: part.variance.0,
        freedom: part.variance.1,
        residual_sum: part.fit.residual_sum,
        held: &part.fit.held,
        coefficients: &part.fit.coefficients,
        standard_errors: part.fit.standard_errors(1.0),
    });
    let prior_rows = system.columns.iter().zip(&system.prior);
    let prior_rows = prior_rows.map(|(column, row)| Prior {
        column,
        mean: row.mean,
        lowest: model_file::bound(row.limits.0),
        highest: model_file::bound(row.limits.1),
        weights: &row.weights,
    });
    let variances = Group::ALL.into_iter().zip(&system.pilot.variances);
    let variances = variances.map(|(kind, (variance, before))| Spread {
        price_of: group(kind),
        before: *before,
        variance: *variance,
    });
    model_file::bytes(&File {
        export: WORD,
        as_of: fitted.coding.as_of.to_string(),
        currency: currency.code(),
        settings: Settings {
            residual_sd: fitted.own_variance.sqrt(),
            residual_freedom: fitted.own_freedom,
            residual_sd_before: system.start.variance.sqrt(),
            residual_sd_before_is_worth: system.start.worth,
            range_factor: fitted.range_factor,
            comps_weight: fitted.comps_exponent,
            prior_weight: fitted.prior_weight,
            variance_shape: SHAPE,
            variance_scale: SHAPE,
            sales: fitted.gathered.sales,
            comps: fitted.gathered.comps,
            left_out: fitted.gathered.left_out,
        },
        levels_held: fitted.levels.held(),
        columns: &system.columns,
        usual_new_price: fitted.coding.usual_new_price(),
        depreciation: Depreciation {
            anchor: fitted.depreciation.anchor.0,
            anchor_variance: fitted.depreciation.anchor.1,
            around: fitted.depreciation.around,
        },
        coefficients: &fitted.coefficients,
        parts: parts.collect(),
        prior_rows: prior_rows.collect(),
        pilot: Pilot {
            coefficients: &system.pilot.coefficients,
            before_is_worth: system.pilot.worth,
            variances: variances.collect(),
        },
        eye: own_eye(&fitted.eye, priors),
        rows: system.rows.iter().map(row).collect(),
    })
}

fn own_eye<'a>(eye: &Eye, priors: &'a Priors) -> OwnEye<'a> {
    let seen = eye.seen().iter().map(|(from, one)| Seen {
        said: match from {
            EyeSource::FirstAsk => "first ask",
            EyeSource::Guess | EyeSource::Trade => "guess",
        },
        off: one.guess,
        price_off: one.price,
        bike_variance: one.bike,
        luck_variance: one.luck,
    });
    let (eyes, widens) = eye.numbers();
    OwnEye {
        beliefs: &priors.eye,
        first_ask_above: priors.selling.own_asks.mean,
        guesses_speak_alone_from: SPEAK_ALONE,
        seen: seen.collect(),
        eyes,
        widens,
    }
}

fn row(row: &DataRow) -> Row<'_> {
    let design = row.design.as_ref();
    let (left_out, times_expected) = match row.left_out {
        Some(WhyLeftOut::NoPrice) => (Some("no price"), None),
        Some(WhyLeftOut::NoDate) => (Some("no date"), None),
        Some(WhyLeftOut::Nonsense(times)) => (Some("far from its value"), Some(times)),
        None => (None, None),
    };
    let unknown = |known: u32| {
        let each = FACTS.into_iter().enumerate();
        each.filter(move |(bit, _)| known & (1 << bit) == 0)
            .map(|(_, name)| name)
    };
    Row {
        kind: match row.source {
            Some(_) => model_file::COMP,
            None => model_file::SALE,
        },
        id: &row.id,
        source: row.source.as_deref().filter(|source| !source.is_empty()),
        left_out,
        times_expected,
        price_of: design.map(|design| group(design.seen.group)),
        day: design.map(|design| design.seen.day.to_string()),
        unknown: design.map_or(Vec::new(), |d| unknown(d.seen.facts.known).collect()),
        ln_price: design.map(|design| design.seen.ln_price),
        counts: design.map(|design| design.seen.weight),
        weight: design.map_or(0.0, |design| design.weight),
        variance: design.map(|design| design.variance),
        unknown_variance: design.map(|design| design.unknown),
        robust: design.map(|design| design.robust),
        x: design.map(|design| design.x.as_slice()),
    }
}

/// What kind of price a row holds.
fn group(group: Group) -> &'static str {
    match group {
        Group::Own => "own sale",
        Group::Price => "seen sale",
        Group::Sold => "ask, sold",
        Group::Gone => "ask, gone",
        Group::Listed => "ask, listed",
        Group::Withdrawn => "ask, withdrawn",
    }
}
