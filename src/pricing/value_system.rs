//! The augmented system of a value model, row by row: every record, every prior
//! row and what was found, so that another least squares can be set beside ours.
//! Held in memory whole; only an export asks for it.

use super::coding::Coding;
use super::fitting::{Reduced, Watch};
use super::observation::{Observation, Records, Unused, of_sale};
use super::own_sales::StartVariance;
use super::pilot::OwnRow;
use super::prior_rows::Prior;
use super::value::{FittedValue, NoFit, ValueModel};
use crate::trade::Comparable;

/// Why a record carries nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
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
    /// Weight in the fit, one over a variance; 0 for nonsense.
    pub weight: f64,
    /// Of an own sale: variance in the pilot, what unknown facts add, robust weight.
    pub of_own: Option<(f64, f64, f64)>,
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
    pub left_out: Option<Why>,
}

/// The prior row of a column.
#[derive(Clone, Debug, PartialEq)]
pub struct PriorRow {
    /// Believed coefficient.
    pub mean: f64,
    /// Weight of the row at each scale, in the order of the parts.
    pub weights: Vec<f64>,
    /// Lowest and highest coefficient.
    pub limits: (f64, f64),
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
    let Some((start, centre)) = kept.start else {
        return Err(NoFit::NoRecords);
    };
    let coding = &fitted.coding;
    let mut rows = sales(model, records, kept.own);
    let design = |seen: Observation, precision: f64| {
        let mut x = vec![0.0; coding.width()];
        coding.row(&seen.facts, seen.day, seen.group.source(), &mut x);
        DesignRow {
            seen,
            x,
            weight: precision * fitted.comps_weight,
            of_own: None,
        }
    };
    rows.extend(kept.comps.into_iter().map(|comp| DataRow {
        id: comp.listing,
        source: Some(comp.source),
        design: comp.seen.map(|(seen, precision)| design(seen, precision)),
        left_out: comp.left_out,
    }));
    let prior = Prior::new(model.priors, coding, centre);
    let scales = || fitted.parts.iter().map(|part| part.scale);
    let prior = prior
        .means()
        .into_iter()
        .enumerate()
        .map(|(j, mean)| PriorRow {
            mean,
            weights: scales().map(|scale| prior.precision(j, scale)).collect(),
            limits: prior.limits(j),
        });
    Ok(ValueSystem {
        columns: coding.names(),
        prior: prior.collect(),
        rows,
        start,
        fitted,
    })
}

/// The own sales; `own` holds those with a price, in the same order.
fn sales(model: &ValueModel<'_>, records: &dyn Records, own: Vec<OwnRow>) -> Vec<DataRow> {
    let settings = &model.settings;
    let mut own = own.into_iter();
    let mut rows = Vec::new();
    for sale in records.sales() {
        if settings.without.as_deref() == Some(sale.id.as_str()) {
            continue;
        }
        let (design, left_out) = match of_sale(sale, settings.as_of, &settings.currency) {
            Err(Unused::NotYet) => continue,
            Err(Unused::NoPrice) => (None, Some(Why::NoPrice)),
            Err(Unused::NoDate) => (None, Some(Why::NoDate)),
            Ok(seen) => {
                let row = own.next().map(|row| DesignRow {
                    seen,
                    weight: row.precision,
                    of_own: Some((row.variance, row.unknown, row.robust)),
                    x: row.x,
                });
                (row, None)
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
    left_out: Option<Why>,
}

/// Keeps everything that passes.
#[derive(Default)]
struct Kept {
    comps: Vec<KeptComp>,
    own: Vec<OwnRow>,
    start: Option<(StartVariance, f64)>,
}

impl Kept {
    fn comp(&mut self, comp: &Comparable, seen: Option<(Observation, f64)>, why: Option<Why>) {
        self.comps.push(KeptComp {
            listing: comp.listing.clone(),
            source: comp.source.clone(),
            seen,
            left_out: why,
        });
    }
}

impl Watch for Kept {
    fn comp(&mut self, _: &Comparable, _: &Observation, _: &Coding, _: &[f64]) {}

    fn weighed(&mut self, comp: &Comparable, seen: &Observation, precision: f64) {
        Kept::comp(self, comp, Some((*seen, precision)), None);
    }

    fn unused(&mut self, comp: &Comparable, why: Unused) {
        match why {
            Unused::NotYet => {}
            Unused::NoPrice => Kept::comp(self, comp, None, Some(Why::NoPrice)),
            Unused::NoDate => Kept::comp(self, comp, None, Some(Why::NoDate)),
        }
    }

    fn nonsense(&mut self, comp: &Comparable, seen: &Observation, ratio: f64) {
        Kept::comp(self, comp, Some((*seen, 0.0)), Some(Why::Nonsense(ratio)));
    }

    fn reduced(&mut self, reduced: &Reduced) {
        self.own = reduced.own.clone();
        self.start = Some((reduced.start, reduced.centre));
    }
}
