//! The tables: `cargo test --test suite plans_ -- --nocapture`. More markets by
//! `WHEELWORTH_MARKETS=40`.

use super::best::best;
use super::demand::Demand;
use super::known::Belief;
use super::plain::{FiveNearest, each_fortnight, fitted, value};
use super::planner::{Habit, PlanMaker};
use super::policy::{Outcome, Policy, Prospect, WITHIN};
use super::{Kind, SellingMarket};
use crate::recovery::market::{Config, stream};

/// Bikes priced in each market.
const BIKES: usize = 10;
/// Own sales and comps of the rows.
const ROWS: [(usize, usize); 5] = [(40, 200), (15, 0), (0, 200), (5, 30), (120, 2000)];

/// Markets simulated for each cell; the simulator was adjusted on others.
fn seeds() -> std::ops::Range<u64> {
    let wanted = std::env::var("WHEELWORTH_MARKETS")
        .ok()
        .and_then(|n| n.parse().ok());
    2000..2000 + wanted.unwrap_or(3)
}

fn config(own: usize, comps: usize) -> Config {
    Config {
        fresh: BIKES,
        ..Config::new(own, comps)
    }
}

/// A present value beside the best, bike by bike.
#[derive(Default)]
struct Shares {
    values: Vec<f64>,
    bests: Vec<f64>,
}

impl Shares {
    fn add(&mut self, value: f64, best: f64) {
        self.values.push(value);
        self.bests.push(best);
    }

    /// Mean present value in percent of the best's.
    fn of_means(&self) -> f64 {
        100.0 * self.values.iter().sum::<f64>() / self.bests.iter().sum::<f64>()
    }

    /// Mean share in percent, each bike counting alike.
    fn mean(&self) -> f64 {
        let shares = self.values.iter().zip(&self.bests).map(|(v, b)| v / b);
        100.0 * shares.sum::<f64>() / self.values.len() as f64
    }
}

/// Stated less true chances, in points.
#[derive(Default)]
struct Misses(Vec<[f64; 4]>);

impl Misses {
    fn add(&mut self, stated: [f64; 4], truth: [f64; 4]) {
        self.0
            .push(std::array::from_fn(|i| 100.0 * (stated[i] - truth[i])));
    }

    fn mean(&self, of: impl Fn(f64) -> f64) -> [f64; 4] {
        std::array::from_fn(|i| self.0.iter().map(|m| of(m[i])).sum::<f64>() / self.0.len() as f64)
    }

    /// Root mean square by day, and over all.
    fn spread(&self) -> [f64; 5] {
        let squares = self.mean(|m| m * m);
        let all = squares.iter().sum::<f64>() / 4.0;
        let [a, b, c, d] = squares;
        [a, b, c, d, all].map(f64::sqrt)
    }

    /// Mean by day.
    fn lean(&self) -> [f64; 4] {
        self.mean(|m| m)
    }
}

/// Everything of one row.
#[derive(Default)]
struct Tally {
    plan: Shares,
    fortnight: Shares,
    nearest: Shares,
    known: Shares,
    /// Plan beside the record-oracle's, both averaged over what the record leaves open.
    of_known: Shares,
    for_the_bike: Misses,
    for_the_record: Misses,
    cuts: usize,
}

/// What does not depend on the records: the same for every row.
struct Bench<'a> {
    prospects: Vec<Prospect<'a>>,
    bests: Vec<f64>,
    beliefs: Vec<Belief<'a>>,
    known: Vec<Policy>,
}

impl<'a> Bench<'a> {
    fn of(seed: u64, demand: &'a Demand, market: &SellingMarket) -> Self {
        let prospects = Prospect::all(demand, market);
        let mut rng = stream(seed, 7);
        let beliefs: Vec<Belief> = market
            .fresh
            .iter()
            .map(|fresh| Belief::of(&mut rng, demand, market, &fresh.bike))
            .collect();
        Self {
            bests: prospects
                .iter()
                .map(|p| best(p, None).present_value)
                .collect(),
            known: beliefs.iter().map(|b| b.best(usize::MAX)).collect(),
            prospects,
            beliefs,
        }
    }
}

impl Tally {
    fn add<M: PlanMaker>(&mut self, market: &SellingMarket, bench: &Bench) {
        let (as_of, currency) = (market.as_of, &market.currency);
        let records = market.records();
        let maker = M::learn(&records, as_of, currency);
        let fitted = fitted(&records, as_of, currency).expect("no row is without records");
        let nearest = FiveNearest::of(market);
        for (i, fresh) in market.fresh.iter().enumerate() {
            let (prospect, belief, best) = (&bench.prospects[i], &bench.beliefs[i], bench.bests[i]);
            let worth = |policy: &Policy| prospect.outcome(policy).present_value;
            let planned = maker.plan(&records, &fresh.bike, as_of, currency);
            let plan = Policy::new(planned.steps);
            let (truth, mean) = (prospect.outcome(&plan), belief.outcome(&plan));
            self.cuts += plan.cuts();
            self.plan.add(truth.present_value, best);
            let value = value(&fitted, &fresh.bike, as_of, currency);
            self.fortnight.add(worth(&each_fortnight(value)), best);
            if let Some(policy) = nearest.policy(&fresh.bike, as_of) {
                self.nearest.add(worth(&policy), best);
            }
            let known = &bench.known[i];
            self.known.add(worth(known), best);
            let reachable = belief.outcome(known).present_value;
            self.of_known.add(mean.present_value, reachable);
            self.for_the_bike.add(planned.within, truth.within);
            self.for_the_record.add(planned.within, mean.within);
        }
    }
}

const HEADING: &str = "\
market    own comps |  mean PV in % of the best's mean |   mean of each bike's share     | plan of | stated less true chance of a sale within 7 14 30 60 days, points
                    |  plan fortn. nearest  record     |  plan fortn. nearest  record    | record  | rms for the bike, all     | rms for its record, all   | lean";

fn line(kind: Kind, own: usize, comps: usize, tally: &Tally) -> String {
    let shares = |of: &dyn Fn(&Shares) -> f64| {
        let [a, b, c, d] = [&tally.plan, &tally.fortnight, &tally.nearest, &tally.known].map(of);
        format!("{a:>6.1} {b:>6.1} {c:>7.1} {d:>7.1}")
    };
    let list = |points: &[f64], width: usize| {
        points
            .iter()
            .map(|p| format!("{p:>width$.1}"))
            .collect::<String>()
    };
    let lean: String = tally
        .for_the_bike
        .lean()
        .iter()
        .map(|p| format!("{p:>+6.1}"))
        .collect();
    format!(
        "{:<8} {own:>4} {comps:>5} |{}     |{}    | {:>6.1}  |{}  |{}  |{lean}",
        format!("{kind:?}").to_lowercase(),
        shares(&Shares::of_means),
        shares(&Shares::mean),
        tally.of_known.of_means(),
        list(&tally.for_the_bike.spread(), 5),
        list(&tally.for_the_record.spread(), 5),
    )
}

/// The table for a maker of plans.
fn table<M: PlanMaker>() -> Vec<(Kind, (usize, usize), Tally)> {
    let mut tallies = Vec::new();
    for kind in [Kind::Haggling, Kind::Posted] {
        let mut rows: Vec<Tally> = ROWS.iter().map(|_| Tally::default()).collect();
        for seed in seeds() {
            let world = SellingMarket::of(seed, kind, &config(0, 0));
            let demand = Demand::of(&world.world.buyers);
            let bench = Bench::of(seed, &demand, &world);
            for (row, (own, comps)) in rows.iter_mut().zip(ROWS) {
                row.add::<M>(&SellingMarket::of(seed, kind, &config(own, comps)), &bench);
            }
        }
        tallies.extend(rows.into_iter().zip(ROWS).map(|(t, r)| (kind, r, t)));
    }
    tallies
}

#[test]
fn plans_table() {
    println!("{HEADING}");
    for (kind, (own, comps), tally) in table::<Habit>() {
        println!("{}", line(kind, own, comps, &tally));
        // Nobody beats the best by more than his asks between the price points
        // may bring; nothing is worthless or not a number.
        for shares in [&tally.plan, &tally.fortnight, &tally.nearest, &tally.known] {
            for (value, best) in shares.values.iter().zip(&shares.bests) {
                assert!(*value > 0.0 && *value < 1.003 * best, "{value} of {best}");
            }
        }
        // The record-oracle knows more than the plan; its search and its 30
        // truths leave it half a percent.
        assert!(tally.of_known.of_means() < 100.5);
    }
}

/// What mark-downs are worth to those who know the buyers, and how their plans look.
#[test]
fn plans_by_cut() {
    println!(
        "market   knows   most cuts  PV in % of any number | first ask/worth  cuts  first on day  last ask/worth | within 7 14 30 60  unsold  days"
    );
    for kind in [Kind::Haggling, Kind::Posted] {
        for bike_known in [true, false] {
            by_cut(kind, bike_known);
        }
    }
}

fn by_cut(kind: Kind, bike_known: bool) {
    let limits = [0, 1, 2, 4, usize::MAX];
    let mut plans: Vec<Vec<(Policy, Outcome, f64)>> = vec![Vec::new(); limits.len()];
    for seed in seeds() {
        let market = SellingMarket::of(seed, kind, &config(0, 0));
        let demand = Demand::of(&market.world.buyers);
        let mut rng = stream(seed, 7);
        for (fresh, prospect) in market.fresh.iter().zip(Prospect::all(&demand, &market)) {
            let belief = Belief::of(&mut rng, &demand, &market, &fresh.bike);
            for (plans, limit) in plans.iter_mut().zip(limits) {
                let (policy, outcome) = if bike_known {
                    let most = (limit < usize::MAX).then_some(limit);
                    let policy = best(&prospect, most).policy;
                    let outcome = prospect.outcome(&policy);
                    (policy, outcome)
                } else {
                    let policy = belief.best(limit);
                    let outcome = belief.outcome(&policy);
                    (policy, outcome)
                };
                let middle = belief.nodes[belief.nodes.len() / 2].worth;
                let worth = if bike_known { prospect.worth } else { middle };
                plans.push((policy, outcome, worth));
            }
        }
    }
    let unlimited: Vec<f64> = plans[limits.len() - 1]
        .iter()
        .map(|plan| plan.1.present_value)
        .collect();
    let mut last = 0.0;
    for (plans, limit) in plans.iter().zip(limits) {
        let mean = |of: &dyn Fn(&(Policy, Outcome, f64)) -> f64| {
            plans.iter().map(of).sum::<f64>() / plans.len() as f64
        };
        let value = 100.0 * mean(&|p| p.1.present_value) * plans.len() as f64
            / unlimited.iter().sum::<f64>();
        let within: String = (0..WITHIN.len())
            .map(|i| format!("{:>5.0}", 100.0 * mean(&|p| p.1.within[i])))
            .collect();
        let cut: Vec<f64> = plans
            .iter()
            .filter_map(|p| Some(p.0.steps.get(1)?.0))
            .collect();
        let limit = if limit == usize::MAX {
            "any".to_owned()
        } else {
            limit.to_string()
        };
        println!(
            "{:<8} {:<8} {limit:>8}  {value:>20.2}  | {:>15.3} {:>5.1} {:>13.1} {:>15.3} |{within}  {:>6.1} {:>5.1}",
            format!("{kind:?}").to_lowercase(),
            if bike_known { "bike" } else { "record" },
            mean(&|p| p.0.steps[0].1 / p.2),
            mean(&|p| p.0.cuts() as f64),
            cut.iter().sum::<f64>() / cut.len() as f64,
            mean(&|p| p.0.steps[p.0.cuts()].1 / p.2),
            100.0 * mean(&|p| p.1.unsold),
            mean(&|p| p.1.days),
        );
        // More cuts allowed are never worth less; the climbing search may stop
        // a tenth of a percent short.
        assert!(value > last - if bike_known { 1e-9 } else { 0.1 });
        last = value;
    }
}
