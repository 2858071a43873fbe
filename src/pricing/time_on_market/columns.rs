//! The columns of the time model. ln of days; positive is slower.

use crate::pricing::design::features::{Facts, SIZE_KNOWN, TIER_KNOWN};
use crate::pricing::prior::priors::Belief;
use crate::pricing::prior::selling_priors::Time;
use crate::trade::calendar::year_fraction;
use crate::trade::{Day, Style};

/// Number of columns.
pub const COLUMNS: usize = 10;
/// Where the premium's column stands.
pub const PREMIUM: usize = 1;

/// The same for other people's listings, beside it.
pub const OTHERS_PREMIUM: usize = 9;

/// Names of the columns.
pub const NAMES: [&str; COLUMNS] = [
    "days at the value",
    "premium",
    "year, sine",
    "year, cosine",
    "a tier",
    "sporty styles",
    "special styles",
    "size XS or XL",
    "other people's listings",
    "premium, other people's",
];

/// Where [`Facts::values`] holds the steps of tier and the rare sizes.
const TIER_STEPS: std::ops::Range<usize> = 9..13;
const RARE_SIZE: usize = 14;

/// Beliefs in the order of the columns.
pub fn beliefs(time: &Time) -> [Belief; COLUMNS] {
    [
        time.days,
        time.premium,
        time.wave,
        time.wave,
        time.tier,
        time.group,
        time.group,
        time.rare_size,
        time.others,
        time.others_premium,
    ]
}

/// What does not change while a listing stands: columns after the wave.
pub fn of_bike(facts: &Facts, own: bool, x: &mut [f64; COLUMNS]) {
    x[0] = 1.0;
    x[4] = if facts.known & TIER_KNOWN != 0 {
        facts.values[TIER_STEPS].iter().sum()
    } else {
        0.0
    };
    let flag = |yes: bool| f64::from(u8::from(yes));
    let style = facts.style();
    x[5] = flag(matches!(style, Style::Road | Style::Mountain));
    x[6] = flag(matches!(
        style,
        Style::Touring | Style::Folding | Style::Cruiser | Style::Other
    ));
    x[7] = if facts.known & SIZE_KNOWN != 0 {
        facts.values[RARE_SIZE]
    } else {
        0.0
    };
    x[8] = flag(!own);
}

/// The place in the year.
pub fn of_day(day: Day, x: &mut [f64; COLUMNS]) {
    let angle = 2.0 * std::f64::consts::PI * year_fraction(day);
    x[2] = angle.sin();
    x[3] = angle.cos();
}
