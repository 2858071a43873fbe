//! Days on market: chances told beforehand against what happened.

use super::trial::{OwnBike, Trial, WITHIN};
use crate::statistics::distribution::binomial;
use crate::trade::Day;
use crate::trade::calendar::days_between;

/// Confidence of the interval of a share observed.
pub const CONFIDENCE: f64 = 0.95;

/// Chances of a sale told beforehand for some bikes, and what happened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// Days after listing.
    pub days: f64,
    /// Bikes listed at least so many days ago.
    pub bikes: usize,
    /// Mean of the chances told.
    pub expected: f64,
    /// Share that was sold within the days.
    pub observed: f64,
    /// Exact binomial interval of that share, at [`CONFIDENCE`].
    pub interval: (f64, f64),
}

/// All horizons.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DaysHeldUp {
    /// For 14, 30 and 60 days; `None` below the bikes that figures need.
    pub horizons: [Option<Told>; WITHIN.len()],
    /// Reliability: by horizon, bikes in three groups of rising chances.
    pub steps: Vec<Told>,
}

/// Groups of rising chances in [`DaysHeldUp::steps`], and bikes in each at least.
const GROUPS: usize = 3;
const IN_A_GROUP: usize = 5;

impl DaysHeldUp {
    /// By the chances of the trials that `pick` finds. A bike that was not listed
    /// `N` days ago tells nothing of `N` days yet, also when it is sold: else the
    /// quick ones would count first. Nor does one that left without a sale before then.
    pub fn of(bikes: &[OwnBike], pick: fn(&OwnBike) -> Option<&Trial>, as_of: Day) -> Self {
        let mut sum = Self::default();
        for (place, days) in WITHIN.into_iter().enumerate() {
            let mut pairs: Vec<(f64, bool)> = bikes
                .iter()
                .filter_map(|bike| {
                    let listed = bike.sale.listed_on?;
                    let until = bike.sale.left.as_ref().map_or(as_of, |left| left.on);
                    if (days_between(listed, until) as f64) < days {
                        return None;
                    }
                    let chance = pick(bike)?.within?[place];
                    let sold = bike.sale.sold;
                    Some((
                        chance,
                        sold.is_some_and(|s| days_between(listed, s.on) as f64 <= days),
                    ))
                })
                .collect();
            if pairs.len() < super::study::FEWEST {
                continue;
            }
            sum.horizons[place] = Some(told(days, &pairs));
            pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let groups = GROUPS.min(pairs.len() / IN_A_GROUP).max(1);
            let cut = |group: usize| group * pairs.len() / groups;
            sum.steps
                .extend((0..groups).map(|group| told(days, &pairs[cut(group)..cut(group + 1)])));
        }
        sum
    }
}

fn told(days: f64, pairs: &[(f64, bool)]) -> Told {
    let (n, sold) = (pairs.len(), pairs.iter().filter(|p| p.1).count());
    Told {
        days,
        bikes: n,
        expected: pairs.iter().map(|p| p.0).sum::<f64>() / n as f64,
        observed: sold as f64 / n as f64,
        interval: binomial::interval(sold as u64, n as u64, CONFIDENCE),
    }
}
