//! Laws of the value model, on simulated books.

use crate::recovery::from_model::{Parameters, Simulated, simulate};
use crate::support::records::in_memory;
use crate::support::tolerance::{assert_all_close, assert_near};
use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;
use wheelworth::pricing::design::base::standard_base;
use wheelworth::pricing::design::features::{self, facts};
use wheelworth::pricing::quote::{PriceQuestion, Quote, Source, quote};
use wheelworth::pricing::records::curve;
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::fitted::FittedValue;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::trade::{Bike, Condition, Currency, Money, Style, Tier};

/// Two fits of the same rows: sums in another order, and a pilot that stops when
/// nothing moves by more than 1e-6, at the same round.
const SAME_FIT: f64 = 1e-9;

/// A currency of which no level is believed, so that the records alone tell it.
fn money() -> Currency {
    Currency::from_code("THB").unwrap()
}

/// Books of several sizes, among them none with own sales and none with comps.
fn books() -> Vec<Simulated> {
    [
        (0, 60),
        (3, 0),
        (6, 40),
        (15, 0),
        (15, 100),
        (40, 200),
        (40, 30),
    ]
    .into_iter()
    .zip(100..)
    .map(|((own, comps), seed)| simulate(seed, &Parameters::default(), own, comps, 12))
    .collect()
}

fn records(book: &Simulated) -> InMemory {
    in_memory(&book.sales, &book.comps, &[])
}

/// The curve by age goes from new to the oldest age in even steps, and at the bike's own
/// age it is the bike's own value and range.
#[test]
fn the_curve_by_age_goes_through_the_bike() {
    let book = &books()[5];
    let model = fit(book, &records(book));
    let fresh = book.fresh.iter().map(|(bike, _)| bike);
    for bike in fresh.filter(|bike| bike.made.is_some()) {
        let age = bike.age(book.as_of).unwrap();
        let points = curve::value_by_age(&model, bike, age, 0.8);
        let step = age / (points.len() - 1) as f64;
        for (n, (at, low, median, high)) in points.iter().enumerate() {
            assert_near("age", *at, n as f64 * step, 1e-9);
            assert!(0.0 < *low && low < median && median < high);
        }
        let (_, low, median, high) = points[points.len() - 1];
        let own = answer(book, &model, bike).map(f64::exp);
        assert_all_close("own age", &[median, low, high], &own, SAME_FIT);
    }
}

/// The points of the chart: a sale moved to a bike keeps what it was above or below its
/// own value, so two bikes' points differ by the factor of their values at that age.
#[test]
fn points_of_the_chart_keep_their_surprise() {
    let book = &books()[5];
    let model = fit(book, &records(book));
    let of_style = |style| {
        book.sales
            .iter()
            .filter(move |sale| sale.bike.style == style)
    };
    let bike = book.sales[0].bike;
    let better = Bike {
        condition: Some(Condition::Mint),
        tier: Some(Tier::Race),
        ..bike
    };
    let plain = Bike {
        condition: Some(Condition::Project),
        tier: Some(Tier::Basic),
        ..bike
    };
    let [high, low] = [better, plain].map(|bike| curve::sales_as(&model, &bike, &book.sales));
    let at = |bike: &Bike, age: f64| curve::value_by_age(&model, bike, age, 0.8).pop().unwrap().2;
    let dated = of_style(bike.style).filter(|sale| sale.bike.made.is_some());
    assert!(
        dated.count() == high.len() && high.len() > 3,
        "{}",
        high.len()
    );
    for ((age, dear), (_, cheap)) in high.iter().zip(&low) {
        let factor = at(&better, *age) / at(&plain, *age);
        assert!(factor > 1.5, "{factor}");
        assert_near("factor", dear / cheap, factor, SAME_FIT);
    }
    // Moved to itself, a sale moves by the market from its day to today alone.
    for sale in of_style(bike.style).filter(|sale| sale.bike.made.is_some()) {
        let on = sale.priced_on().unwrap();
        let own = facts(&sale.bike, on, &money());
        let market = model.ln_value(&own) - model.value_on(&own, on).0;
        let there = curve::sales_as(&model, &sale.bike, std::slice::from_ref(sale))[0].1;
        let price = money().units(sale.sold.unwrap().price);
        assert_near("market", (there / price).ln(), market, SAME_FIT);
    }
}

fn fit(book: &Simulated, records: &InMemory) -> FittedValue {
    fit_in(money(), book, records)
}

fn fit_in(currency: Currency, book: &Simulated, records: &InMemory) -> FittedValue {
    let model = ValueModel {
        priors: Priors::shipped(),
        settings: ValueSettings {
            as_of: book.as_of,
            currency,
            without: None,
        },
    };
    model.fit(records, &mut Unobserved).unwrap()
}

/// ln of the value, and of the ends of the 80 % range.
fn answer(book: &Simulated, model: &FittedValue, bike: &Bike) -> [f64; 3] {
    let here = facts(bike, book.as_of, &money());
    let (low, high) = model.range(&here, 0.8);
    [model.ln_value(&here), low, high]
}

fn ask(book: &Simulated, model: &FittedValue, bike: &Bike, level: f64) -> Quote {
    let question = PriceQuestion {
        id: None,
        bike: *bike,
        cost: None,
        guess: None,
        hours: None,
        level,
        before: None,
        stood: None,
    };
    let base = standard_base(book.as_of);
    quote(
        &Source::Fitted(model),
        Priors::shipped(),
        &question,
        &base,
        None,
    )
}

#[test]
fn order_of_rows_does_not_matter() {
    for (seed, book) in (1..).zip(books()) {
        let mut mixed = records(&book);
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        mixed.sales.shuffle(&mut rng);
        mixed.comps.shuffle(&mut rng);
        let (one, other) = (fit(&book, &records(&book)), fit(&book, &mixed));
        for (bike, _) in &book.fresh {
            let (one, other) = (answer(&book, &one, bike), answer(&book, &other, bike));
            assert_all_close("ln price", &one, &other, SAME_FIT);
        }
    }
}

#[test]
fn a_market_ten_times_dearer_is_ten_times_dearer() {
    let dearer = |money: &mut Money| *money = Money::from_minor(10 * money.minor());
    for book in books() {
        let mut tenfold = records(&book);
        for sale in &mut tenfold.sales {
            sale.bike.new_price.as_mut().map(dearer);
            sale.ask.as_mut().map(dearer);
            if let Some(sold) = sale.sold.as_mut() {
                dearer(&mut sold.price);
            }
        }
        for (comp, _) in &mut tenfold.comps {
            comp.bike.new_price.as_mut().map(dearer);
            dearer(&mut comp.ask);
            comp.last_ask.as_mut().map(dearer);
            comp.sold_price.as_mut().map(dearer);
        }
        let (one, other) = (fit(&book, &records(&book)), fit(&book, &tenfold));
        for (bike, _) in &book.fresh {
            let mut same = *bike;
            same.new_price.as_mut().map(dearer);
            let (one, other) = (answer(&book, &one, bike), answer(&book, &other, &same));
            for (low, high) in one.iter().zip(other) {
                // The level's belief moves with the records; what is left is rounding.
                assert_near("shift", high - low, 10_f64.ln(), 1e-8);
            }
        }
    }
}

#[test]
fn a_listing_seen_twice_at_half_weight_is_one_listing() {
    // One of every three, and all of them; three times at a third too.
    for (every, times) in [(3, 2), (1, 2), (1, 3)] {
        for book in books() {
            let mut again = records(&book);
            let listings = again.comps.iter().enumerate();
            let listings = listings.flat_map(|(place, (comp, _))| {
                let times = if place % every == 0 { times } else { 1 };
                std::iter::repeat_n((comp.clone(), 1.0 / times as f64), times)
            });
            again.comps = listings.collect();
            let (one, other) = (fit(&book, &records(&book)), fit(&book, &again));
            for (bike, _) in &book.fresh {
                let (one, other) = (answer(&book, &one, bike), answer(&book, &other, bike));
                assert_all_close("ln price", &one, &other, SAME_FIT);
            }
        }
    }
}

#[test]
fn contributions_add_up_and_quantiles_are_in_order() {
    for book in books() {
        let model = fit(&book, &records(&book));
        for (bike, _) in &book.fresh {
            let quote = ask(&book, &model, bike, 0.8);
            let value = quote.value.unwrap();
            assert!(value.low < value.median && value.median < value.high);
            assert!(value.low < value.expected && value.expected < value.high);
            let base = quote.base.unwrap().1;
            let amounts: Money = quote.contributions.iter().map(|c| c.amount).sum();
            assert_eq!([base, amounts].into_iter().sum::<Money>(), value.median);
            let factors: f64 = quote.contributions.iter().map(|c| c.factor).product();
            let product = base.minor() as f64 * factors;
            // Base and median are rounded to whole cents.
            assert_near(
                "product",
                product,
                value.median.minor() as f64,
                0.5 + 0.5 * factors,
            );
        }
    }
}

#[test]
fn a_wider_level_gives_a_wider_range() {
    for book in books() {
        let model = fit(&book, &records(&book));
        for (bike, _) in &book.fresh {
            let mut last = ask(&book, &model, bike, 0.05).value.unwrap();
            for level in [0.5, 0.8, 0.95, 0.999] {
                let value = ask(&book, &model, bike, level).value.unwrap();
                assert_eq!(value.median, last.median);
                assert!(value.low < last.low && value.high > last.high, "{level}");
                last = value;
            }
        }
    }
}

/// Every bike of `book` in every style, with its features from lowest to highest.
fn rising(book: &Simulated, set: impl Fn(&mut Bike, u8)) -> Vec<Vec<Bike>> {
    let bikes = book.fresh.iter().map(|(bike, _)| *bike);
    let styled = bikes.flat_map(|bike| {
        Style::ALL.iter().map(move |style| Bike {
            style: *style,
            ..bike
        })
    });
    let graded = styled.map(|bike| {
        (1..=5)
            .map(|grade| {
                let mut graded = bike;
                set(&mut graded, grade);
                graded
            })
            .collect()
    });
    graded.collect()
}

#[track_caller]
fn never_falls(book: &Simulated, model: &FittedValue, bikes: &[Bike]) {
    let values: Vec<f64> = bikes
        .iter()
        .map(|bike| answer(book, model, bike)[0])
        .collect();
    // Rounding of the same coefficients.
    let falls = values.windows(2).any(|pair| pair[1] < pair[0] - 1e-12);
    assert!(!falls, "{values:?} for {:?}", bikes[0]);
}

#[test]
fn better_condition_is_never_cheaper() {
    for book in books() {
        let model = fit(&book, &records(&book));
        for bikes in rising(&book, |bike, grade| {
            bike.condition = Condition::from_grade(grade);
        }) {
            never_falls(&book, &model, &bikes);
        }
    }
}

#[test]
fn a_higher_tier_is_never_cheaper() {
    // Without a new price: beside one, a higher tier also says that the bike is
    // less dear new than its like.
    for book in books() {
        let model = fit(&book, &records(&book));
        let set = |bike: &mut Bike, grade| {
            bike.tier = Tier::from_grade(grade);
            bike.new_price = None;
        };
        for bikes in rising(&book, set) {
            never_falls(&book, &model, &bikes);
        }
    }
}

/// Bikes are believed to be dearest in May; where southern money is paid, in November.
#[test]
fn in_the_south_spring_is_half_a_year_later() {
    let wave = |code: &str, place: f64| {
        let currency = Currency::from_code(code).unwrap();
        let beliefs = Priors::shipped().beliefs_in(&currency);
        let angle = std::f64::consts::TAU * place;
        let of = |columns: std::ops::Range<usize>, angle: f64| {
            beliefs[columns.start].mean * angle.sin()
                + beliefs[columns.start + 1].mean * angle.cos()
        };
        of(features::SEASON, angle) + of(features::HALF_YEAR, 2.0 * angle)
    };
    let (may, november) = (0.36, 0.86);
    assert!((wave("EUR", may) - 0.045).abs() < 1e-12);
    assert!(wave("EUR", november) < 0.0);
    assert!((wave("NZD", november) - wave("EUR", may)).abs() < 1e-12);
    assert!((wave("NZD", may) - wave("EUR", november)).abs() < 1e-12);
    // The fit follows: three sales say next to nothing of a season.
    let book = &books()[1];
    let sine = |currency: Currency| {
        let fitted = fit_in(currency, book, &records(book));
        fitted.coefficients[features::SEASON.start]
    };
    let (north, south) = (sine(money()), sine(Currency::from_code("ZAR").unwrap()));
    assert!(north - south > 0.03, "{north} and {south}");
}
