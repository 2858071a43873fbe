//! What mark-downs are worth to those who know the buyers, and how their plans
//! look.

use super::best::best;
use super::demand::Demand;
use super::known::Belief;
use super::policy::{Outcome, Policy, Prospect, WITHIN};
use super::tables::{config, seeds};
use super::{Kind, SellingMarket};
use crate::recovery::market::buyers::End;
use crate::recovery::market::sellers::the_user;
use crate::recovery::market::stream;
use wheelworth::statistics::linear::robust::median;

/// A plan with what it comes to, and the worth it was made for.
struct Made {
    policy: Policy,
    outcome: Outcome,
    worth: f64,
}

#[test]
#[ignore = "a report: cargo test --test suite plans_by_cut -- --ignored --nocapture"]
fn plans_by_cut() {
    println!(
        "market   knows   most cuts  PV in % of any number | first ask/worth  cuts  first on day  last ask/worth | within 7 14 30 60  unsold  days"
    );
    for kind in [Kind::Haggling, Kind::Posted] {
        for bike_known in [true, false] {
            by_cut(kind, bike_known);
        }
        let (price, days) = the_users_way(kind);
        println!(
            "{:<8} the user's way: median sale price / worth {price:.3}, median days {days:.1}",
            kind.name()
        );
    }
}

/// Medians of sale price / worth on the day of listing, which is what the
/// program calls value beside what the simulator calls worth, and of the days;
/// 100 sales a bike.
fn the_users_way(kind: Kind) -> (f64, f64) {
    let (mut prices, mut days) = (Vec::new(), Vec::new());
    for seed in seeds() {
        let market = SellingMarket::of(seed, kind, &config(0, 0));
        let mut rng = stream(seed, 8);
        let from = market.world.as_of;
        for fresh in &market.fresh {
            let worth = market.world.ln_worth(&fresh.truth, from).exp();
            for _ in 0..100 {
                let seller = the_user(&mut rng, worth);
                let end = seller.offer(&mut rng, &market.world, &fresh.truth, from);
                if let End::Sold { on, price } = end {
                    prices.push(price / worth);
                    days.push(on - from);
                }
            }
        }
    }
    (median(prices), median(days))
}

fn by_cut(kind: Kind, bike_known: bool) {
    let limits = [0, 1, 2, 4, usize::MAX];
    let mut plans: Vec<Vec<Made>> = limits.iter().map(|_| Vec::new()).collect();
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
                plans.push(Made {
                    policy,
                    outcome,
                    worth,
                });
            }
        }
    }
    let unlimited: Vec<f64> = plans[limits.len() - 1]
        .iter()
        .map(|plan| plan.outcome.present_value)
        .collect();
    let mut last = 0.0;
    for (plans, limit) in plans.iter().zip(limits) {
        let mean =
            |of: &dyn Fn(&Made) -> f64| plans.iter().map(of).sum::<f64>() / plans.len() as f64;
        let value = 100.0 * mean(&|p| p.outcome.present_value) * plans.len() as f64
            / unlimited.iter().sum::<f64>();
        let within: String = (0..WITHIN.len())
            .map(|i| format!("{:>5.0}", 100.0 * mean(&|p| p.outcome.within[i])))
            .collect();
        let middle = |of: &dyn Fn(&Made) -> Option<f64>| {
            let found: Vec<f64> = plans.iter().filter_map(of).collect();
            if found.is_empty() {
                f64::NAN
            } else {
                median(found)
            }
        };
        let limit = if limit == usize::MAX {
            "any".to_owned()
        } else {
            limit.to_string()
        };
        println!(
            "{:<8} {:<8} {limit:>8}  {value:>20.2}  | {:>15.3} {:>5.1} {:>13.1} {:>15.3} |{within}  {:>6.1} {:>5.1}",
            kind.name(),
            if bike_known { "bike" } else { "record" },
            middle(&|p| Some(p.policy.steps[0].1 / p.worth)),
            mean(&|p| p.policy.cuts() as f64),
            middle(&|p| Some(p.policy.steps.get(1)?.0)),
            middle(&|p| Some(p.policy.steps[p.policy.cuts()].1 / p.worth)),
            100.0 * mean(&|p| p.outcome.unsold),
            mean(&|p| p.outcome.days),
        );
        // More cuts allowed are never worth less; the climbing search may stop
        // a tenth of a percent short.
        assert!(value > last - if bike_known { 1e-9 } else { 0.1 });
        last = value;
    }
}
