//! The user's own eye, by hand. The noise of the eye is held at 0.15 here (no spread of its
//! belief, no chance that it sees nothing), its bias is believed to be 0, give or take 0.15.
//!
//! One guess of a new user, 0.2 log points above the price; the bike's own worth has the
//! variance 0.04 around the price.
//!
//!   variance of the guess around the bike  0.15² + 0.15² = 0.045
//!   is it a slip?  0.2² / (0.690567 · 0.085) = 0.681452, weight 5 / 4.681452 above 1: no
//!   counts         0.04 / (0.04 + 0.045) = 8 / 17 = 0.470588
//!   moves          0.2 · 8 / 17 = 0.094118; of the variance 9 / 17 = 0.529412 are left
//!
//! A slip of a digit, 10 times the price, ln 10 = 2.302585 above it:
//!
//!   2.302585² / (0.690567 · 0.085) = 90.324739, weight 5 / 94.324739 = 0.053008
//!   counts  0.04 / (0.04 + 0.045 / 0.053008) = 0.044998; moves 0.103612, half of what
//!   twice the price would have moved
//!
//! Three sales that brought their price, each guessed 0.3 too dear, of bikes whose sale
//! tells all of their worth (no luck): the eye missed by 0.3 three times. With the weight
//! w of each the bias is 0.3 · 3 w / (1 + 3 w), belief and noise having the same variance;
//! 0.233329 is the bias that fits its own weight:
//!
//!   w = 5 / (4 + (0.3 - 0.233329)² / (0.690567 · 0.0225)) = 1.166567
//!   0.3 · 3.499702 / 4.499702 = 0.233329, its variance 0.0225 / 4.499702 = 0.005000
//!
//! The next guess, 0.2 above the price, is so a little below it:
//!
//!   counts  0.04 / (0.04 + 0.0225 + 0.005) = 0.592590
//!   moves   0.592590 · (0.2 - 0.233329) = -0.019750; 0.407410 of the variance are left

use crate::support::tolerance::assert_near;
use wheelworth::pricing::Priors;
use wheelworth::pricing::eye::learnt::Eye;
use wheelworth::pricing::eye::sighting::{EyeSource, Sighting};

const DIGITS: f64 = 1e-6;

fn beliefs() -> Priors {
    let mut priors = Priors::shipped().clone();
    priors.eye.noise = 0.15;
    priors.eye.noise_spread = 0.0;
    priors.eye.bias = 0.15;
    priors.eye.blind = 0.0;
    priors
}

#[test]
fn one_guess_of_a_new_user() {
    let eye = Eye::believed(&beliefs());
    assert_eq!((eye.from, eye.misses), (EyeSource::Trade, None));
    let look = eye.look(0.2, 0.04);
    assert_near("counts", look.weight, 8.0 / 17.0, DIGITS);
    assert_near("moves", look.moves, 0.2 * 8.0 / 17.0, DIGITS);
    assert_near("left", look.narrows, 9.0 / 17.0, DIGITS);
}

#[test]
fn a_slip_of_a_digit_moves_little() {
    let eye = Eye::believed(&beliefs());
    let look = eye.look(std::f64::consts::LN_10, 0.04);
    assert_near("counts", look.weight, 0.044_998, DIGITS);
    assert_near("moves", look.moves, 0.103_612, DIGITS);
    // As shipped, where the noise is not known either, it moves less than 15 %.
    let shipped = Eye::believed(Priors::shipped()).look(std::f64::consts::LN_10, 0.04);
    assert!((0.0..0.14).contains(&shipped.moves), "{shipped:?}");
}

#[test]
fn three_sales_straighten_an_eye() {
    let seen = Sighting {
        guess: 0.3,
        price: 0.0,
        bike: 0.04,
        luck: 0.0,
    };
    let eye = Eye::learn(&beliefs(), &[seen; 3], &[]);
    assert_eq!(eye.from, EyeSource::Guess);
    let look = eye.look(0.2, 0.04);
    assert_near("counts", look.weight, 0.592_590, DIGITS);
    assert_near("moves", look.moves, -0.019_750, DIGITS);
    assert_near("left", look.narrows, 0.407_410, DIGITS);
}

/// Sales that lie as far from their prices as the bikes and luck make them, by turns above
/// and below.
fn sales(guess: impl Fn(f64) -> f64) -> Vec<Sighting> {
    let price = |n: i32| 0.22 * f64::from(n % 5 - 2) / 2.0_f64.sqrt();
    let one = |n| Sighting {
        guess: guess(price(n)),
        price: price(n),
        bike: 0.04,
        luck: 0.0084,
    };
    (0..30).map(one).collect()
}

/// Who repeats the program's figure, or sees nothing, is not believed; who sees what the
/// bikes bring, is.
#[test]
fn an_eye_is_believed_as_far_as_it_has_seen() {
    let counts = |guess: &dyn Fn(f64) -> f64| {
        let eye = Eye::learn(Priors::shipped(), &sales(guess), &[]);
        eye.look(0.1, 0.04).weight
    };
    let (sees, repeats, other) = (counts(&|p| p), counts(&|_| 0.0), counts(&|p| -4.0 * p));
    assert!(sees > 0.75, "{sees}");
    assert!(repeats < 0.5, "{repeats}");
    assert!(other < 0.06, "{other}");
    assert!(repeats < sees - 0.3);
}

/// From eight guesses on first asks say nothing more.
#[test]
fn guesses_speak_alone_from_eight_on() {
    let priors = Priors::shipped();
    let (poor, good) = (sales(|p| -4.0 * p), sales(|p| p));
    let counts = |guesses: &[Sighting], asks: &[Sighting]| {
        Eye::learn(priors, guesses, asks).look(0.1, 0.04).weight
    };
    assert!((counts(&poor[..8], &good) - counts(&poor[..8], &[])).abs() < 1e-12);
    assert!(counts(&poor[..7], &good) > counts(&poor[..7], &[]));
    let [believed, asked] = [counts(&[], &[]), counts(&[], &good)];
    assert!(asked > believed + 0.05, "{asked} after {believed}");
    assert_eq!(
        Eye::learn(priors, &poor[..3], &good).from,
        EyeSource::FirstAsk
    );
    assert_eq!(Eye::learn(priors, &poor[..8], &good).from, EyeSource::Guess);
}
