//! Buyers who do not haggle: each has a price of their own and pays the ask
//! exactly when it is not above that.

use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};

/// Part by which the visits rise and fall with the season.
const SWING: f64 = 0.2;
/// Place in the year of the busiest day.
const BUSIEST_AT: f64 = 0.42;
/// Mean (ln) of what buyers would pay, beside the worth.
pub const LEAN: f64 = -0.03;

/// The buyers of one market.
#[derive(Clone, Copy, Debug)]
pub struct Posted {
    /// Visits a day, over the year.
    pub visits_a_day: f64,
    /// Spread (ln) of what buyers would pay around the worth.
    pub spread: f64,
}

impl Posted {
    /// One visit in 4 to 20 days; tastes spread by 0.18 to 0.25.
    pub fn draw(rng: &mut ChaCha8Rng) -> Self {
        let (often, seldom) = (4.0_f64, 20.0_f64);
        Self {
            visits_a_day: (-rng.random_range(often.ln()..seldom.ln())).exp(),
            spread: rng.random_range(0.18..0.25),
        }
    }

    /// The most visits a day.
    pub fn most_visits(&self) -> f64 {
        self.visits_a_day * (1.0 + SWING)
    }

    /// The share of these that comes at a place in the year.
    pub fn share(&self, season: f64) -> f64 {
        let wave = (std::f64::consts::TAU * (season - BUSIEST_AT)).cos();
        (1.0 + SWING * wave) / (1.0 + SWING)
    }

    /// One visit: whether this buyer pays the ask.
    pub fn pays(&self, rng: &mut ChaCha8Rng, worth: f64, ask: f64) -> bool {
        let taste = Normal::new(LEAN, self.spread).unwrap();
        worth * taste.sample(rng).exp() >= ask
    }
}
