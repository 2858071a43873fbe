//! Sellers: the user with his steady habits, and everybody else.

use super::buyers::Seller;
use super::form::Others;
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Exp1, Normal};

/// Error (ln) of the user's honest guess of what his bike is worth.
const GUESS: f64 = 0.07;

/// The user: asks about 3 % above his guess of the worth, takes about a tenth
/// off each month, and keeps at it until the bike is sold.
pub fn the_user(rng: &mut ChaCha8Rng, worth: f64) -> Seller {
    let guess: f64 = Normal::new(0.0, GUESS).unwrap().sample(rng);
    Seller {
        first_ask: worth * 1.03 * guess.exp(),
        cut_every: rng.random_range(27.0..34.0),
        cut: rng.random_range(0.085..0.115),
        cuts: 40,
        reserve: rng.random_range(0.88..0.96),
        patience: f64::INFINITY,
    }
}

/// Anybody else: asks too much by a personal amount (a few ask too little),
/// cuts by a personal habit or not at all, and gives up after a personal time.
pub fn somebody(rng: &mut ChaCha8Rng, worth: f64, others: &Others) -> Seller {
    let hope: f64 = Exp1.sample(rng);
    let ignorance: f64 = Normal::new(0.0, 0.10).unwrap().sample(rng);
    let stubborn = rng.random_bool(others.stubborn);
    let patience: f64 = Exp1.sample(rng);
    Seller {
        first_ask: worth * (0.02 + others.hope * hope + ignorance).exp(),
        cut_every: rng.random_range(12.0..45.0),
        cut: rng.random_range(0.03..0.14),
        cuts: if stubborn { 0 } else { rng.random_range(1..=4) },
        reserve: rng.random_range(0.80..0.97),
        patience: 10.0 + others.patience * patience,
    }
}
