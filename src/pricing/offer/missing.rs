//! Repairs that are needed and whose cost nobody has given: until then nothing is bought.

use super::{JobWorth, Offer, OfferVerdict};
use crate::trade::Condition;

/// Needed repairs that count for nothing: safety jobs without a cost, and, where there is
/// no safety job, those that make a project ridable. Until their cost is known nothing says
/// whether the bike is worth its price. What takes no new parts is `from_box`.
pub fn without_cost(offer: &Offer) -> Vec<&str> {
    let is_project = offer.as_found.question.bike.condition <= Some(Condition::Project);
    let has_safety = offer.jobs.iter().any(|one| one.safety);
    let rides_after = |one: &JobWorth| one.job.condition_after >= Some(Condition::Rider);
    let needed = |one: &&JobWorth| {
        one.safety || (is_project && !has_safety && one.in_best && rides_after(one))
    };
    let without = |one: &&JobWorth| {
        let time = one.job.hours.is_some_and(|hours| hours > 0);
        one.job.cost.minor() == 0 && !one.job.from_box && (one.safety || !time)
    };
    let jobs = offer.jobs.iter().filter(needed).filter(without);
    jobs.map(|one| one.job.name.as_str()).collect()
}

/// Whether to buy: by the sums, and with every needed cost known. For its parts alone no
/// repair is needed.
pub fn says_buy(verdict: &OfferVerdict, offer: &Offer) -> bool {
    verdict.buy && (verdict.apart || without_cost(offer).is_empty() && offer.left_open.is_empty())
}
