//! The eye as it is known: from guesses and, while those are few, from first asks.

use super::look::Look;
use super::record::{Node, learn, likelihoods, weight};
use super::sighting::{EyeSource, Sighting};
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::priors::Priors;
use crate::statistics::linear::robust::{NORMAL_SCALE, median};
use serde::Serialize;

/// Guesses with sales from which on they speak alone. Before that first asks tell of the
/// noise of the eye (not of its bias: what is asked is a habit, too), as if they were as
/// many guesses as are missing.
pub const SPEAK_ALONE: usize = 8;

/// Sales below which nothing is said of how far an eye has missed.
pub const FEWEST: usize = 5;

/// Sales that the widths of the model of an eye are worth.
const WIDTHS_ARE_WORTH: f64 = 4.0;

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
    guesses: Seer,
    asks: Seer,
    seen: Vec<(EyeSource, Sighting)>,
    /// Where that comes from.
    pub from: EyeSource,
    /// How it has done, by guesses or else by first asks; `None` below [`FEWEST`] sales.
    pub misses: Option<EyeMisses>,
}

/// An eye that may be, as numbers.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct EyeNumbers {
    /// Whether it sees the bike at all.
    pub sees: bool,
    /// Variance of its noise (ln), or of what it says where it sees nothing.
    pub noise: f64,
    /// ln of its chance, but for what is the same for all.
    pub ln_weight: f64,
    /// Its bias (ln).
    pub bias: f64,
    /// Variance of that.
    pub bias_variance: f64,
}

/// One way of saying what a bike will bring.
#[derive(Clone, Debug)]
struct Seer {
    nodes: Vec<Node>,
    misses: Option<EyeMisses>,
    widens: f64,
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
        let missing = SPEAK_ALONE.saturating_sub(guesses.len());
        let counts = missing as f64 / missing.max(asks.len()).max(1) as f64;
        let said = likelihoods(beliefs, habit, asks);
        let said: Vec<f64> = said.into_iter().map(|ln| counts * ln).collect();
        let from = match (guesses.len(), asks.len()) {
            (0, 0) => EyeSource::Trade,
            (guesses, asks) if guesses < SPEAK_ALONE && asks > guesses => EyeSource::FirstAsk,
            _ => EyeSource::Guess,
        };
        let each = |from, seen: &[Sighting]| seen.iter().map(move |one| (from, *one)).collect();
        let mut seen: Vec<_> = each(EyeSource::Guess, guesses);
        seen.extend::<Vec<_>>(each(EyeSource::FirstAsk, asks));
        let guesses = Seer::after(learn(beliefs, bias, guesses, &said), guesses);
        let asks = Seer::after(learn(beliefs, habit, asks, &[]), asks);
        let misses = match from {
            EyeSource::FirstAsk => asks.misses,
            _ => guesses.misses,
        };
        Self {
            guesses,
            asks,
            seen,
            from,
            misses,
        }
    }

    /// A guess that lies `off` (ln) above the value told without it, where the variance of
    /// the bike's own worth around that is `bike`.
    pub fn look(&self, off: f64, bike: f64) -> Look {
        self.guesses.look(off, bike)
    }

    /// What [`Eye::look`] works with: the eyes that may be, and what every width is
    /// multiplied by.
    pub fn numbers(&self) -> (Vec<EyeNumbers>, f64) {
        let plain = |node: &Node| EyeNumbers {
            sees: node.sees,
            noise: node.noise,
            ln_weight: node.ln_weight,
            bias: node.bias,
            bias_variance: node.bias_variance,
        };
        let nodes = self.guesses.nodes.iter().map(plain);
        (nodes.collect(), self.guesses.widens)
    }

    /// What it was learnt from: guesses, then first asks.
    pub fn seen(&self) -> &[(EyeSource, Sighting)] {
        &self.seen
    }

    /// [`Eye::look`] by a first ask.
    pub fn look_by_ask(&self, off: f64, bike: f64) -> Look {
        self.asks.look(off, bike)
    }
}

impl Seer {
    /// Each sale is told without itself, to see how far and how widely all that misses.
    fn after(nodes: Vec<Node>, seen: &[Sighting]) -> Self {
        let looks = seen.iter().map(|one| {
            let without: Vec<Node> = nodes.iter().map(|node| node.without(one)).collect();
            Look::at(&without, one.guess, one.bike)
        });
        let looks: Vec<Look> = looks.collect();
        Self {
            misses: misses(&looks, seen),
            widens: widens(&looks, seen),
            nodes,
        }
    }

    fn look(&self, off: f64, bike: f64) -> Look {
        Look {
            widens: self.widens,
            ..Look::at(&self.nodes, off, bike)
        }
    }
}

fn misses(looks: &[Look], seen: &[Sighting]) -> Option<EyeMisses> {
    if seen.len() < FEWEST {
        return None;
    }
    let middle = |told: &dyn Fn(&Look, &Sighting) -> f64| {
        let off =
            |(look, one): (&Look, &Sighting)| ((told(look, one) - one.price).exp() - 1.0).abs();
        median(looks.iter().zip(seen).map(off).collect())
    };
    Some(EyeMisses {
        sales: seen.len(),
        eye: middle(&|_, one| one.guess),
        without: middle(&|_, _| 0.0),
        with: middle(&|look, _| look.moves),
    })
}

/// The root of the mean square of standardised errors (t-weighted), as if
/// [`WIDTHS_ARE_WORTH`] sales had shown exactly 1: as ranges without a guess are corrected.
fn widens(looks: &[Look], seen: &[Sighting]) -> f64 {
    let (mut sum, mut count) = (WIDTHS_ARE_WORTH, WIDTHS_ARE_WORTH);
    for (look, one) in looks.iter().zip(seen) {
        let variance = look.narrows * one.bike + one.luck;
        if variance > 0.0 {
            let error = one.price - look.moves;
            sum += weight(error, variance) * error * error / (NORMAL_SCALE * variance);
            count += 1.0;
        }
    }
    (sum / count).sqrt()
}

#[cfg(test)]
mod tests {
    use super::{Look, Sighting, widens};

    /// Two sales told 0.1 off where a variance of 0.5 0.02 + 0.03 = 0.04 was left, by hand:
    /// t^2 = 0.01 / (0.690567 0.04) = 0.362022, its weight 5 / 4.362022 = 1.146258, so
    /// the root of (4 + 2 1.146258 0.362022) / 6 = 0.897213. Of one without any variance
    /// nothing is to be learnt.
    #[test]
    fn widths_are_corrected_by_how_the_sales_fell() {
        let look = Look {
            moves: 0.2,
            narrows: 0.5,
            weight: 0.5,
            widens: 1.0,
        };
        let seen = |price: f64, bike: f64, luck: f64| Sighting {
            guess: 0.4,
            price,
            bike,
            luck,
        };
        let sales = [
            seen(0.3, 0.02, 0.03),
            seen(0.1, 0.02, 0.03),
            seen(9.0, 0.0, 0.0),
        ];
        assert!((widens(&[look; 3], &sales) - 0.897_213).abs() < 1e-6);
    }
}
