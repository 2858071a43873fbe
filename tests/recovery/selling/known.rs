//! The plan of one who knows the market and its buyers wholly, but of the bike
//! only what the record says: what is reachable at all. The truth given the
//! record is drawn many times over; the plan has the best mean present value
//! over them. That a bike has not sold says that its worth is lower; a plan fixed
//! on the first day holds all of that, since nothing else is learnt on the way.

use super::SellingMarket;
use super::best::{points_between, step_for};
use super::demand::Demand;
use super::policy::{Outcome, Policy, Prospect, Stretch, WEEKS};
use crate::recovery::market::records::{OWN, chance_judged};
use crate::recovery::market::worth::{
    NEW_SPREAD, TrueBike, WORKSHOP, pick, tier_share, usual_new_price,
};
use rand_chacha::ChaCha8Rng;
use wheelworth::trade::Bike;

/// Truths that stand for a record, equally likely.
const NODES: usize = 30;
/// Truths drawn for each of these: they are sorted by worth, and the middle one
/// of each ten stands for them.
const DRAWS: usize = 11;

/// What a record leaves open.
pub struct Belief<'a> {
    /// Equally likely truths.
    pub nodes: Vec<Prospect<'a>>,
}

/// One truth of a record. Own records tell style, model year and size rightly,
/// if at all, and grades with known chances; the price new tells of the tier.
pub fn truth_of(rng: &mut ChaCha8Rng, market: &SellingMarket, bike: &Bike) -> TrueBike {
    let year = market.calendar.year(market.world.as_of);
    let mut truth = TrueBike::of_style(rng, &WORKSHOP, year, bike.style);
    truth.made = bike
        .made
        .map_or(truth.made, wheelworth::trade::Years::first);
    truth.seat_tube = bike.seat_tube.unwrap_or(truth.seat_tube);
    let ln_new = bike
        .new_price
        .map(|new| market.currency.units(new).ln() - market.world.ln_level());
    let surprise = |tier| ln_new.map(|ln| ln - usual_new_price(bike.style, tier));
    let conditions: [f64; 5] = std::array::from_fn(|place| {
        let judged = bike.condition.map_or(1.0, |noted| {
            chance_judged(noted.grade().into(), place + 1, OWN.condition_off)
        });
        WORKSHOP.conditions[place] * judged
    });
    let tiers: [f64; 5] = std::array::from_fn(|place| {
        let judged = bike.tier.map_or(1.0, |noted| {
            chance_judged(noted.grade().into(), place + 1, OWN.tier_off)
        });
        let seen = surprise(place + 1).map_or(1.0, |s| (-0.5 * (s / NEW_SPREAD).powi(2)).exp());
        tier_share(bike.style, place + 1) * judged * seen
    });
    truth.condition = pick(rng, &conditions) + 1;
    truth.tier = pick(rng, &tiers) + 1;
    truth.new_surprise = surprise(truth.tier).unwrap_or(truth.new_surprise);
    truth
}

impl<'a> Belief<'a> {
    /// Of a recorded bike.
    pub fn of(
        rng: &mut ChaCha8Rng,
        demand: &'a Demand,
        market: &SellingMarket,
        bike: &Bike,
    ) -> Self {
        let world = &market.world;
        let mut truths: Vec<TrueBike> = (0..NODES * DRAWS)
            .map(|_| truth_of(rng, market, bike))
            .collect();
        let worth = |truth: &TrueBike| world.ln_worth(truth, world.as_of);
        truths.sort_by(|a, b| worth(a).total_cmp(&worth(b)));
        let middles = truths.iter().skip(DRAWS / 2).step_by(DRAWS);
        Self {
            nodes: middles
                .map(|truth| Prospect::of(demand, world, truth))
                .collect(),
        }
    }

    /// The same bike for one who knows the buyers but of the worth only a
    /// distribution, given by its quantiles of ln worth.
    pub fn as_valued(&self, quantile: impl Fn(f64) -> f64) -> Self {
        let middle = &self.nodes[self.nodes.len() / 2];
        let chance = |node: usize| (node as f64 + 0.5) / NODES as f64;
        Self {
            nodes: (0..NODES)
                .map(|node| middle.worth_instead(quantile(chance(node)).exp()))
                .collect(),
        }
    }

    /// What a policy comes to on average over the truths.
    pub fn outcome(&self, policy: &Policy) -> Outcome {
        let share = 1.0 / self.nodes.len() as f64;
        let mut mean = Outcome::default();
        for node in &self.nodes {
            let out = node.outcome(policy);
            mean.present_value += share * out.present_value;
            mean.unsold += share * out.unsold;
            mean.days += share * out.days;
            for (sum, chance) in mean.within.iter_mut().zip(out.within) {
                *sum += share * chance;
            }
        }
        mean
    }

    /// The plan with the best mean present value, with at most so many cuts:
    /// a search that climbs from the best single ask until no change of one or
    /// two of its parts is better. (On one truth it finds what dynamic
    /// programming finds, within a thousandth.)
    pub fn best(&self, most_cuts: usize) -> Policy {
        self.best_from(most_cuts, |_| [0; WEEKS])
    }

    /// The same, started elsewhere: `below` says from the number of asks by how
    /// many places each week stands below the best single ask.
    pub fn best_from(&self, most_cuts: usize, below: impl Fn(usize) -> [usize; WEEKS]) -> Policy {
        let worths: Vec<f64> = self.nodes.iter().map(|node| node.worth).collect();
        let (low, high) = (worths[0], worths[worths.len() - 1]);
        let middle = worths[worths.len() / 2];
        let asks = points_between(0.6 * low, 1.5 * high, step_for(middle));
        let search = Search::over(&self.nodes, &asks);
        let single = (0..asks.len())
            .max_by(|a, b| search.single(*a).total_cmp(&search.single(*b)))
            .expect("there are asks");
        let start = below(asks.len()).map(|places| single.saturating_sub(places));
        let chosen = search.climb(start.to_vec(), most_cuts);
        Policy::weekly(&chosen.iter().map(|place| asks[*place]).collect::<Vec<_>>())
    }
}

/// What each ask does in each week for each truth.
struct Search {
    /// By week, ask, truth.
    weeks: Vec<Vec<Vec<Stretch>>>,
    left: Vec<f64>,
}

impl Search {
    fn over(nodes: &[Prospect], asks: &[f64]) -> Self {
        let stretches = |week: usize, ask: &f64| -> Vec<Stretch> {
            nodes.iter().map(|node| node.week(week, *ask)).collect()
        };
        Self {
            weeks: (0..WEEKS)
                .map(|week| asks.iter().map(|ask| stretches(week, ask)).collect())
                .collect(),
            left: nodes.iter().map(|node| node.left).collect(),
        }
    }

    /// Total present value of weekly asks over the truths.
    fn value(&self, places: &[usize]) -> f64 {
        let mut carry = vec![1.0; self.left.len()];
        let mut sum = 0.0;
        for (week, place) in self.weeks.iter().zip(places) {
            for (carry, stretch) in carry.iter_mut().zip(&week[*place]) {
                sum += *carry * stretch.gain;
                *carry *= stretch.carry;
            }
        }
        sum + carry
            .iter()
            .zip(&self.left)
            .map(|(c, left)| c * left)
            .sum::<f64>()
    }

    fn single(&self, place: usize) -> f64 {
        self.value(&[place; WEEKS])
    }

    fn climb(&self, mut places: Vec<usize>, most_cuts: usize) -> Vec<usize> {
        let mut value = self.value(&places);
        loop {
            let better = neighbours(&places, self.weeks[0].len(), most_cuts)
                .into_iter()
                .map(|next| (self.value(&next), next))
                .max_by(|a, b| a.0.total_cmp(&b.0))
                .filter(|(found, _)| *found > value * (1.0 + 1e-9));
            let Some((found, next)) = better else {
                return places;
            };
            (value, places) = (found, next);
        }
    }
}

/// Weekly asks that differ on one stretch of weeks by some places, or have a
/// cut a week or two sooner or later; never rising.
fn neighbours(places: &[usize], asks: usize, most_cuts: usize) -> Vec<Vec<usize>> {
    let cuts = |p: &[usize]| p.windows(2).filter(|w| w[0] != w[1]).count();
    let mut found = Vec::new();
    let mut add = |next: Vec<usize>| {
        let falls = next.windows(2).all(|w| w[0] >= w[1]);
        if falls && cuts(&next) <= most_cuts {
            found.push(next);
        }
    };
    let shift = |from: usize, to: usize, by: i64| -> Option<Vec<usize>> {
        let mut next = places.to_vec();
        for place in &mut next[from..to] {
            let moved = *place as i64 + by;
            if moved < 0 || moved >= asks as i64 {
                return None;
            }
            *place = moved as usize;
        }
        Some(next)
    };
    for from in 0..WEEKS {
        for to in from + 1..=WEEKS {
            let ends = from == 0 || to == WEEKS;
            let bounded = |at: usize| at == 0 || at == WEEKS || places[at - 1] != places[at];
            let alike = to - from <= 4 || places[from] == places[to - 1];
            if !(ends || alike && (bounded(from) || bounded(to))) {
                continue;
            }
            for by in [-8, -4, -2, -1, 1, 2, 4, 8] {
                shift(from, to, by).into_iter().for_each(&mut add);
            }
        }
    }
    for week in (1..WEEKS).filter(|week| places[week - 1] != places[*week]) {
        for by in 1..=2 {
            if week + by <= WEEKS {
                let mut later = places.to_vec();
                later[week..week + by].fill(places[week - 1]);
                add(later);
            }
            if week >= by {
                let mut sooner = places.to_vec();
                sooner[week - by..week].fill(places[week]);
                add(sooner);
            }
        }
    }
    found
}
