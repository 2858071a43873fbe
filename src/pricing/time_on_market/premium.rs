//! What an ask above the value does to the flow of buyers, and what an ask seen
//! beside an uncertain value tells of it.

use crate::pricing::prior::selling_priors::AskHabit;
use crate::statistics::distribution::normal::ln_upper_tail;

/// Premiums seen in records are believed within this: beyond, an ask is another
/// bike or a slip of the pen.
pub const BELIEVED: f64 = 0.7;
/// Up to here the normal tail is used.
const FARTHEST: f64 = 1.0;
/// Slope beyond it.
const STEEPEST: f64 = 6.0;

/// How much an ask thins out the buyers: 0 at the value, slope 1 there, steeper
/// above, level far below (where every buyer would pay it).
///
/// Buyers each have a most that they would pay, log-normal around the value with
/// spread `buyers`; the share that would pay an ask of premium `u` is
/// `Q(u / buyers)`, Q the upper tail of the normal. This is `-ln` of that share
/// over the share at the value, scaled to slope 1:
/// `(-ln 2 Q(u / buyers)) buyers sqrt(pi / 2)`. With an unlimited spread it is
/// `u`, the log-linear form that is usual in hazard regression.
///
/// The reservation-price form over the log-linear one: in simulated markets of
/// two kinds of buyers it is nearer to the best plan (`src/guide/simulations.md`).
pub fn thinning(u: f64, buyers: f64) -> f64 {
    // Beyond what the tail is computed for it goes on as a straight line.
    let beyond = (u - FARTHEST).max(0.0) * STEEPEST;
    let u = u.clamp(-FARTHEST, FARTHEST);
    let slope = buyers * (std::f64::consts::PI / 2.0).sqrt();
    beyond - slope * (std::f64::consts::LN_2 + ln_upper_tail(u / buyers))
}

/// Mean and variance of true first premiums in a group of listings, and with them
/// what a premium seen is expected to be in truth.
///
/// A premium is seen as ln(ask) less a value that was estimated without that row,
/// so it carries the value's error: a bike that is better than its record looks
/// overpriced and sells fast. Using it as it stands would hide what overpricing
/// costs. The true premium is expected to be `mean + r (seen - mean)` with
/// `r = variance / (variance + error variance)`: regression calibration (Carroll,
/// Ruppert, Stefanski & Crainiceanu, *Measurement Error in Nonlinear Models*,
/// 2nd edition, ch. 4; from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habit {
    /// Mean premium of first asks.
    pub mean: f64,
    /// Variance of true premiums around it.
    pub variance: f64,
}

/// Listings that the belief about the mean is worth.
const MEAN_IS_WORTH: f64 = 4.0;
/// Smallest spread of true premiums (judgement): nobody prices exactly.
const LEAST_SPREAD: f64 = 0.03;

/// A first ask beside a value.
#[derive(Clone, Copy, Debug)]
pub struct SeenPremium {
    /// ln(ask / value).
    pub premium: f64,
    /// Variance of the value's error.
    pub error: f64,
    /// Weight of the listing, 1 or less.
    pub weight: f64,
}

impl Habit {
    /// From each listing and the belief.
    pub fn learn(seen: &[SeenPremium], belief: &AskHabit) -> Self {
        let weight = |error: f64| 1.0 / (belief.spread.powi(2) + error);
        let (mut sum, mut total) = (
            MEAN_IS_WORTH * weight(0.0) * belief.mean,
            MEAN_IS_WORTH * weight(0.0),
        );
        for one in seen {
            sum += one.weight * weight(one.error) * one.premium;
            total += one.weight * weight(one.error);
        }
        let mean = sum / total;
        let (mut square, mut count) = (belief.worth * belief.spread.powi(2), belief.worth);
        for one in seen {
            // Rows with a poor value say little about the spread.
            let share = one.weight * belief.spread.powi(2) * weight(one.error);
            square += share * ((one.premium - mean).powi(2) - one.error);
            count += share;
        }
        Self {
            mean,
            variance: (square / count).max(LEAST_SPREAD.powi(2)),
        }
    }

    /// The expected true premium of one seen with an error of variance `error`.
    pub fn expected(&self, seen: f64, error: f64) -> f64 {
        self.mean + self.variance / (self.variance + error) * (seen - self.mean)
    }

    /// What the first ask of a bike tells of its value: whoever set it had the
    /// bike before them. ln value and its variance, given those without the ask.
    pub fn value_given_ask(&self, ln_ask: f64, (ln_value, error): (f64, f64)) -> (f64, f64) {
        let premium = self.expected(ln_ask - ln_value, error);
        let left = self.variance * error / (self.variance + error);
        (ln_ask - premium, left)
    }
}
