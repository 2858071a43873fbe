//! What a guess does to the price of a bike.

use super::record::{Node, ln_density, weight};
use crate::statistics::distribution::student_t::Predictive;

/// What a look at a bike adds to what is known of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// What it moves ln of the value by.
    pub moves: f64,
    /// What it multiplies the variance of the bike's own worth by.
    pub narrows: f64,
    /// What the guess counts, 0 to 1; the price without it counts the rest.
    pub weight: f64,
    /// What it multiplies every width by: how the sales fell that were told with a guess.
    pub widens: f64,
}

impl Look {
    /// A guess that lies `off` (ln) above the value told without it, where the variance of
    /// the bike's own worth around that is `bike`.
    ///
    /// A guess far off speaks of a poor eye, too: a slip moves little, not much.
    pub(super) fn at(nodes: &[Node], off: f64, bike: f64) -> Self {
        let bike = bike.max(1e-12);
        let ln_weights = nodes.iter().map(|node| {
            let bike = if node.sees { bike } else { 0.0 };
            let variance = bike + node.noise + node.bias_variance;
            node.ln_weight + ln_density(off - node.bias, variance)
        });
        let ln_weights: Vec<f64> = ln_weights.collect();
        let top = ln_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let (mut all, mut counts, mut moves, mut squares, mut left) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (node, ln_weight) in nodes.iter().zip(ln_weights) {
            let chance = (ln_weight - top).exp();
            let (off, spread) = (off - node.bias, node.noise + node.bias_variance);
            let sound = weight(off, bike + spread).min(1.0);
            let count = match node.sees {
                true => bike / (bike + spread / sound),
                false => 0.0,
            };
            all += chance;
            counts += chance * count;
            moves += chance * count * off;
            squares += chance * (count * off).powi(2);
            left += chance * bike * (1.0 - count);
        }
        let moves = moves / all;
        Self {
            moves,
            narrows: (left / all + (squares / all - moves * moves).max(0.0)) / bike,
            weight: counts / all,
            widens: 1.0,
        }
    }

    /// What is left of the variance of the bike's own worth.
    pub fn bike(&self, variance: f64) -> f64 {
        self.widens.powi(2) * self.narrows * variance
    }

    /// One sale of the bike after the look, of which `luck` is the variance that no eye
    /// can see.
    pub fn over(&self, sale: &mut [(f64, Predictive)], luck: f64) {
        for (_, part) in sale {
            let bike = (part.scale.powi(2) - luck).max(0.0);
            part.location += self.moves;
            let left = part.scale.powi(2) + (self.narrows - 1.0) * bike;
            part.scale = self.widens * left.sqrt();
        }
    }
}
