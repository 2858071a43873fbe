//! What the words of the grades mean, for those who have not met them.
//!
//! Conditions are as the files' documentation has them. Tiers are told by the gears and
//! the frame that a bike of that tier usually has: common practice, no source.

use crate::trade::{Condition, Tier};

/// What a condition means: `needs repair before it is ridden`.
pub fn condition_means(condition: Condition) -> &'static str {
    match condition {
        Condition::Donor => "good only for its parts",
        Condition::Project => "needs repair before it is ridden",
        Condition::Rider => "safe and serviced, visibly worn",
        Condition::Tidy => "fully serviced, light marks",
        Condition::Mint => "as new",
    }
}

/// What a tier means: common practice, no source. The gears count at the back wheel.
pub fn tier_means(tier: Tier) -> &'static str {
    match tier {
        Tier::Basic => "steel frame, 5 to 7 gears at the back, steel rims or cheap hubs",
        Tier::Sport => "light steel or aluminium, 7 or 8 gears, plain parts that work",
        Tier::Club => "light frame, 8 to 10 gears, parts that a regular rider picks",
        Tier::Race => "light frame with a carbon fork, 10 or 11 gears, parts for racing",
        Tier::Pro => "the lightest frame and the maker's best parts, 11 gears or more",
    }
}

/// Every condition with its number and meaning, a line each.
pub fn conditions() -> Vec<String> {
    let line = |c: &Condition| format!("{} {:<7} {}", c.grade(), c.word(), condition_means(*c));
    Condition::ALL.iter().map(line).collect()
}

/// Every tier with its number and meaning, a line each.
pub fn tiers() -> Vec<String> {
    let line = |t: &Tier| format!("{} {:<5} {}", t.grade(), t.word(), tier_means(*t));
    Tier::ALL.iter().map(line).collect()
}
