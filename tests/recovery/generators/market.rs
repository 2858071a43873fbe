//! The simulated market and its oracle.

use super::{euro, mean, mean_and_error, median, share};
use crate::recovery::market::{Config, FreshBike, Market, oracle};
use wheelworth::trade::{Comparable, Outcome, Sale, Style, Years};

fn markets(seeds: std::ops::Range<u64>, config: &Config) -> Vec<Market> {
    seeds.map(|seed| Market::of(seed, config)).collect()
}

/// ln(sale price / oracle's price).
fn miss(fresh: &FreshBike) -> f64 {
    (euro().units(fresh.sale_price) / fresh.oracle).ln()
}

#[test]
fn a_seed_is_a_market() {
    let config = Config::new(40, 200);
    let (once, again, other) = (
        Market::of(7, &config),
        Market::of(7, &config),
        Market::of(8, &config),
    );
    assert_eq!(once.sales, again.sales);
    assert_eq!(once.comps, again.comps);
    assert_eq!(once.fresh[39].sale_price, again.fresh[39].sale_price);
    assert_ne!(once.sales, other.sales);
    assert_eq!(
        (once.sales.len(), once.comps.len(), once.fresh.len()),
        (40, 200, 40)
    );
    assert_eq!(once.as_of, "2026-05-01".parse().unwrap());
}

#[test]
fn more_comps_leave_the_rest_of_a_market_as_it_is() {
    let (few, many) = (
        Market::of(3, &Config::new(15, 30)),
        Market::of(3, &Config::new(15, 200)),
    );
    assert_eq!(few.sales, many.sales);
    assert_eq!(few.fresh[0].sale_price, many.fresh[0].sale_price);
    let bare = |row: &Comparable| Comparable {
        listing: String::new(),
        ..row.clone()
    };
    let all: Vec<Comparable> = many.comps.iter().map(bare).collect();
    assert!(few.comps.iter().map(bare).all(|row| all.contains(&row)));
}

#[test]
fn every_record_could_be_true() {
    for market in markets(0..20, &Config::new(40, 300)) {
        for Sale {
            bike,
            listed_on,
            sold,
            ask,
            ..
        } in &market.sales
        {
            let sold = sold.unwrap();
            assert!(sold.on <= market.as_of && listed_on.is_none_or(|listed| listed <= sold.on));
            assert!(ask.is_none_or(|ask| sold.price <= ask));
            assert!(bike.made.is_none_or(|made| made.last() <= sold.on.year()));
        }
        for comp in &market.comps {
            let (first, last) = (comp.first_seen.unwrap(), comp.last_seen.unwrap());
            assert!(first <= last && last <= market.as_of, "{comp:?}");
            assert!(
                comp.listed_on.is_none_or(|listed| listed <= first),
                "{comp:?}"
            );
            assert!(
                comp.ended_on
                    .is_none_or(|ended| first <= ended && ended <= last),
                "{comp:?}"
            );
            assert!(
                comp.bike
                    .made
                    .is_none_or(|made| made.last() <= first.year()),
                "{comp:?}"
            );
            assert!(
                comp.last_ask
                    .is_none_or(|ask| ask <= comp.ask && ask.minor() > 0),
                "{comp:?}"
            );
            assert!(
                comp.sold_price.is_none() || comp.outcome == Outcome::Sold,
                "{comp:?}"
            );
        }
    }
}

#[test]
fn comps_are_noted_less_carefully_than_own_bikes() {
    let all = markets(0..50, &Config::new(60, 200));
    let own: Vec<&Sale> = all.iter().flat_map(|market| &market.sales).collect();
    let comps: Vec<&Comparable> = all.iter().flat_map(|market| &market.comps).collect();
    // Chances as set in market::records; 3,000 own bikes, 10,000 comps.
    let near = |share: f64, chance: f64, rows: f64| {
        let error = (chance * (1.0 - chance) / rows).sqrt();
        assert!((share - chance).abs() < 4.0 * error, "{share} for {chance}");
    };
    near(share(&own, |sale| sale.bike.made.is_none()), 0.05, 3_000.0);
    near(
        share(&own, |sale| sale.bike.new_price.is_none()),
        0.50,
        3_000.0,
    );
    near(share(&own, |sale| sale.listed_on.is_none()), 0.05, 3_000.0);
    near(
        share(&comps, |comp| comp.bike.made.is_none()),
        0.18,
        10_000.0,
    );
    near(
        share(&comps, |comp| comp.bike.tier.is_none()),
        0.12,
        10_000.0,
    );
    near(
        share(&comps, |comp| comp.bike.seat_tube.is_none()),
        0.30,
        10_000.0,
    );
    near(
        share(&comps, |comp| comp.listed_on.is_none()),
        0.40,
        10_000.0,
    );
    // What follows from the sellers' and buyers' ways has no set share: wide
    // brackets around what seeds 0..50 show (gone .71, listed .10, sold .12,
    // withdrawn .06, sale price known .03, last ask lower .16).
    let outcome = |is: Outcome| share(&comps, |comp| comp.outcome == is);
    assert!((0.60..0.80).contains(&outcome(Outcome::Gone)));
    for other in [Outcome::Listed, Outcome::Sold, Outcome::Withdrawn] {
        assert!((0.04..0.20).contains(&outcome(other)), "{other}");
    }
    assert!((0.01..0.06).contains(&share(&comps, |comp| comp.sold_price.is_some())));
    assert!((0.10..0.30).contains(&share(&comps, |comp| {
        comp.last_ask.is_some_and(|last| last < comp.ask)
    })));
    let twice = |market: &Market| {
        let same = |a: &Comparable, b: &Comparable| {
            a.bike == b.bike && a.first_seen == b.first_seen && a.ask == b.ask
        };
        market
            .comps
            .windows(2)
            .filter(|pair| same(&pair[0], &pair[1]))
            .count() as f64
    };
    let pairs: f64 = all.iter().map(twice).sum();
    assert!((0.01..0.05).contains(&(pairs / 10_000.0)), "{pairs}");
}

#[test]
fn asks_lean_high_and_what_stays_leans_most() {
    let all = markets(0..200, &Config::new(40, 200));
    // Against own sale prices of like bikes: style and recorded condition equal.
    let like = |style: Style, condition| {
        let sales = all.iter().flat_map(|market| &market.sales);
        let like =
            sales.filter(move |sale| sale.bike.style == style && sale.bike.condition == condition);
        mean(
            &like
                .map(|sale| euro().units(sale.sold.unwrap().price).ln())
                .collect::<Vec<_>>(),
        )
    };
    let rider = wheelworth::trade::Condition::from_grade(3);
    let levels: Vec<f64> = Style::ALL.iter().map(|style| like(*style, rider)).collect();
    let premium = |outcome: Outcome| {
        let comps = all.iter().flat_map(|market| &market.comps);
        let fit = comps.filter(|comp| comp.outcome == outcome && comp.bike.condition == rider);
        let over = |comp: &Comparable| {
            euro().units(comp.standing_ask()).ln() - levels[comp.bike.style.index()]
        };
        median(fit.map(over).collect())
    };
    let (gone, sold) = (premium(Outcome::Gone), premium(Outcome::Sold));
    let (listed, withdrawn) = (premium(Outcome::Listed), premium(Outcome::Withdrawn));
    assert!(sold > 0.0 && gone > sold, "sold {sold:.3}, gone {gone:.3}");
    assert!(
        listed > gone && withdrawn > gone,
        "listed {listed:.3}, withdrawn {withdrawn:.3}"
    );
}

#[test]
fn the_user_sells_a_little_below_his_ask() {
    let all = markets(0..50, &Config::new(60, 0));
    let own: Vec<&Sale> = all.iter().flat_map(|market| &market.sales).collect();
    let haggle = own
        .iter()
        .filter_map(|sale| Some((euro().units(sale.sold?.price) / euro().units(sale.ask?)).ln()));
    let days = own
        .iter()
        .filter_map(|sale| Some(f64::from((sale.sold?.on - sale.listed_on?).get_days())));
    // Seen: -0.036 and 13 days.
    assert!((-0.08..-0.01).contains(&median(haggle.collect())));
    assert!((7.0..25.0).contains(&median(days.collect())));
}

/// 200,000 fresh sales over 2,500 markets: the oracle's mean error is 0 overall,
/// and whatever the record says or leaves out.
#[test]
fn oracle_is_the_mean() {
    let config = Config {
        fresh: 80,
        ..Config::new(0, 0)
    };
    let fresh: Vec<FreshBike> = markets(0..2_500, &config)
        .into_iter()
        .flat_map(|market| market.fresh)
        .collect();
    let check = |name: &str, fits: &dyn Fn(&FreshBike) -> bool| {
        let misses: Vec<f64> = fresh.iter().filter(|bike| fits(bike)).map(miss).collect();
        let (mean, error) = mean_and_error(&misses);
        // 0.004 for prices on round figures, which the haggling cells average
        // over cheap and dear bikes alike (0.5 on a kids' bike of 40 is 0.012).
        assert!(
            misses.len() > 500 && mean.abs() < 4.0 * error + 0.004,
            "{name}: {mean:.4} ± {error:.4}"
        );
    };
    check("all", &|_| true);
    for style in Style::ALL {
        check(style.word(), &|fresh| fresh.bike.style == *style);
    }
    for grade in 1..=5 {
        check("condition", &|fresh| {
            fresh.bike.condition.is_some_and(|c| c.grade() == grade)
        });
        check("tier", &|fresh| {
            fresh.bike.tier.is_some_and(|t| t.grade() == grade)
        });
    }
    check("no year", &|fresh| fresh.bike.made.is_none());
    check("no condition", &|fresh| fresh.bike.condition.is_none());
    check("no tier", &|fresh| fresh.bike.tier.is_none());
    check("no seat tube", &|fresh| fresh.bike.seat_tube.is_none());
    check("no new price", &|fresh| fresh.bike.new_price.is_none());
    check("dear when new", &|fresh| {
        fresh
            .bike
            .new_price
            .is_some_and(|new| new.minor() > 150_000)
    });
    check("cheap when new", &|fresh| {
        fresh.bike.new_price.is_some_and(|new| new.minor() < 30_000)
    });
    for decade in 1..5 {
        let of_decade = |made: Years| (2026 - made.first()) / 10 == decade;
        check("decade", &|fresh| fresh.bike.made.is_some_and(of_decade));
    }
    for size in 0..5 {
        check("size", &|fresh| {
            fresh.bike.size().is_some_and(|class| class.index() == size)
        });
    }
    // The noise that nobody can foresee: realistic for used goods.
    let off = |fresh: &FreshBike| (fresh.oracle / euro().units(fresh.sale_price) - 1.0).abs();
    let mdape = median(fresh.iter().map(off).collect());
    assert!((0.09..0.13).contains(&mdape), "{mdape:.4}"); // seen: 0.112
}

/// A doubled population of its own seed moves the oracle by next to nothing.
#[test]
fn oracle_stands_when_its_population_is_doubled() {
    let config = Config::new(0, 0);
    let doubled = oracle::simulate_haggling(&config, 2 * oracle::POPULATION, 2);
    let pairs = oracle::haggling(&config)
        .into_iter()
        .flatten()
        .zip(doubled.into_iter().flatten());
    let moves: Vec<f64> = pairs.map(|(once, twice)| (once - twice).abs()).collect();
    // One cell: sd of the haggling about 0.1, 4,444 and 8,889 sales: 0.0018;
    // the largest of 45 within 4 of that.
    assert!(moves.iter().all(|moved| *moved < 0.0075), "{moves:?}");
    assert!(mean(&moves) < 0.003, "{}", mean(&moves));
}

#[test]
fn a_dearer_market_is_the_same_market() {
    let plain = Market::of(5, &Config::new(20, 20));
    let dear = Market::of(
        5,
        &Config {
            level: 10.0,
            ..Config::new(20, 20)
        },
    );
    for (plain, dear) in plain.sales.iter().zip(&dear.sales) {
        assert_eq!(
            plain.sold.unwrap().price.minor() * 10,
            dear.sold.unwrap().price.minor()
        );
    }
    assert!((dear.fresh[0].oracle / plain.fresh[0].oracle - 10.0).abs() < 1e-9);
}
