//! What the simulation of selling promises. Seeds are fixed.

use super::best::{best, best_on, points, solve, step_for};
use super::demand::{Demand, RESERVE, normal_above, student_above, student_density};
use super::known::Belief;
use super::plain::{each_fortnight, falling};
use super::policy::{DAYS, KEEPS, Policy, Prospect, Stretch, WEEKS, WITHIN};
use super::{Kind, SellingMarket};
use crate::recovery::market::buyers::{Asks, End};
use crate::recovery::market::worth::{TrueBike, pick};
use crate::recovery::market::{Config, Market, stream};
use crate::support::tolerance::{SAME_NUMBER, assert_near};
use rand::Rng;
use wheelworth::trade::calendar::days_between;

const KINDS: [Kind; 2] = [Kind::Haggling, Kind::Posted];

fn market(seed: u64, kind: Kind) -> SellingMarket {
    let config = Config {
        fresh: 6,
        ..Config::new(40, 30)
    };
    SellingMarket::of(seed, kind, &config)
}

/// With haggling buyers, what was sold is what the other market of this seed
/// sold; what is on hand comes on top.
#[test]
fn own_sales_are_those_of_the_market() {
    let ours = market(3, Kind::Haggling);
    let theirs = Market::of(3, &Config::new(40, 30));
    assert_eq!(ours.sales[..40], theirs.sales[..]);
    assert_eq!(ours.comps, theirs.comps);
    assert!(ours.sales[40..].iter().all(|sale| sale.sold.is_none()));
    let again = market(3, Kind::Haggling);
    assert_eq!(ours.asks, again.asks);
}

/// Mark-downs fall, from below the first ask on, while the bike stood; and about
/// a tenth each month.
#[test]
fn mark_downs_stand_within_their_listing() {
    let (mut changes, mut on_hand) = (0, 0);
    for kind in KINDS {
        for seed in 0..8 {
            let market = market(seed, kind);
            on_hand += market.sales.iter().filter(|s| s.sold.is_none()).count();
            for sale in &market.sales {
                let rows: Vec<_> = market.asks.iter().filter(|a| a.bike == sale.id).collect();
                let Some((mut on, mut ask)) = sale.listed_on.zip(sale.ask) else {
                    assert!(rows.is_empty());
                    continue;
                };
                for row in rows {
                    assert!(row.ask < ask, "{row:?}");
                    let wait = days_between(on, row.on);
                    assert!((26..=69).contains(&wait), "{row:?} after {wait} days");
                    (on, ask) = (row.on, row.ask);
                    changes += 1;
                }
                let end = sale.sold.map_or(market.as_of, |sold| sold.on);
                assert!(on <= end);
                // No mark-down was forgotten: a tenth each 27 to 34 days (asks of
                // small bikes may round to the same figure once).
                assert!(days_between(on, end) <= 69);
                if let Some(sold) = sale.sold {
                    assert!(sold.price <= ask, "{sale:?}");
                }
            }
        }
    }
    assert!(changes > 100 && on_hand > 10, "{changes} {on_hand}");
}

/// The closed form of Student's t against its density (Simpson's rule, 40,000
/// pieces up to t = 400, where 2e-11 is left), and two normal quantiles (0.975
/// and 0.8413447460685429, from memory).
#[test]
fn chances_of_the_tastes_are_right() {
    for t in [-3.0, -0.4, 0.0, 0.7, 2.0, 6.0] {
        let pieces = 40_000;
        let width = (400.0 - t) / f64::from(pieces);
        let sum: f64 = (0..=pieces)
            .map(|i| {
                let weight = if i == 0 || i == pieces {
                    1.0
                } else {
                    2.0 + 2.0 * f64::from(i % 2)
                };
                weight * student_density(t + width * f64::from(i))
            })
            .sum();
        assert_near("t", student_above(t), sum * width / 3.0, 1e-9);
    }
    assert_near("normal", normal_above(-1.959963984540054), 0.975, 1e-7);
    assert_near("normal", normal_above(1.0), 1.0 - 0.8413447460685429, 1e-7);
}

/// One policy for many buyers of the market's own code, beside the exact figures:
/// within 4 standard errors. Prices are paid in whole units there; the room for
/// that is 0.02 units (their fractions are spread almost evenly).
#[test]
fn exact_figures_are_those_of_the_market() {
    for kind in KINDS {
        let market = market(5, kind);
        let demand = Demand::of(&market.world.buyers);
        let mut rng = stream(99, 0);
        let prospects = Prospect::all(&demand, &market);
        for (number, (fresh, prospect)) in market.fresh.iter().zip(&prospects).enumerate() {
            let worth = prospect.worth;
            let policy = match number % 3 {
                0 => falling(1.03 * worth, 0.1, 30.0),
                1 => each_fortnight(worth),
                _ => Policy::new(vec![
                    (0.0, 1.2 * worth),
                    (10.4, 1.08 * worth),
                    (75.0, 0.9 * worth),
                ]),
            };
            let asks = Asks {
                ask: &|day| policy.ask(day),
                reserve: RESERVE,
                patience: DAYS as f64,
            };
            let runs = 20_000;
            let (mut sum, mut squares, mut sold, mut days) = (0.0, 0.0, [0; 4], 0.0);
            let from = market.world.as_of;
            for _ in 0..runs {
                let end = asks.offer(&mut rng, &market.world, &fresh.truth, from);
                let day = end.day() - from;
                let price = match end {
                    End::Sold { price, .. } => price,
                    End::Withdrawn { .. } => prospect.left,
                };
                let value = price * KEEPS.powf(day / 7.0);
                sum += value;
                squares += value * value;
                days += day;
                if let End::Sold { .. } = end {
                    for (count, within) in sold.iter_mut().zip(WITHIN) {
                        *count += usize::from(day < within as f64);
                    }
                }
            }
            let n = f64::from(runs);
            let exact = prospect.outcome(&policy);
            let error = ((squares / n - (sum / n).powi(2)) / n).sqrt();
            assert_near(
                "present value",
                exact.present_value,
                sum / n,
                4.0 * error + 0.02,
            );
            // The days' spread is below 60.
            assert_near("days", exact.days, days / n, 4.0 * 60.0 / n.sqrt());
            for (chance, count) in exact.within.iter().zip(sold) {
                let share = count as f64 / n;
                let error = (chance * (1.0 - chance) / n).sqrt();
                assert_near("within", *chance, share, 4.0 * error + 1e-4);
            }
        }
    }
}

/// Three asks in four weeks: every way of asking tried, with and without a
/// limit on the cuts.
#[test]
fn the_best_plan_is_the_best_of_all() {
    let mut rng = stream(8, 0);
    for _ in 0..50 {
        let periods: Vec<Vec<Stretch>> = (0..4)
            .map(|_| {
                (0..3)
                    .map(|j| {
                        let unsold = rng.random_range(0.2..0.9);
                        Stretch {
                            price: 0.0,
                            gain: (1.0 - unsold) * (80.0 + 15.0 * f64::from(j)),
                            unsold,
                            carry: 0.99 * unsold,
                        }
                    })
                    .collect()
            })
            .collect();
        let value = |places: &[usize]| {
            let (mut sum, mut carry) = (0.0, 1.0);
            for (period, place) in periods.iter().zip(places) {
                sum += carry * period[*place].gain;
                carry *= period[*place].carry;
            }
            sum + carry * 60.0
        };
        for limit in [None, Some(0), Some(1), Some(2)] {
            let mut top = f64::NEG_INFINITY;
            for code in 0..81 {
                let places = [code / 27, code / 9 % 3, code / 3 % 3, code % 3];
                let falls = places.windows(2).all(|w| w[0] >= w[1]);
                let cuts = places.windows(2).filter(|w| w[0] != w[1]).count();
                if falls && limit.is_none_or(|limit| cuts <= limit) {
                    top = top.max(value(&places));
                }
            }
            let (chosen, found) = solve(&periods, 60.0, limit);
            assert_near("value", found, top, SAME_NUMBER * 100.0);
            assert_near("plan", value(&chosen), top, SAME_NUMBER * 100.0);
        }
    }
}

/// The best plan is worth what it says, and no plan of weekly asks on the same
/// price points beats it: plain rules, and 3,000 drawn plans a bike.
#[test]
fn nobody_beats_the_best_plan() {
    for kind in KINDS {
        let market = market(6, kind);
        let demand = Demand::of(&market.world.buyers);
        let mut rng = stream(7, 0);
        for prospect in Prospect::all(&demand, &market) {
            let best = best(&prospect, None);
            let worth = |policy: &Policy| prospect.outcome(policy).present_value;
            // A sum of some 200 products.
            assert_near(
                "best",
                worth(&best.policy),
                best.present_value,
                1e-9 * best.present_value,
            );
            let asks = points(prospect.worth);
            for _ in 0..3_000 {
                let mut weekly = vec![asks[rng.random_range(0..asks.len())]];
                while weekly.len() < WEEKS {
                    let last = weekly[weekly.len() - 1];
                    let lower: Vec<f64> = asks.iter().copied().filter(|a| *a < last).collect();
                    let cut = rng.random_bool(0.1) && !lower.is_empty();
                    weekly.push(if cut {
                        lower[lower.len() - 1 - pick(&mut rng, &vec![1.0; lower.len().min(5)])]
                    } else {
                        last
                    });
                }
                assert!(worth(&Policy::weekly(&weekly)) <= best.present_value * (1.0 + 1e-12));
            }
        }
    }
}

/// Half the step brings less than a tenth of a percent more: the best plan on
/// the price points is the best there is, as far as matters here.
#[test]
fn finer_price_points_bring_next_to_nothing() {
    for kind in KINDS {
        let market = market(9, kind);
        let demand = Demand::of(&market.world.buyers);
        for prospect in Prospect::all(&demand, &market) {
            let asks = points(prospect.worth);
            let halves: Vec<f64> = asks.windows(2).map(|w| 0.5 * (w[0] + w[1])).collect();
            let mut finer = [asks, halves].concat();
            finer.sort_by(f64::total_cmp);
            let (coarse, fine) = (best(&prospect, None), best_on(&prospect, &finer, None));
            let more = fine.present_value / coarse.present_value - 1.0;
            assert!((0.0..0.001).contains(&more), "{more}");
        }
    }
}

#[test]
fn price_points_are_near_two_percent() {
    for (value, step) in [
        (40.0, 1.0),
        (110.0, 2.0),
        (235.0, 5.0),
        (400.0, 10.0),
        (900.0, 20.0),
    ] {
        assert_eq!(step_for(value), step, "{value}");
    }
}

/// On one truth the climbing search finds what dynamic programming finds.
#[test]
fn the_search_reaches_the_best() {
    for kind in KINDS {
        let market = market(11, kind);
        let demand = Demand::of(&market.world.buyers);
        for prospect in Prospect::all(&demand, &market) {
            let alone = Belief {
                nodes: vec![prospect.clone()],
            };
            for (most, limit) in [(usize::MAX, None), (2, Some(2)), (0, Some(0))] {
                let found = prospect.outcome(&alone.best(most)).present_value;
                let best = best(&prospect, limit).present_value;
                assert!(found > 0.999 * best, "{found} of {best} with {most} cuts");
            }
        }
    }
}

/// On thirty truths the search comes to the same from a fall of one place each
/// week as from the best single ask, within a thousandth.
#[test]
fn the_search_is_the_same_from_elsewhere() {
    for kind in KINDS {
        let market = market(12, kind);
        let demand = Demand::of(&market.world.buyers);
        let mut rng = stream(12, 7);
        for fresh in &market.fresh {
            let belief = Belief::of(&mut rng, &demand, &market, &fresh.bike);
            let value = |policy: &Policy| belief.outcome(policy).present_value;
            let usual = value(&belief.best(usize::MAX));
            let other = value(&belief.best_from(usize::MAX, |_| std::array::from_fn(|week| week)));
            assert!((usual / other - 1.0).abs() < 0.001, "{usual} {other}");
        }
    }
}

/// The truths drawn for a record are spread as the record's own truth is: over
/// many bikes the true one lies in each fifth of its truths a fifth of the time.
/// 600 bikes: one standard error is 1.6 points.
#[test]
fn truths_of_a_record_are_like_the_true_one() {
    let config = Config {
        fresh: 600,
        ..Config::new(0, 0)
    };
    let market = SellingMarket::of(4, Kind::Haggling, &config);
    let world = &market.world;
    let mut rng = stream(4, 7);
    let mut fifths = [0; 5];
    for fresh in &market.fresh {
        let worth = |bike: &TrueBike| world.ln_worth(bike, world.as_of);
        let below = (0..99)
            .filter(|_| {
                let other = super::known::truth_of(&mut rng, &market, &fresh.bike);
                worth(&other) < worth(&fresh.truth)
            })
            .count();
        fifths[(below / 20).min(4)] += 1;
    }
    for count in fifths {
        assert!((120.0 - f64::from(count)).abs() < 4.0 * 9.8, "{fifths:?}");
    }
}
