//! The columns of the time model. ln of days; positive is slower.

use crate::pricing::design::fact::{self, SIZE_KNOWN, TIER_KNOWN};
use crate::pricing::design::features::Facts;
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::selling_priors::TimeBeliefs;
use crate::trade::calendar::year_fraction;
use crate::trade::{Day, Style};

/// Number of columns.
pub const COLUMNS: usize = OTHERS_PREMIUM + 1;

/// Where each column stands: ln of the days at the value.
const LEVEL: usize = 0;

/// What the ask does, through [`thinning`](super::premium::thinning).
pub const PREMIUM: usize = 1;

/// Sine and cosine of the year, and of half the year: buyers come in spring, and some
/// again in autumn.
const WAVE: [usize; 4] = [2, 3, 4, 5];

/// Tiers above the base's.
const TIER: usize = 6;

/// Road or mountain.
const SPORTY: usize = 7;

/// Touring, folding, cruiser or other.
const SPECIAL: usize = 8;

/// Size XS or XL.
const RARE_SIZE: usize = 9;

/// Listings of other people.
const OTHERS: usize = 10;

/// [`PREMIUM`] of other people's listings, beside it.
pub const OTHERS_PREMIUM: usize = 11;

/// Names of the columns.
pub const NAMES: [&str; COLUMNS] = [
    "days at the value",
    "premium",
    "year, sine",
    "year, cosine",
    "half year, sine",
    "half year, cosine",
    "a tier",
    "sporty styles",
    "special styles",
    "size XS or XL",
    "other people's listings",
    "premium, other people's",
];

/// Beliefs in the order of the columns.
pub fn beliefs(time: &TimeBeliefs) -> [Belief; COLUMNS] {
    [
        time.days,
        time.premium,
        time.wave,
        time.wave,
        time.half_year,
        time.half_year,
        time.tier,
        time.group,
        time.group,
        time.rare_size,
        time.others,
        time.others_premium,
    ]
}

/// What does not change while a listing stands: all but the wave and the premiums.
pub fn of_bike(facts: &Facts, own: bool, x: &mut [f64; COLUMNS]) {
    let flag = |yes: bool| f64::from(u8::from(yes));
    let style = facts.style();
    x[LEVEL] = 1.0;
    x[TIER] = if facts.knows(TIER_KNOWN) {
        facts.values[fact::TIER].iter().sum()
    } else {
        0.0
    };
    x[SPORTY] = flag(matches!(style, Style::Road | Style::Mountain));
    x[SPECIAL] = flag(matches!(
        style,
        Style::Touring | Style::Folding | Style::Cruiser | Style::Other
    ));
    x[RARE_SIZE] = if facts.knows(SIZE_KNOWN) {
        facts.values[fact::XS_OR_XL]
    } else {
        0.0
    };
    x[OTHERS] = flag(!own);
}

/// The place in the year.
pub fn of_day(day: Day, x: &mut [f64; COLUMNS]) {
    let angle = 2.0 * std::f64::consts::PI * year_fraction(day);
    let waves = [
        angle.sin(),
        angle.cos(),
        (2.0 * angle).sin(),
        (2.0 * angle).cos(),
    ];
    for (place, wave) in WAVE.into_iter().zip(waves) {
        x[place] = wave;
    }
}

/// What the place in the year does to ln of the days, by the coefficients `b`.
pub fn wave(x: &[f64; COLUMNS], b: &[f64]) -> f64 {
    WAVE.into_iter().map(|place| x[place] * b[place]).sum()
}
