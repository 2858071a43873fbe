//! Two passes over the records: a pilot fit, then every row into one triangle.
//!
//! The pilot takes all own sales and at most [`PILOT`] comps (those with the
//! smallest hash of their name, so that the choice does not depend on the order
//! of rows) and iterates weights and variances until they settle. The second
//! pass weighs every comp once by the pilot's answer and folds it into a
//! [`Triangle`], so memory does not grow with the comps. One step from a
//! consistent pilot is as good as iterating on (Bickel 1975, JASA 70, from memory).

use super::features::{Coding, Facts, facts};
use super::observation::{Group, Observation, Records, RecordsError, Unused, of_comp, of_sale};
use super::value::{NoFit, Prior, StartVariance, ValueModel, start_variances};
use crate::statistics::robust::{DEGREES, NORMAL_SCALE, Weighting, median};
use crate::statistics::{Fit, FitProblem, Triangle};
use crate::trade::{Bike, Comparable, Day, SizeClass, Style};
use std::collections::BinaryHeap;

/// Comps in the pilot fit, at most.
pub const PILOT: usize = 2500;
/// Below this robust weight a row is nonsense and carries nothing: about seven
/// scales away, where 1 in 400 of t errors with 4 degrees would lie.
pub const NONSENSE: f64 = 0.1;
/// Nonsense rows named, at most; all are counted.
const NAMED: usize = 50;
/// Largest change of a fitted ln price at which the pilot has settled.
const SETTLED: f64 = 1e-6;

/// Shown every comp in the second pass.
pub trait Watch {
    /// A comp, its price and the pilot's coefficients and coding.
    fn comp(&mut self, comp: &Comparable, seen: &Observation, coding: &mut Coding, b: &[f64]);
}

/// Watches nothing.
pub struct Unwatched;

impl Watch for Unwatched {
    fn comp(&mut self, _: &Comparable, _: &Observation, _: &mut Coding, _: &[f64]) {}
}

/// A record that carries nothing, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// Its id (with its source).
    pub name: String,
    /// Its price over what the model expects of it; `None` where it has no date or price.
    pub ratio: Option<f64>,
}

/// What the records hold.
#[derive(Clone, Debug, Default)]
pub struct Gathered {
    /// Own sales used.
    pub sales: usize,
    /// Comps used.
    pub comps: usize,
    /// Records that carry nothing.
    pub left_out: usize,
    /// The first of them by name.
    pub left_out_named: Vec<LeftOut>,
    /// Day of the newest comp.
    pub newest_comp: Option<Day>,
    /// Youngest and oldest age seen, years.
    pub ages: Option<(f64, f64)>,
    /// How many of each style, condition, tier and size were seen.
    pub styles: [usize; 9],
    /// By condition.
    pub conditions: [usize; 5],
    /// By tier.
    pub tiers: [usize; 5],
    /// By size class.
    pub sizes: [usize; 5],
}

impl Gathered {
    fn see(&mut self, bike: &Bike, day: Day) {
        self.styles[bike.style.index()] += 1;
        if let Some(age) = bike.age(day) {
            let (low, high) = self.ages.unwrap_or((age, age));
            self.ages = Some((low.min(age), high.max(age)));
        }
        if let Some(condition) = bike.condition {
            self.conditions[condition.index()] += 1;
        }
        if let Some(tier) = bike.tier {
            self.tiers[tier.index()] += 1;
        }
        if let Some(size) = bike.size() {
            self.sizes[SizeClass::index(size)] += 1;
        }
    }

    fn leave_out(&mut self, name: String, ratio: Option<f64>) {
        self.left_out += 1;
        if self.left_out_named.len() < NAMED {
            self.left_out_named.push(LeftOut { name, ratio });
        }
    }
}

/// An own sale as a row.
#[derive(Clone, Debug)]
pub struct OwnRow {
    /// The bike's id.
    pub id: String,
    /// ln of its price.
    pub ln_price: f64,
    /// Row of the design.
    pub x: Vec<f64>,
    /// Variance of an own sale in the pilot.
    pub variance: f64,
    /// Variance that unknown facts add.
    pub unknown: f64,
    /// Robust weight; 0 for nonsense.
    pub robust: f64,
    /// `robust / (variance + unknown)`.
    pub precision: f64,
}

/// The records reduced to a triangle and the own rows.
pub struct Reduced {
    /// The coding.
    pub coding: Coding,
    /// Level of the records: median ln price.
    pub centre: f64,
    /// All comps.
    pub comps: Triangle,
    /// Own sales.
    pub own: Vec<OwnRow>,
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
    watch: &mut dyn Watch,
) -> Result<Reduced, NoFit> {
    let (as_of, currency) = (model.settings.as_of, model.settings.currency);
    let mut gathered = Gathered::default();
    let mut own: Vec<(String, Observation)> = Vec::new();
    for sale in records.sales() {
        if model.settings.without.as_deref() == Some(sale.id.as_str()) {
            continue;
        }
        match of_sale(sale, as_of, &currency) {
            Ok(seen) => {
                gathered.sales += 1;
                gathered.see(&sale.bike, seen.day);
                own.push((sale.id.clone(), seen));
            }
            Err(Unused::NotYet) => {}
            Err(_) => gathered.leave_out(sale.id.clone(), None),
        }
    }
    let first = first_pass(records, as_of, &currency, &mut gathered)?;
    let seen: Vec<Observation> = own
        .iter()
        .map(|o| o.1)
        .chain(first.pilot.iter().copied())
        .collect();
    if seen.is_empty() {
        return Err(NoFit::NoRecords);
    }
    let centre = median(seen.iter().map(|s| s.ln_price).collect());
    let oldest = own
        .iter()
        .map(|o| o.1.day)
        .chain(first.oldest)
        .min()
        .unwrap_or(as_of);
    let known: Vec<Facts> = seen.iter().map(|s| s.facts).collect();
    let mut coding = Coding::new(as_of, oldest, model.priors, centre, &known);
    let prior = Prior::new(model.priors, &coding, centre);
    let pilot = Pilot::settle(&seen, &mut coding, &prior, model)?;
    let own = own
        .into_iter()
        .zip(&pilot.rows)
        .map(|((id, seen), row)| {
            if row.robust == 0.0 {
                let ratio = (seen.ln_price - dot(&row.x, &pilot.b)).exp();
                gathered.leave_out(id.clone(), Some(ratio));
                gathered.sales -= 1;
            }
            OwnRow { id, ..row.clone() }
        })
        .collect::<Vec<_>>();
    let (comps, start) = second_pass(model, records, &mut coding, &pilot, &mut gathered, watch)?;
    Ok(Reduced {
        coding,
        centre,
        comps,
        own,
        start,
        gathered,
    })
}

struct First {
    pilot: Vec<Observation>,
    oldest: Option<Day>,
}

/// The comps of the pilot and the oldest day; counts what is used.
fn first_pass(
    records: &dyn Records,
    as_of: Day,
    currency: &crate::trade::Currency,
    gathered: &mut Gathered,
) -> Result<First, RecordsError> {
    struct Entry(u64, Observation);
    impl PartialEq for Entry {
        fn eq(&self, other: &Self) -> bool {
            self.0 == other.0
        }
    }
    impl Eq for Entry {}
    impl PartialOrd for Entry {
        fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
            Some(self.cmp(other))
        }
    }
    impl Ord for Entry {
        fn cmp(&self, other: &Self) -> std::cmp::Ordering {
            self.0.cmp(&other.0)
        }
    }
    let mut heap: BinaryHeap<Entry> = BinaryHeap::with_capacity(PILOT + 1);
    let mut oldest: Option<Day> = None;
    records.each_comp(
        &mut |comp, weight| match of_comp(comp, weight, as_of, currency) {
            Ok(seen) => {
                gathered.comps += 1;
                gathered.see(&comp.bike, seen.day);
                gathered.newest_comp = gathered.newest_comp.max(Some(seen.day));
                oldest = Some(oldest.map_or(seen.day, |d| d.min(seen.day)));
                let hash = name_hash(&comp.source, &comp.listing);
                if heap.len() < PILOT {
                    heap.push(Entry(hash, seen));
                } else if heap.peek().is_some_and(|top| hash < top.0) {
                    heap.pop();
                    heap.push(Entry(hash, seen));
                }
            }
            Err(Unused::NotYet) => {}
            Err(_) => gathered.leave_out(name(comp), None),
        },
    )?;
    let pilot = heap.into_sorted_vec().into_iter().map(|e| e.1).collect();
    Ok(First { pilot, oldest })
}

fn name(comp: &Comparable) -> String {
    if comp.source.is_empty() {
        comp.listing.clone()
    } else {
        format!("{} ({})", comp.listing, comp.source)
    }
}

/// FNV-1a over source, a zero byte and listing, finished by a multiplication
/// that spreads the low bits.
fn name_hash(source: &str, listing: &str) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for byte in source.bytes().chain([0]).chain(listing.bytes()) {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    (hash ^ (hash >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9)
}

fn dot(x: &[f64], b: &[f64]) -> f64 {
    x.iter().zip(b).map(|(x, b)| x * b).sum()
}

/// The pilot's answer: coefficients and group variances.
struct Pilot {
    b: Vec<f64>,
    variances: [f64; 6],
    rows: Vec<OwnRow>,
}

/// Robust weight of a residual with variance `variance`; 0 for nonsense.
fn robust_weight(residual: f64, variance: f64) -> f64 {
    let weight = Weighting::StudentT(DEGREES).weight(residual / (NORMAL_SCALE * variance).sqrt());
    if weight < NONSENSE { 0.0 } else { weight }
}

impl Pilot {
    fn settle(
        seen: &[Observation],
        coding: &mut Coding,
        prior: &Prior,
        model: &ValueModel<'_>,
    ) -> Result<Pilot, FitProblem> {
        let names = coding.names();
        let start = start_variances(model.priors);
        let mut b = prior.means();
        let mut variances = start;
        let mut rows: Vec<OwnRow> = seen
            .iter()
            .map(|s| {
                let mut x = vec![0.0; coding.width()];
                coding.row(&s.facts, s.day, s.group.source(), &mut x);
                let (id, ln_price) = (String::new(), s.ln_price);
                OwnRow {
                    id,
                    ln_price,
                    x,
                    variance: 0.0,
                    unknown: 0.0,
                    robust: 1.0,
                    precision: 0.0,
                }
            })
            .collect();
        // Weights, variances and coefficients in turn; the first rounds keep
        // every row, so that a bad start cannot throw half the records out.
        for round in 0..60 {
            let mut data = Triangle::new(coding.width());
            for (row, s) in rows.iter_mut().zip(seen) {
                row.variance = variances[s.group as usize];
                row.unknown = coding.unknown_variance(&s.facts, &b);
                row.precision = s.weight * row.robust / (row.variance + row.unknown);
                data.push(&row.x, row.ln_price, row.precision)?;
            }
            let fit = prior.fit(&data, 1.0, &names)?;
            let moved = rows
                .iter()
                .map(|r| (dot(&r.x, &fit.coefficients) - dot(&r.x, &b)).abs())
                .fold(0.0, f64::max);
            b.clone_from(&fit.coefficients);
            variances = group_variances(&rows, seen, &fit, &start, model.priors.noise_sales);
            for (row, s) in rows.iter_mut().zip(seen) {
                let residual = row.ln_price - dot(&row.x, &b);
                let variance = variances[s.group as usize] + row.unknown;
                let u = residual / (NORMAL_SCALE * variance).sqrt();
                let weight = Weighting::StudentT(DEGREES).weight(u);
                row.robust = if round < 5 {
                    weight
                } else {
                    robust_weight(residual, variance)
                };
            }
            if round >= 6 && moved < SETTLED {
                break;
            }
        }
        for (row, s) in rows.iter_mut().zip(seen) {
            row.variance = variances[s.group as usize];
            row.unknown = coding.unknown_variance(&s.facts, &b);
            row.precision = s.weight * row.robust / (row.variance + row.unknown);
        }
        Ok(Pilot { b, variances, rows })
    }
}

/// Variance of each group: robust squares over leverage-corrected degrees of
/// freedom, shrunk to the start as if `worth` rows had shown it. A row with
/// unknown facts gives its expected share of the square (an EM step).
fn group_variances(
    rows: &[OwnRow],
    seen: &[Observation],
    fit: &Fit,
    start: &[f64; 6],
    worth: f64,
) -> [f64; 6] {
    let mut sums = start.map(|variance| worth * variance);
    let mut freedom = [worth; 6];
    for (row, s) in rows.iter().zip(seen).filter(|(row, _)| row.robust > 0.0) {
        let group = s.group as usize;
        let residual = row.ln_price - dot(&row.x, &fit.coefficients);
        let share = row.variance / (row.variance + row.unknown);
        let h = (row.precision * fit.leverage(&row.x)).clamp(0.0, 0.999);
        let square = row.robust * residual * residual / NORMAL_SCALE;
        sums[group] +=
            s.weight * (share * share * square + (1.0 - share) * row.variance * (1.0 - h));
        freedom[group] += s.weight * (1.0 - h);
    }
    std::array::from_fn(|g| sums[g] / freedom[g])
}

/// Every comp into the triangle, weighed once by the pilot's answer. Also the
/// variance of an own sale before own sales speak: the belief of the priors,
/// with what the comps' own spread says, worth up to as many sales again.
fn second_pass(
    model: &ValueModel<'_>,
    records: &dyn Records,
    coding: &mut Coding,
    pilot: &Pilot,
    gathered: &mut Gathered,
    watch: &mut dyn Watch,
) -> Result<(Triangle, StartVariance), NoFit> {
    let (as_of, currency) = (model.settings.as_of, model.settings.currency);
    let mut triangle = Triangle::new(coding.width());
    let mut x = vec![0.0; coding.width()];
    let mut problem: Option<FitProblem> = None;
    let mut counts = [0.0; 6];
    records.each_comp(&mut |comp, weight| {
        let Ok(seen) = of_comp(comp, weight, as_of, &currency) else {
            return;
        };
        coding.row(&seen.facts, seen.day, seen.group.source(), &mut x);
        let residual = seen.ln_price - dot(&x, &pilot.b);
        let unknown = coding.unknown_variance(&seen.facts, &pilot.b);
        let variance = pilot.variances[seen.group as usize] + unknown;
        let robust = robust_weight(residual, variance);
        if robust == 0.0 {
            gathered.comps -= 1;
            gathered.leave_out(name(comp), Some(residual.exp()));
            return;
        }
        counts[seen.group as usize] += weight;
        if let Err(e) = triangle.push(&x, seen.ln_price, weight * robust / variance) {
            problem.get_or_insert(e);
        }
        watch.comp(comp, &seen, coding, &pilot.b);
    })?;
    if let Some(problem) = problem {
        return Err(problem.into());
    }
    let worth = model.priors.noise_sales;
    let belief = model.priors.noise.powi(2);
    let asks = start_variances(model.priors);
    // Each group's variance against what was believed of it, averaged.
    let (rows, ratio) = Group::ALL
        .iter()
        .skip(1)
        .fold((0.0, 0.0), |(rows, sum), group| {
            let g = *group as usize;
            (
                rows + counts[g],
                sum + counts[g] * pilot.variances[g] / asks[g],
            )
        });
    let told = (rows / 10.0).min(worth);
    let from_comps = if rows > 0.0 {
        belief * ratio / rows
    } else {
        belief
    };
    let variance = (worth * belief + told * from_comps) / (worth + told);
    Ok((
        triangle,
        StartVariance {
            variance,
            worth: worth + told,
        },
    ))
}

/// Whether a style has been seen often enough to stand on its own.
pub fn is_known_style(gathered: &Gathered, style: Style) -> bool {
    gathered.styles[style.index()] >= 3
}

/// Facts of a bike on the day of the answer.
pub fn facts_today(
    bike: &Bike,
    coding: &Coding,
    currency: &crate::trade::Currency,
) -> super::features::Facts {
    facts(bike, coding.as_of, currency)
}
