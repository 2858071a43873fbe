//! The augmented system of a value model, row by row: every record, every prior
//! row and what was found, so that another least squares can be set beside ours.
//! Held in memory whole; only an export asks for it.

use super::fitted::FittedValue;
use super::initial::{OwnRow, robust_weight, start_variances};
use super::own_sales::StartVariance;
use super::recipe::{NoFit, ValueModel};
use super::reduce::{CompMet, Observer, Reduced};
use crate::pricing::design::coding::Coding;
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::prior_rows::PriorRows;
use crate::pricing::records::observation::{GROUPS, Observation, Records, Unused, of_sale};
use crate::statistics::dot;
use crate::trade::Comparable;

/// Why a record carries nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyLeftOut {
    /// It has no price above 0.
    NoPrice,
    /// It has no date.
    NoDate,
    /// Its robust weight is 0: its price is this many times what is expected.
    Nonsense(f64),
}

/// A record as a row of the design.
#[derive(Clone, Debug)]
pub struct DesignRow {
    /// What was seen.
    pub seen: Observation,
    /// Its row, as wide as the columns.
    pub x: Vec<f64>,
    /// Variance of its kind of price in the pilot.
    pub variance: f64,
    /// Variance that unknown facts add.
    pub unknown: f64,
    /// Robust weight; 0 for nonsense.
    pub robust: f64,
    /// Weight in the fit: what the row counts, times the robust weight, over both variances.
    pub weight: f64,
}

/// A record.
#[derive(Clone, Debug)]
pub struct DataRow {
    /// The bike's or the listing's id.
    pub id: String,
    /// Where a comp was seen; `None` for an own sale.
    pub source: Option<String>,
    /// Its row; `None` without a price or a date.
    pub design: Option<DesignRow>,
    /// Why it carries nothing.
    pub left_out: Option<WhyLeftOut>,
}

/// The prior row of a column.
#[derive(Clone, Debug, PartialEq)]
pub struct PriorRow {
    /// Believed coefficient.
    pub mean: f64,
    /// Weight of the row at each scale, in the order of the components.
    pub weights: Vec<f64>,
    /// Lowest and highest coefficient.
    pub limits: (f64, f64),
}

/// The pilot fit, which the rows have their weights from.
#[derive(Clone, Debug)]
pub struct PilotFit {
    /// Its coefficients.
    pub coefficients: Vec<f64>,
    /// Variance of each group and the one it started from, in the order of
    /// [`crate::pricing::Group::ALL`].
    pub variances: [(f64, f64); GROUPS],
    /// Rows that the start is worth.
    pub worth: f64,
}

/// The system and its solution.
#[derive(Clone, Debug)]
pub struct ValueSystem {
    /// What was found.
    pub fitted: FittedValue,
    /// Names of the columns.
    pub columns: Vec<String>,
    /// Own sales in the order of the records, then comps in theirs.
    pub rows: Vec<DataRow>,
    /// One a column.
    pub prior: Vec<PriorRow>,
    /// The pilot.
    pub pilot: PilotFit,
    /// Variance of an own sale before own sales speak.
    pub start: StartVariance,
}

/// Fits the model and keeps its rows.
///
/// # Errors
/// [`NoFit`].
pub fn value_system(model: &ValueModel<'_>, records: &dyn Records) -> Result<ValueSystem, NoFit> {
    let mut kept = Kept::default();
    let fitted = model.fit(records, &mut kept)?;
    let reduced = kept.reduced.filter(|_| !fitted.gathered.is_empty());
    let reduced = reduced.ok_or(NoFit::NoRecords)?;
    let (pilot, variances) = (reduced.pilot, reduced.variances);
    let coding = &fitted.coding;
    let mut rows = sales(model, records, reduced.own, &pilot);
    let design = |seen: Observation, precision: f64| {
        let mut x = vec![0.0; coding.width()];
        coding.row(&seen.facts, seen.day, seen.asked(), &mut x);
        let variance = variances[seen.group as usize];
        let unknown = coding.unknown_variance(&seen.facts, &pilot);
        DesignRow {
            robust: robust_weight(seen.ln_price - dot(&x, &pilot), variance + unknown),
            seen,
            x,
            variance,
            unknown,
            weight: precision * fitted.comps_exponent,
        }
    };
    rows.extend(kept.comps.into_iter().map(|comp| DataRow {
        id: comp.listing,
        source: Some(comp.source),
        design: comp.seen.map(|(seen, precision)| design(seen, precision)),
        left_out: comp.left_out,
    }));
    let prior = PriorRows::new(
        model.priors,
        coding,
        reduced.level,
        &model.settings.currency,
    );
    let scales = || fitted.components.iter().map(|one| one.scale);
    let prior = prior
        .means()
        .into_iter()
        .enumerate()
        .map(|(j, mean)| PriorRow {
            mean,
            weights: scales().map(|scale| prior.precision(j, scale)).collect(),
            limits: prior.limits(j),
        });
    let before = start_variances(model.priors);
    Ok(ValueSystem {
        columns: coding.names(),
        prior: prior.collect(),
        rows,
        pilot: PilotFit {
            variances: std::array::from_fn(|g| (variances[g], before[g])),
            worth: model.priors.noise_sales,
            coefficients: pilot,
        },
        start: reduced.start,
        fitted,
    })
}

/// The own sales; `own` holds those with a price, in the same order.
fn sales(
    model: &ValueModel<'_>,
    records: &dyn Records,
    own: Vec<OwnRow>,
    pilot: &[f64],
) -> Vec<DataRow> {
    let settings = &model.settings;
    let mut own = own.into_iter();
    let mut rows = Vec::new();
    for sale in records.sales() {
        if settings.without.as_deref() == Some(sale.id.as_str()) {
            continue;
        }
        let (design, left_out) = match of_sale(sale, settings.as_of, &settings.currency) {
            Err(Unused::NotYet) => continue,
            Err(Unused::NoPrice) => (None, Some(WhyLeftOut::NoPrice)),
            Err(Unused::NoDate) => (None, Some(WhyLeftOut::NoDate)),
            Ok(seen) => {
                let row = own.next().map(|row| DesignRow {
                    seen,
                    variance: row.variance,
                    unknown: row.unknown,
                    robust: row.robust,
                    weight: row.precision,
                    x: row.x,
                });
                let nonsense = row.as_ref().filter(|row| row.robust == 0.0);
                let times = nonsense.map(|row| (seen.ln_price - dot(&row.x, pilot)).exp());
                (row, times.map(WhyLeftOut::Nonsense))
            }
        };
        rows.push(DataRow {
            id: sale.id.clone(),
            source: None,
            design,
            left_out,
        });
    }
    rows
}

/// A comp as the second pass saw it.
struct KeptComp {
    listing: String,
    source: String,
    seen: Option<(Observation, f64)>,
    left_out: Option<WhyLeftOut>,
}

/// What the passes left, without the R factor.
struct Left {
    own: Vec<OwnRow>,
    pilot: Vec<f64>,
    variances: [f64; GROUPS],
    start: StartVariance,
    level: Belief,
}

/// Keeps everything that passes.
#[derive(Default)]
struct Kept {
    comps: Vec<KeptComp>,
    reduced: Option<Left>,
}

impl Kept {
    fn comp(
        &mut self,
        comp: &Comparable,
        seen: Option<(Observation, f64)>,
        why: Option<WhyLeftOut>,
    ) {
        self.comps.push(KeptComp {
            listing: comp.listing.clone(),
            source: comp.source.clone(),
            seen,
            left_out: why,
        });
    }
}

impl Observer for Kept {
    fn comp(&mut self, _: CompMet<'_>, _: &Coding, _: &[f64]) {}

    fn weighed(&mut self, comp: &Comparable, seen: &Observation, precision: f64) {
        Kept::comp(self, comp, Some((*seen, precision)), None);
    }

    fn unused(&mut self, comp: &Comparable, why: Unused) {
        match why {
            Unused::NotYet => {}
            Unused::NoPrice => Kept::comp(self, comp, None, Some(WhyLeftOut::NoPrice)),
            Unused::NoDate => Kept::comp(self, comp, None, Some(WhyLeftOut::NoDate)),
        }
    }

    fn nonsense(&mut self, comp: &Comparable, seen: &Observation, ratio: f64) {
        Kept::comp(
            self,
            comp,
            Some((*seen, 0.0)),
            Some(WhyLeftOut::Nonsense(ratio)),
        );
    }

    fn reduced(&mut self, reduced: &Reduced) {
        self.reduced = Some(Left {
            own: reduced.own.clone(),
            pilot: reduced.pilot.clone(),
            variances: reduced.variances,
            start: reduced.start,
            level: reduced.level,
        });
    }
}
