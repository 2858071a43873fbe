//! A market of 60 comps of one kind, half of them seen in May 2025 at about 300, half in
//! April 2026 at about 150: what is said of its quarters, its months and its doubts.

use crate::support::records::{comp, in_memory, units};
use crate::support::tolerance::assert_near;
use jiff::ToSpan as _;
use wheelworth::pricing::design::features::{HALF_YEAR, SEASON, facts};
use wheelworth::pricing::market::cautions::MarketCaution;
use wheelworth::pricing::market::movement::{Factor, Period};
use wheelworth::pricing::market::takeaways::{Carries, Course, of_movement, of_records};
use wheelworth::pricing::market::{Market, MarketQuestion, market};
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::trade::calendar::quarter_number;
use wheelworth::trade::sale::Sold;
use wheelworth::trade::{Bike, Comparable, Condition, Currency, Day, Money, Sale, Style, Tier};

const AS_OF: Day = Day::constant(2026, 5, 2);
const THEN: Day = Day::constant(2025, 5, 10);
const NOW: Day = Day::constant(2026, 4, 20);

fn seen(each: i16) -> Vec<Comparable> {
    let one = |number: i16, day: Day, ask: i64| Comparable {
        bike: Bike {
            made: Some((day.year() - 8).into()),
            condition: Some(Condition::Rider),
            tier: Some(Tier::Sport),
            ..Bike::of(Style::Hybrid)
        },
        first_seen: Some(day),
        last_seen: Some(day),
        ..comp(
            format!("{day} {number}"),
            Style::Hybrid,
            units(ask + i64::from(number % 5)),
        )
    };
    let then = (0..each).map(|number| one(number, THEN, 298));
    let now = (0..each).map(|number| one(number, NOW, 148));
    then.chain(now).collect()
}

fn of(comps: &[Comparable]) -> Market {
    with_top(comps, 10)
}

fn with_top(comps: &[Comparable], top: usize) -> Market {
    of_all(&[], comps, top)
}

fn of_all(sales: &[Sale], comps: &[Comparable], top: usize) -> Market {
    let question = MarketQuestion {
        as_of: AS_OF,
        currency: Currency::from_code("EUR").unwrap(),
        style: None,
        top,
        level: 0.8,
    };
    market(&in_memory(sales, comps, &[]), Priors::shipped(), &question).unwrap()
}

#[test]
fn a_fall_by_half_is_seen_quarter_by_quarter() {
    let found = of(&seen(30));
    let quarters: Vec<i32> = found.movement.iter().map(|period| period.from).collect();
    let now = quarter_number(AS_OF);
    assert_eq!(quarters, (now - 4..=now).rev().collect::<Vec<_>>());
    let levels = found.movement.iter().map(|period| period.level);
    let levels: Vec<Factor> = levels.collect();
    let today = levels[0];
    assert_eq!((today.factor, today.low, today.high), (1.0, 1.0, 1.0));
    // Twice as dear then; the beliefs and May's own height keep it a little under that.
    let then = levels[4];
    assert!((1.6..2.05).contains(&then.factor), "{then:?}");
    assert!(
        then.low > 1.3 && then.low < then.factor && then.factor < then.high,
        "{then:?}"
    );
    assert_eq!(found.movement[4].rows.round(), 30.0);
    assert_eq!(of_movement(&found), Course::Fell(then));
    // The quarters between them, of which nothing is known, lie between the two.
    let between = levels
        .windows(2)
        .all(|pair| pair[0].factor < pair[1].factor);
    assert!(between, "{levels:?}");
}

/// Of three asks far from what is likely the two farthest are named, the farthest first,
/// in whatever order they were seen.
#[test]
fn the_farthest_asks_are_named() {
    let far = |name: &str, ask: i64| Comparable {
        listing: name.into(),
        ask: units(ask),
        ..seen(1).remove(0)
    };
    let odd = [
        far("a tenth", 30),
        far("a hundredth", 3),
        far("thirty times", 9_000),
    ];
    for order in [[0, 1, 2], [2, 1, 0], [1, 2, 0], [0, 2, 1]] {
        let mut comps = seen(30);
        comps.extend(order.map(|place: usize| odd[place].clone()));
        let found = with_top(&comps, 2).far.found;
        let names: Vec<&str> = found.iter().map(|one| one.listing.as_str()).collect();
        assert_eq!(names, ["a hundredth", "thirty times"], "{order:?}");
    }
}

#[test]
fn a_rise_is_no_fall() {
    let mut comps = seen(30);
    for one in &mut comps {
        let dear = one.first_seen == Some(NOW);
        one.ask = units(if dear { 298 } else { 148 });
    }
    assert!(matches!(of_movement(&of(&comps)), Course::Rose(_)));
}

#[test]
fn a_season_counts_the_months_that_have_prices() {
    let season = of(&seen(30)).season.unwrap();
    assert_eq!(season.months_seen, 2);
    // The wave is told against the mean of the year, which it does not move.
    let days = [
        31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0,
    ];
    let months = season.months.iter().zip(days);
    let mean: f64 = months.map(|(month, days)| days * month.factor.ln()).sum();
    assert_near("the mean of the year", mean / 365.0, 0.0, 1e-9);
}

#[test]
fn how_far_the_records_carry() {
    let carries = |sold: i64, comps: usize| {
        let comps = &seen(10)[..comps];
        of_records(&of_all(&falling(sold, 30, 0.99, THEN), comps, 10))
    };
    assert_eq!(carries(0, 0), Carries::Nothing);
    assert_eq!(carries(1, 0), Carries::NoComps);
    assert_eq!(carries(0, 1), Carries::FewComps);
    assert_eq!(carries(5, 19), Carries::FewComps);
    assert_eq!(carries(4, 20), Carries::FewSales);
    assert_eq!(carries(5, 20), Carries::Enough);
}

#[test]
fn few_prices_are_doubted_and_enough_are_not() {
    let few = |market: &Market| {
        let mut cautions = market.cautions.iter();
        cautions.any(|caution| matches!(caution, MarketCaution::FewComps { .. }))
    };
    assert!(few(&of(&seen(9))));
    assert!(!few(&of(&seen(10))));
    let period = |rows: f64| Period {
        from: 8105,
        to: 8105,
        rows,
        level: Factor {
            factor: 1.0,
            low: 0.9,
            high: 1.1,
        },
    };
    assert!(period(4.9).rests_on_prior());
    assert!(!period(5.0).rests_on_prior());
}

/// Like bikes, one sold every `apart` days until `last`, each for `less` of the one before.
fn falling(count: i64, apart: i64, less: f64, last: Day) -> Vec<Sale> {
    let sale = |ago: i64| {
        let day = last.saturating_sub((apart * ago).days());
        let price = (20_000.0 / less.powi(ago as i32)) as i64;
        let mut bike = Bike::of(Style::Hybrid);
        bike.made = Some((day.year() - 8).into());
        bike.condition = Some(Condition::Rider);
        bike.tier = Some(Tier::Sport);
        Sale {
            listed_on: Some(day),
            sold: Some(Sold {
                on: day,
                price: Money::from_minor(price),
            }),
            ..Sale::of(format!("S{ago}"), bike)
        }
    };
    (0..count).map(sale).collect()
}

/// ln of what a bike of eight years is worth on a day, less the season's part.
fn without_season(sales: &[Sale]) -> impl Fn(Day) -> f64 + use<> {
    let currency = Currency::from_code("EUR").unwrap();
    let model = ValueModel {
        priors: Priors::shipped(),
        settings: ValueSettings {
            as_of: AS_OF,
            currency,
            without: None,
        },
    };
    let fitted = model
        .fit(&in_memory(sales, &[], &[]), &mut Unobserved)
        .unwrap();
    let mut bike = sales[0].bike;
    bike.made = Some((AS_OF.year() - 8).into());
    let bike = facts(&bike, AS_OF, &currency);
    move |day| {
        let mut x = vec![0.0; fitted.coding.width()];
        fitted.coding.row(&bike, day, None, &mut x);
        let waves = SEASON.chain(HALF_YEAR);
        let season: f64 = waves
            .map(|column| x[column] * fitted.coefficients[column])
            .sum();
        fitted.value_on(&bike, day).0 - season
    }
}

/// Like bikes sold for 2 % less each month for two years, the last a hundred days ago:
/// what has fallen all the time is taken to have gone on falling. By then it would be
/// 0.98^3.3 = 0.936 of the last price; a market of steps alone would have it stand.
#[test]
fn what_fell_all_the_time_goes_on_falling() {
    let last = AS_OF.saturating_sub(100.days());
    let on = without_season(&falling(24, 30, 1.0 / 1.02, last));
    let fell = (on(AS_OF) - on(last)).exp();
    assert!((0.90..0.97).contains(&fell), "{fell}");
}

/// The market's level in a quarter that is over is what a price of its middle says, in this
/// one today's: for the three years over which the market has a line and for those before.
#[test]
fn a_quarter_is_told_as_a_price_of_its_middle_is() {
    let sales = falling(27, 80, 0.97, AS_OF.saturating_sub(20.days()));
    let on = without_season(&sales);
    let found = of_all(&sales, &[], 10);
    let now = quarter_number(AS_OF);
    assert!(found.movement.len() > 13, "{}", found.movement.len());
    for period in &found.movement {
        // 46 days into it, as its last quarter is told.
        let year = i16::try_from(period.to.div_euclid(4)).unwrap();
        let month = i8::try_from(period.to.rem_euclid(4) * 3 + 1).unwrap();
        let middle = Day::constant(year, month, 1).saturating_add(46.days());
        let day = if period.to == now { AS_OF } else { middle };
        let expected = (on(day) - on(AS_OF)).exp();
        assert_near(&period.label(), period.level.factor, expected, 1e-9);
    }
}
