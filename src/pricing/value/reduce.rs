//! Two passes over the records: a pilot fit, then every row into one R factor.
//!
//! The pilot takes all own sales and at most [`PILOT`] comps (those with the
//! smallest hash of their name, so that the choice does not depend on the order
//! of rows) and iterates weights and variances until they settle. The second
//! pass weighs every comp once by the pilot's answer and folds it into a
//! [`RFactor`], so memory does not grow with the comps. One step from a
//! consistent pilot is as good as iterating on (Bickel 1975, JASA 70, from memory).

use super::depreciation::Depreciation;
use super::initial::{OwnRow, Pilot, Said, robust_weight, start_variances};
use super::own_sales::StartVariance;
use super::recipe::{NoFit, ValueModel};
use crate::pricing::design::coding::{Coding, UnknownVariance};
use crate::pricing::design::features::Facts;
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::prior_rows::PriorRows;
use crate::pricing::prior::priors::Priors;
use crate::pricing::records::gathered::{FirstOfMany, Gathered};
use crate::pricing::records::observation::{
    CompPrice, GROUPS, Group, Observation, Records, RecordsError, Unused, of_comp, of_price,
    of_sale, price_of,
};
use crate::statistics::linear::parallel::ByKind;
use crate::statistics::linear::robust::{student_t_weight, weighted_median};
use crate::statistics::{FitProblem, RFactor, dot, hash};
use crate::trade::{Comparable, Currency, Day, Money, Sale};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Comps in the pilot fit, at most.
pub const PILOT: usize = 2500;

/// A comp as the second pass meets it.
#[derive(Clone, Copy)]
pub struct CompMet<'a> {
    /// Its key in the records.
    pub key: i64,
    /// It.
    pub comp: &'a Comparable,
    /// Its price.
    pub seen: &'a Observation,
}

/// Shown every comp in the second pass.
pub trait Observer {
    /// A comp, and the pilot's coding and coefficients.
    fn comp(&mut self, met: CompMet<'_>, coding: &Coding, b: &[f64]);

    /// The same comp with the weight of its row: robust weight over variance.
    fn weighed(&mut self, _comp: &Comparable, _seen: &Observation, _precision: f64) {}

    /// A comp that carries nothing, and why.
    fn unused(&mut self, _comp: &Comparable, _why: Unused) {}

    /// A comp whose robust weight is 0, and its price over what is expected of it.
    fn nonsense(&mut self, _comp: &Comparable, _seen: &Observation, _ratio: f64) {}

    /// What both passes left, once, after the last comp.
    fn reduced(&mut self, _reduced: &Reduced) {}
}

/// Observes nothing.
pub struct Unobserved;

impl Observer for Unobserved {
    fn comp(&mut self, _: CompMet<'_>, _: &Coding, _: &[f64]) {}
}

/// The records reduced to an R factor and the own rows.
#[derive(serde::Serialize, serde::Deserialize)]
pub struct Reduced {
    /// The coding.
    pub coding: Coding,
    /// What is believed of the base bike's level.
    pub level: Belief,
    /// The second opinion on bikes whose new price is known.
    pub depreciation: Depreciation,
    /// All comps.
    pub comps: RFactor,
    /// How many comps they are worth: several listings of one bike count as one.
    pub comps_worth: f64,
    /// Own sales.
    pub own: Vec<OwnRow>,
    /// The pilot's coefficients.
    pub pilot: Vec<f64>,
    /// The pilot's variance of each group, in the order of [`Group::ALL`].
    pub variances: [f64; GROUPS],
    /// Variance of an own sale before own sales speak.
    pub start: StartVariance,
    /// What the records hold.
    pub gathered: Gathered,
}

/// Runs both passes.
///
/// # Errors
/// [`NoFit`].
pub fn reduce(
    model: &ValueModel<'_>,
    records: &dyn Records,
    observer: &mut dyn Observer,
) -> Result<Reduced, NoFit> {
    let (as_of, currency) = (model.settings.as_of, model.settings.currency);
    let mut gathered = Gathered::default();
    let own = known_sales(model, records, &mut gathered);
    let first = first_pass(records, as_of, &currency, &mut gathered)?;
    let own_seen = own.iter().map(|o| o.1);
    let seen: Vec<Observation> = own_seen.chain(first.pilot.iter().copied()).collect();
    let (centre, level) = level(model, &seen).ok_or(NoFit::NoRecords)?;
    let own_days = own.iter().map(|o| o.1.day);
    let oldest = own_days.chain(first.oldest).min().unwrap_or(as_of);
    let known: Vec<(Facts, f64)> = seen.iter().map(|s| (s.facts, s.weight)).collect();
    let coding = Coding::new(as_of, oldest, model.priors, centre, &known);
    let prior = PriorRows::new(model.priors, &coding, level, &currency);
    let pilot = Pilot::settle(&seen, &coding, &prior, model.priors)?;
    let depreciation = Depreciation::learn(model.priors, &coding, &seen, &pilot);
    let own = own_rows(&own, &pilot, &currency, &mut gathered);
    let (comps, counts) = second_pass(model, records, (&coding, &pilot), &mut gathered, observer)?;
    Ok(Reduced {
        coding,
        level,
        depreciation,
        comps,
        comps_worth: counts.iter().sum(),
        own,
        start: start_of_own_sales(model.priors, &pilot.variances, &counts),
        pilot: pilot.b,
        variances: pilot.variances,
        gathered,
    })
}

/// The median ln price of the records, and the belief about the base bike's level.
/// `None` where there are no records and no level is believed of the currency.
///
/// A market at another level than believed needs no setting: the belief is the less
/// sure, the further it is from the records, as the prior's weight under Student t
/// errors with 4 degrees of freedom, `5 / (4 + z^2)`.
fn level(model: &ValueModel<'_>, seen: &[Observation]) -> Option<(f64, Belief)> {
    let believed = model.priors.level(&model.settings.currency);
    if seen.is_empty() {
        return believed.map(|level| (level.mean, level));
    }
    let centre = weighted_median(seen.iter().map(|s| (s.ln_price, s.weight)).collect());
    let level = match believed {
        None => Belief {
            mean: centre,
            sd: SPREAD_OF_LEVEL,
        },
        Some(level) => {
            // The records' middle bike need not be the base bike.
            let square = (centre - level.mean).powi(2) / (2.0 * level.sd.powi(2));
            let weight = student_t_weight(square.sqrt()).min(1.0);
            Belief {
                mean: level.mean,
                sd: level.sd / weight.sqrt(),
            }
        }
    };
    Some((centre, level))
}

/// Standard deviation of the level around the records' middle where nothing is
/// believed of it: nearly flat, so that a market ten times dearer needs no setting.
const SPREAD_OF_LEVEL: f64 = 1.0;

/// The own sales that speak on the day of the answer.
fn known_sales<'r>(
    model: &ValueModel<'_>,
    records: &'r dyn Records,
    gathered: &mut Gathered,
) -> Vec<(&'r Sale, Observation)> {
    let settings = &model.settings;
    let mut own = Vec::new();
    for sale in records.sales() {
        if settings.without.as_deref() == Some(sale.id.as_str()) {
            continue;
        }
        match of_sale(sale, settings.as_of, &settings.currency) {
            Ok(seen) => {
                gathered.sales += 1;
                own.push((sale, seen));
            }
            Err(Unused::NotYet) => {}
            Err(_) => gathered.leave_out(sale.id.clone(), None),
        }
    }
    own
}

/// The own sales as the pilot weighed them, which has them first; nonsense is told.
fn own_rows(
    own: &[(&Sale, Observation)],
    pilot: &Pilot,
    currency: &Currency,
    gathered: &mut Gathered,
) -> Vec<OwnRow> {
    let ln = |amount: Money| (amount.minor() > 0).then(|| currency.units(amount).ln());
    let mut rows = Vec::with_capacity(own.len());
    for ((sale, seen), row) in own.iter().zip(&pilot.rows) {
        if row.robust == 0.0 {
            let ratio = (seen.ln_price - dot(&row.x, &pilot.b)).exp();
            gathered.leave_out(sale.id.clone(), Some(ratio));
            gathered.sales -= 1;
        } else {
            gathered.see(&sale.bike, seen.day);
            gathered.paid(sale.bike.style, seen.ln_price);
        }
        rows.push(OwnRow {
            id: sale.id.clone(),
            said: Said {
                guess: sale.guess.and_then(ln),
                first_ask: sale.ask.and_then(ln),
            },
            ..row.clone()
        });
    }
    rows
}

struct First {
    pilot: Vec<Observation>,
    oldest: Option<Day>,
}

/// A comp that may be in the pilot: the hash of its name, its key, its price.
struct Candidate(u64, i64, CompPrice);

impl PartialEq for Candidate {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Candidate {}

impl PartialOrd for Candidate {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Candidate {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.0, self.1).cmp(&(other.0, other.1))
    }
}

/// The comps of the pilot and the oldest day; counts what is used. The comps come in
/// any order, and it is the same for each.
fn first_pass(
    records: &dyn Records,
    as_of: Day,
    currency: &Currency,
    gathered: &mut Gathered,
) -> Result<First, RecordsError> {
    let mut heap: BinaryHeap<Candidate> = BinaryHeap::with_capacity(PILOT + 1);
    let mut oldest: Option<Day> = None;
    let mut left_out = FirstOfMany::default();
    records.each_price_as_it_comes(&mut |key, comp| match price_of(comp, as_of) {
        Ok(price) => {
            let day = price.day;
            gathered.comps += 1;
            oldest = Some(oldest.map_or(day, |d| d.min(day)));
            let hash = name_hash(comp);
            let most = heap.peek().filter(|_| heap.len() == PILOT);
            if most.is_some_and(|most| (hash, key) >= (most.0, most.1)) {
                return;
            }
            if heap.len() == PILOT {
                heap.pop();
            }
            heap.push(Candidate(hash, key, price));
        }
        Err(Unused::NotYet) => {}
        Err(_) => left_out.push(key, || name(comp)),
    })?;
    left_out.tell(gathered);
    let chosen = heap.into_sorted_vec();
    let keys: Vec<i64> = chosen.iter().map(|one| one.1).collect();
    let bikes = records.bikes_of(&keys)?;
    let pilot = chosen.into_iter().zip(bikes).filter_map(|(one, bike)| {
        let (bike, weight) = bike?;
        Some(of_price(one.2, &bike, weight, currency))
    });
    Ok(First {
        pilot: pilot.collect(),
        oldest,
    })
}

fn name(comp: &Comparable) -> String {
    if comp.source.is_empty() {
        comp.listing.clone()
    } else {
        format!("{} ({})", comp.listing, comp.source)
    }
}

/// Chooses among comps whatever their order.
pub(in crate::pricing) fn name_hash(comp: &Comparable) -> u64 {
    hash::of_texts(&[&comp.source, &comp.listing])
}

/// Every comp into the R factor, weighed once by the pilot's answer; and how many
/// comps of each group it holds.
fn second_pass(
    model: &ValueModel<'_>,
    records: &dyn Records,
    (coding, pilot): (&Coding, &Pilot),
    gathered: &mut Gathered,
    observer: &mut dyn Observer,
) -> Result<(RFactor, [f64; GROUPS]), NoFit> {
    let (as_of, currency) = (model.settings.as_of, model.settings.currency);
    let mut x = vec![0.0; coding.width()];
    let mut problem: Option<FitProblem> = None;
    let mut counts = [0.0; GROUPS];
    let mut unknown_variance = UnknownVariance::under(coding, &pilot.b);
    let kinds = coding.kinds();
    let mut by_kind = ByKind::new(coding.width(), &kinds);
    let (r_factor, read) = by_kind.fold(|rows| {
        records.each_comp(&mut |key, comp, weight| {
            let seen = match of_comp(comp, weight, as_of, &currency) {
                Ok(seen) => seen,
                Err(why) => return observer.unused(comp, why),
            };
            coding.row(&seen.facts, seen.day, seen.asked(), &mut x);
            let residual = seen.ln_price - dot(&x, &pilot.b);
            let unknown = unknown_variance.of(&seen.facts);
            let variance = pilot.variances[seen.group as usize] + unknown;
            let robust = robust_weight(residual, variance);
            if robust == 0.0 {
                gathered.comps -= 1;
                gathered.leave_out(name(comp), Some(residual.exp()));
                observer.nonsense(comp, &seen, residual.exp());
                return;
            }
            counts[seen.group as usize] += weight;
            gathered.see(&comp.bike, seen.day);
            if seen.group == Group::Price {
                gathered.paid(comp.bike.style, seen.ln_price);
            }
            gathered.newest_comp = gathered.newest_comp.max(comp.state_on(as_of).day);
            let precision = weight * robust / variance;
            if let Err(e) = rows.push(comp.bike.style.index(), &x, seen.ln_price, precision) {
                problem.get_or_insert(e);
            }
            let met = CompMet {
                key,
                comp,
                seen: &seen,
            };
            observer.comp(met, coding, &pilot.b);
            observer.weighed(comp, &seen, precision);
        })
    });
    read?;
    match problem {
        Some(problem) => Err(problem.into()),
        None => Ok((r_factor.clone(), counts)),
    }
}

/// Variance of an own sale before own sales speak: the belief of the priors, with
/// what the comps' own spread says (each group's variance against what was believed
/// of it, averaged), worth up to as many sales again.
fn start_of_own_sales(
    priors: &Priors,
    variances: &[f64; GROUPS],
    counts: &[f64; GROUPS],
) -> StartVariance {
    let worth = priors.noise_sales;
    let belief = priors.noise.powi(2);
    let asks = start_variances(priors);
    let (mut rows, mut ratio) = (0.0, 0.0);
    for group in Group::ALL.iter().skip(1) {
        let g = *group as usize;
        rows += counts[g];
        ratio += counts[g] * variances[g] / asks[g];
    }
    let told = (rows / 10.0).min(worth);
    let from_comps = if rows > 0.0 {
        belief * ratio / rows
    } else {
        belief
    };
    StartVariance {
        variance: (worth * belief + told * from_comps) / (worth + told),
        worth: worth + told,
    }
}
