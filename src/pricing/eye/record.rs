//! How well somebody has seen: the bias and the noise of an eye, learnt from its misses.
//!
//! The noise takes a few values, each with its chance; under each the bias is normal, its
//! belief and the misses put together (conjugate), with Student t weights, so that a slip
//! of the pen does not decide. The chance of a noise is its belief times how likely it
//! makes the misses, the bias integrated out (Laplace; exact for normal misses).

use super::sighting::Miss;
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::priors::EyeBeliefs;
use crate::statistics::linear::robust::{DEGREES, NORMAL_SCALE, student_t_weight};

/// Values of the noise, in spreads of its belief from the middle: from this one on
const FIRST: f64 = -3.0;
/// by this much
const STEP: f64 = 0.5;
/// so many, up to an eye that sees nothing at all.
const NOISES: u8 = 19;

/// Rounds in which the bias and the weights are found, at most, and the change of the
/// bias at which they have settled.
const ROUNDS: usize = 30;
const SETTLED: f64 = 1e-10;

/// One value of the noise.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    /// Variance of the noise.
    pub noise: f64,
    /// ln of its chance, but for what is the same for all.
    pub ln_weight: f64,
    /// The bias under it.
    pub bias: f64,
    /// How unsure that is.
    pub bias_variance: f64,
}

/// ln of the density of `off` under Student t errors of a variance, but for a constant.
pub(super) fn ln_density(off: f64, variance: f64) -> f64 {
    let square = off * off / (NORMAL_SCALE * variance);
    -0.5 * variance.ln() - (DEGREES + 1.0) / 2.0 * (square / DEGREES).ln_1p()
}

/// The weight of `off` under them.
pub(super) fn weight(off: f64, variance: f64) -> f64 {
    student_t_weight(off / (NORMAL_SCALE * variance).sqrt())
}

/// The nodes before any miss, with ln of their chances.
fn believed(beliefs: &EyeBeliefs, bias: Belief) -> impl Iterator<Item = Node> {
    let (median, spread) = (beliefs.noise, beliefs.noise_spread);
    (0..NOISES).map(move |number| {
        let away = FIRST + STEP * f64::from(number);
        Node {
            noise: (median * (spread * away).exp()).powi(2),
            ln_weight: -(DEGREES + 1.0) / 2.0 * (away * away / DEGREES).ln_1p(),
            bias: bias.mean,
            bias_variance: bias.sd.powi(2),
        }
    })
}

/// The nodes after the misses. `said` is what else speaks of each noise, as ln of a
/// likelihood, in their order.
pub(super) fn learn(
    beliefs: &EyeBeliefs,
    bias: Belief,
    misses: &[Miss],
    said: &[f64],
) -> Vec<Node> {
    let said = said.iter().copied().chain(std::iter::repeat(0.0));
    let nodes = believed(beliefs, bias).zip(said);
    let learnt = nodes.map(|(node, said)| {
        let mut node = node.after(misses, bias);
        node.ln_weight += said;
        node
    });
    learnt.collect()
}

/// What the misses say of each noise: ln of their likelihood.
pub(super) fn likelihoods(beliefs: &EyeBeliefs, bias: Belief, misses: &[Miss]) -> Vec<f64> {
    let nodes = believed(beliefs, bias);
    nodes
        .map(|node| node.after(misses, bias).ln_weight - node.ln_weight)
        .collect()
}

impl Node {
    fn after(mut self, misses: &[Miss], belief: Belief) -> Self {
        let before = 1.0 / belief.sd.powi(2);
        let mut precision = before;
        for _ in 0..ROUNDS {
            let mut sum = before * belief.mean;
            precision = before;
            for miss in misses {
                let variance = self.noise + miss.variance;
                let one = weight(miss.off - self.bias, variance) / variance;
                precision += one;
                sum += one * miss.off;
            }
            let moved = sum / precision - self.bias;
            self.bias += moved;
            if moved.abs() < SETTLED {
                break;
            }
        }
        self.bias_variance = 1.0 / precision;
        let likely = misses
            .iter()
            .map(|miss| ln_density(miss.off - self.bias, self.noise + miss.variance));
        self.ln_weight += likely.sum::<f64>() + 0.5 * (before / precision).ln()
            - 0.5 * before * (self.bias - belief.mean).powi(2);
        self
    }

    /// The same without one of the misses (exact where all weights are 1).
    pub(super) fn without(mut self, miss: &Miss) -> Self {
        let variance = self.noise + miss.variance;
        let one = weight(miss.off - self.bias, variance) / variance;
        let precision = 1.0 / self.bias_variance - one;
        self.bias = (self.bias / self.bias_variance - one * miss.off) / precision;
        self.bias_variance = 1.0 / precision;
        self.ln_weight -= ln_density(miss.off - self.bias, variance + self.bias_variance);
        self
    }
}
