//! The eye as it is known: from guesses and, while those are few, from first asks.

use super::look::Look;
use super::record::{Node, learn, likelihoods};
use super::sighting::{EyeSource, Miss, Sighting};
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::priors::Priors;
use crate::statistics::linear::robust::median;

/// Guesses with sales from which on they speak alone. Before that first asks tell of the
/// noise of the eye (not of its bias: what is asked is a habit, too), as if they were as
/// many guesses as are missing.
pub const SPEAK_ALONE: usize = 8;

/// Sales below which nothing is said of how far an eye has missed.
pub const FEWEST: usize = 5;

/// How far the user's eye, the price without it and both together have missed sales that
/// each was told without: medians, as fractions of the sale price.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EyeMisses {
    /// Sales.
    pub sales: usize,
    /// The guess (or first ask) as it was said.
    pub eye: f64,
    /// The price without it.
    pub without: f64,
    /// Both together.
    pub with: f64,
}

/// What is known of the user's eye.
#[derive(Clone, Debug)]
pub struct Eye {
    guesses: Vec<Node>,
    asks: Vec<Node>,
    /// Where that comes from.
    pub from: EyeSource,
    /// How it has done, by guesses or else by first asks; `None` below [`FEWEST`] sales.
    pub misses: Option<EyeMisses>,
}

impl Eye {
    /// Before any record.
    pub fn believed(priors: &Priors) -> Self {
        Self::learn(priors, &[], &[])
    }

    /// From sales with a guess, and from others with a first ask.
    pub fn learn(priors: &Priors, guesses: &[Sighting], asks: &[Sighting]) -> Self {
        let beliefs = &priors.eye;
        let bias = Belief {
            mean: 0.0,
            sd: beliefs.bias,
        };
        let habit = Belief {
            mean: priors.selling.own_asks.mean,
            sd: beliefs.bias,
        };
        let missed = |seen: &[Sighting]| -> Vec<Miss> { seen.iter().map(Sighting::miss).collect() };
        let (by_guess, by_ask) = (missed(guesses), missed(asks));
        let missing = SPEAK_ALONE.saturating_sub(guesses.len());
        let counts = missing as f64 / missing.max(asks.len()).max(1) as f64;
        let said = likelihoods(beliefs, habit, &by_ask);
        let said: Vec<f64> = said.into_iter().map(|ln| counts * ln).collect();
        let mut eye = Self {
            guesses: learn(beliefs, bias, &by_guess, &said),
            asks: learn(beliefs, habit, &by_ask, &[]),
            from: match (guesses.len(), asks.len()) {
                (0, 0) => EyeSource::Trade,
                (guesses, asks) if guesses < SPEAK_ALONE && asks > guesses => EyeSource::FirstAsk,
                _ => EyeSource::Guess,
            },
            misses: None,
        };
        eye.misses = match eye.from {
            EyeSource::FirstAsk => missed_by(&eye.asks, asks),
            _ => missed_by(&eye.guesses, guesses),
        };
        eye
    }

    /// A guess that lies `off` (ln) above the value told without it, where the variance of
    /// the bike's own worth around that is `bike`.
    pub fn look(&self, off: f64, bike: f64) -> Look {
        Look::at(&self.guesses, off, bike)
    }

    /// The same for a first ask.
    pub fn look_by_ask(&self, off: f64, bike: f64) -> Look {
        Look::at(&self.asks, off, bike)
    }
}

/// Each sale told without itself.
fn missed_by(nodes: &[Node], seen: &[Sighting]) -> Option<EyeMisses> {
    if seen.len() < FEWEST {
        return None;
    }
    let off = |told: f64, one: &Sighting| ((told - one.price).exp() - 1.0).abs();
    let both = |one: &Sighting| {
        let miss = one.miss();
        let without: Vec<Node> = nodes.iter().map(|node| node.without(&miss)).collect();
        Look::at(&without, one.guess, one.bike).moves
    };
    let middle = |told: &dyn Fn(&Sighting) -> f64| {
        median(seen.iter().map(|one| off(told(one), one)).collect())
    };
    Some(EyeMisses {
        sales: seen.len(),
        eye: middle(&|one| one.guess),
        without: middle(&|_| 0.0),
        with: middle(&both),
    })
}
