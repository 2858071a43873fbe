//! Comps whose price is far from what the model expects of such a listing.

use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::{GROUPS, Group, Observation};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::value::initial::{robust_weight, start_variances};
use crate::trade::{Bike, Comparable, Money, Outcome};

/// Robust weight below which a price is told: about three and a third normal
/// deviations away (judgement; below 0.1 the model sets it aside).
const FAR: f64 = 0.25;

/// How near a factor of ten or a hundred looks like a slipped decimal: within a
/// third either way, about one deviation of an ask (judgement).
const NEAR_TEN: f64 = 0.3;

/// What a price far from its value may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MayBe {
    /// Ten or a hundred times too much or too little.
    WrongDecimal,
    /// Far too little: parts only, a hidden fault, a deposit, a lure.
    PartsOnly,
    /// About twice, three times, …: several bikes, or much that goes with it.
    Bundle,
    /// Far too much for its features: an extraordinary bike, or a wrong grade.
    Extraordinary,
}

/// A comp far from its value.
#[derive(Clone, Debug, PartialEq)]
pub struct FarAsk {
    /// Id of the listing.
    pub listing: String,
    /// Its source.
    pub source: String,
    /// Its features.
    pub bike: Bike,
    /// How it stood.
    pub outcome: Outcome,
    /// The ask that stood last, or what was paid where that is known.
    pub price: Money,
    /// Whether the price is what was paid.
    pub paid: bool,
    /// What the model expects of such a listing.
    pub expected: Money,
    /// Price over that.
    pub ratio: f64,
    /// What it may be.
    pub may_be: MayBe,
}

/// The strongest of them, and how many there are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FarAsks {
    /// The strongest, most striking first.
    pub found: Vec<FarAsk>,
    /// How many there are in all.
    pub count: usize,
}

/// Looks every comp over.
pub(super) struct Looking<'a> {
    model: &'a FittedValue,
    /// Variance of each group: what one own sale's turned out to be against
    /// what was believed of it, for the others alike.
    variances: [f64; GROUPS],
    x: Vec<f64>,
    top: usize,
    found: FarAsks,
}

impl<'a> Looking<'a> {
    pub(super) fn new(model: &'a FittedValue, priors: &Priors, top: usize) -> Self {
        let turned_out = model.own_variance / priors.noise.powi(2);
        Self {
            model,
            variances: start_variances(priors).map(|believed| believed * turned_out),
            x: vec![0.0; model.coding.width()],
            top,
            found: FarAsks::default(),
        }
    }

    pub(super) fn push(&mut self, comp: &Comparable, seen: &Observation, outcome: Outcome) {
        let (coding, b) = (&self.model.coding, &self.model.coefficients);
        coding.row(&seen.facts, seen.day, seen.asked(), &mut self.x);
        let expected: f64 = self.x.iter().zip(b).map(|(x, b)| x * b).sum();
        let off = seen.ln_price - expected;
        let start = self.variances.get(seen.group as usize).copied();
        let start = start.unwrap_or(self.model.own_variance);
        // Unknown facts only widen: what is near without them is near.
        if robust_weight(off, start) >= FAR {
            return;
        }
        let variance = start + coding.unknown_variance(&seen.facts, b);
        if robust_weight(off, variance) >= FAR {
            return;
        }
        self.found.count += 1;
        let currency = &self.model.currency;
        let money = |ln: f64| currency.round(ln.exp());
        let (Some(price), Some(expected)) = (money(seen.ln_price), money(expected)) else {
            return;
        };
        let ratio = off.exp();
        let size = |ratio: f64| ratio.ln().abs();
        let found = &mut self.found.found;
        let weakest = found.last().map_or(0.0, |last| size(last.ratio));
        if found.len() >= self.top && size(ratio) < weakest {
            return;
        }
        let far = FarAsk {
            listing: comp.listing.clone(),
            source: comp.source.clone(),
            bike: comp.bike,
            outcome,
            price,
            expected,
            paid: seen.group == Group::Price,
            ratio,
            may_be: may_be(off),
        };
        let before = |other: &FarAsk| {
            let by_size = size(far.ratio).total_cmp(&size(other.ratio));
            by_size
                .then_with(|| (&other.source, &other.listing).cmp(&(&far.source, &far.listing)))
                .is_lt()
        };
        let place = found.partition_point(before);
        found.insert(place, far);
        found.truncate(self.top);
    }

    pub(super) fn done(self) -> FarAsks {
        self.found
    }
}

/// What a price may be that lies `off` log points from what is expected.
fn may_be(off: f64) -> MayBe {
    let near = |times: f64| (off.abs() - times.ln()).abs() < NEAR_TEN;
    if near(10.0) || near(100.0) {
        MayBe::WrongDecimal
    } else if off < 0.0 {
        MayBe::PartsOnly
    } else if off.exp() > 2.5 {
        MayBe::Bundle
    } else {
        MayBe::Extraordinary
    }
}
