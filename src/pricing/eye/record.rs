//! How well somebody has seen: the bias and the noise of an eye, learnt from its misses.
//!
//! The noise takes a few values, each with its chance; under each the bias is normal, its
//! belief and the misses put together (conjugate), with Student t weights, so that a slip
//! of the pen does not decide. Beside them stand eyes that see nothing of the bike: what
//! they say has nothing to do with what it brings, whether it strays far from the price
//! (as bikes differ) or hardly (it repeats the price). The chance of each is its belief
//! times how likely it makes what was said, the bias integrated out (Laplace; exact for
//! normal misses).

use super::sighting::Sighting;
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::priors::EyeBeliefs;
use crate::statistics::linear::robust::{DEGREES, NORMAL_SCALE, student_t_weight};

/// Values of the noise, in spreads of its belief from the middle: the first, the step
/// from one to the next, and how many.
const FIRST: f64 = -3.0;
const STEP: f64 = 0.5;
const NOISES: u8 = 15;

/// How far what an eye says strays from the price that sees nothing (ln): the least, what
/// each is of the one before, and how many; each as likely as any other (judgement).
const LEAST_STRAY: f64 = 0.03;
const TIMES: f64 = 2.0;
const STRAYS: u8 = 7;

/// Rounds in which the bias and the weights are found, at most, and the change of the
/// bias at which they have settled.
const ROUNDS: usize = 30;
const SETTLED: f64 = 1e-10;

/// An eye that may be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    /// Whether it sees the bike at all.
    pub sees: bool,
    /// Variance of its noise, or of what it says where it sees nothing.
    pub noise: f64,
    /// ln of its chance, but for what is the same for all.
    pub ln_weight: f64,
    /// Its bias.
    pub bias: f64,
    /// How unsure that is.
    pub bias_variance: f64,
}

/// ln of the density of `off` under Student t errors of a variance, but for a constant.
pub(super) fn ln_density(off: f64, variance: f64) -> f64 {
    let square = off * off / (NORMAL_SCALE * variance);
    -0.5 * (variance.ln() + (DEGREES + 1.0) * (square / DEGREES).ln_1p())
}

/// The weight of `off` under them.
pub(super) fn weight(off: f64, variance: f64) -> f64 {
    student_t_weight(off / (NORMAL_SCALE * variance).sqrt())
}

/// The nodes before any miss, with ln of their chances.
fn believed(beliefs: &EyeBeliefs, bias: Belief) -> Vec<Node> {
    let node = |sees: bool, noise: f64, chance: f64| Node {
        sees,
        noise: noise.powi(2),
        ln_weight: chance.max(f64::MIN_POSITIVE).ln(),
        bias: bias.mean,
        bias_variance: bias.sd.powi(2),
    };
    let away = |number: u8| FIRST + STEP * f64::from(number);
    let chance = |away: f64| (-0.5 * away * away).exp();
    let all: f64 = (0..NOISES).map(|number| chance(away(number))).sum();
    let seeing = (0..NOISES).map(away).map(|away| {
        let noise = beliefs.noise * (beliefs.noise_spread * away).exp();
        node(true, noise, (1.0 - beliefs.blind) * chance(away) / all)
    });
    let blind = (0..STRAYS).map(|number| {
        let stray = LEAST_STRAY * TIMES.powi(i32::from(number));
        node(false, stray, beliefs.blind / f64::from(STRAYS))
    });
    seeing.chain(blind).collect()
}

/// The nodes after what was seen. `said` is what else speaks of each, as ln of a
/// likelihood, in their order.
pub(super) fn learn(
    beliefs: &EyeBeliefs,
    bias: Belief,
    seen: &[Sighting],
    said: &[f64],
) -> Vec<Node> {
    let said = said.iter().copied().chain(std::iter::repeat(0.0));
    let nodes = believed(beliefs, bias).into_iter().zip(said);
    let learnt = nodes.map(|(node, said)| {
        let mut node = node.after(seen, bias);
        node.ln_weight += said;
        node
    });
    learnt.collect()
}

/// What was seen says of each node: ln of its likelihood.
pub(super) fn likelihoods(beliefs: &EyeBeliefs, bias: Belief, seen: &[Sighting]) -> Vec<f64> {
    let nodes = believed(beliefs, bias).into_iter();
    nodes
        .map(|node| node.after(seen, bias).ln_weight - node.ln_weight)
        .collect()
}

impl Node {
    /// By how much the eye missed if it is like this, and the variance that that has. Of
    /// the sale price alone every node says the same.
    fn miss(&self, seen: &Sighting) -> (f64, f64) {
        if !self.sees {
            return (seen.guess, self.noise);
        }
        let all = seen.bike + seen.luck;
        let told = if all > 0.0 { seen.bike / all } else { 0.0 };
        (
            seen.guess - told * seen.price,
            self.noise + told * seen.luck,
        )
    }

    fn after(mut self, seen: &[Sighting], belief: Belief) -> Self {
        let misses: Vec<(f64, f64)> = seen.iter().map(|one| self.miss(one)).collect();
        let before = 1.0 / belief.sd.powi(2);
        let mut precision = before;
        for _ in 0..ROUNDS {
            let mut sum = before * belief.mean;
            precision = before;
            for (off, variance) in &misses {
                let one = weight(off - self.bias, *variance) / variance;
                precision += one;
                sum += one * off;
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
            .map(|(off, variance)| ln_density(off - self.bias, *variance));
        self.ln_weight += likely.sum::<f64>() + 0.5 * (before / precision).ln()
            - 0.5 * before * (self.bias - belief.mean).powi(2);
        self
    }

    /// The same without one of what was seen (exact where all weights are 1).
    pub(super) fn without(mut self, seen: &Sighting) -> Self {
        let (off, variance) = self.miss(seen);
        let one = weight(off - self.bias, variance) / variance;
        let precision = 1.0 / self.bias_variance - one;
        self.bias = (self.bias / self.bias_variance - one * off) / precision;
        self.bias_variance = 1.0 / precision;
        self.ln_weight -= ln_density(off - self.bias, variance + self.bias_variance);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::{Node, learn};
    use crate::pricing::Priors;
    use crate::pricing::eye::sighting::Sighting;
    use crate::statistics::distribution::normal;

    /// Twelve looks that miss by a tenth and a noise of 0.15, as normal as twelve can be.
    fn looks() -> Vec<Sighting> {
        let look = |n: u8| Sighting {
            guess: 0.1 + 0.15 * normal::quantile((f64::from(n) + 0.5) / 12.0),
            price: 0.0,
            bike: 0.04,
            luck: 0.01,
        };
        (0..12).map(look).collect()
    }

    /// Each eye that may be, told without one look, is what it is when it never had that
    /// look: but for the weights of the others, which are not found again, within a quarter
    /// of what the bias is unsure by (0.19 of it at worst), and 0.3 in ln of its chance.
    #[test]
    fn an_eye_without_a_look_never_had_it() {
        let priors = Priors::shipped();
        let beliefs = &priors.eye;
        let bias = crate::pricing::prior::belief::Belief {
            mean: 0.0,
            sd: beliefs.bias,
        };
        let all = looks();
        let nodes = learn(beliefs, bias, &all, &[]);
        for place in 0..all.len() {
            let mut others = all.clone();
            let one = others.remove(place);
            let never = learn(beliefs, bias, &others, &[]);
            // Those that are not ruled out.
            let best = never
                .iter()
                .map(|node| node.ln_weight)
                .fold(f64::MIN, f64::max);
            let likely = |node: &&(&Node, &Node)| node.1.ln_weight > best - 4.0;
            let pairs: Vec<(&Node, &Node)> = nodes.iter().zip(&never).collect();
            assert!(pairs.iter().filter(likely).count() >= 4);
            for (node, never) in pairs.iter().filter(likely) {
                let node = node.without(&one);
                let unsure = never.bias_variance.sqrt();
                assert!(
                    (node.bias - never.bias).abs() < 0.25 * unsure,
                    "{place}: {node:?} {never:?}"
                );
                let ratio = node.bias_variance / never.bias_variance;
                assert!((ratio - 1.0).abs() < 0.1, "{place}: {ratio}");
                let off = node.ln_weight - never.ln_weight;
                assert!(off.abs() < 0.3, "{place}: {off}");
            }
        }
    }
}
