//! The rows of a simulated book: bikes, own sales, comps.

use super::{Parameters, Simulated, Truth};
use jiff::ToSpan;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Gamma, Normal, StudentT};
use wheelworth::trade::sale::Sold;
use wheelworth::trade::{
    Bike, Comparable, Condition, Currency, Day, Money, Outcome, Sale, SeatTube, Style, Tier, Years,
};

/// Draws the coefficients and then a book of `own` sales, `comps` comps and
/// `fresh` bikes to be priced on the last day. Each group has a stream of its
/// own, so that more of one leaves the others as they are.
pub fn simulate(seed: u64, from: &Parameters, own: usize, comps: usize, fresh: usize) -> Simulated {
    let stream = |number| {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(number);
        rng
    };
    let as_of = from.start.saturating_add(from.days.days());
    let truth = Truth::draw(&mut stream(0), from);
    let mut rng = stream(1);
    let mut sales: Vec<Sale> = (1..=own)
        .map(|number| sale(&mut rng, from, &truth, number))
        .collect();
    sales.sort_by_key(|sale| sale.sold.map(|sold| sold.on));
    let mut rng = stream(2);
    let mut comps: Vec<_> = (1..=comps)
        .map(|number| comp(&mut rng, from, &truth, number))
        .collect();
    comps.sort_by_key(|comp| comp.first_seen);
    let mut rng = stream(3);
    let fresh = (0..fresh)
        .map(|_| {
            let bike = draw_bike(&mut rng, as_of, from.currency);
            let ln = truth.ln_price(&bike, as_of, from.currency);
            let price = ln + truth.sigma_own * error(&mut rng, from);
            (forget(&mut rng, bike, from), money(from, price))
        })
        .collect();
    Simulated {
        as_of,
        truth,
        sales,
        comps,
        fresh,
    }
}

/// One error of unit scale.
fn error(rng: &mut ChaCha8Rng, from: &Parameters) -> f64 {
    match from.tail_df {
        None => Normal::new(0.0, 1.0).unwrap().sample(rng),
        Some(df) => StudentT::new(df).unwrap().sample(rng),
    }
}

fn money(from: &Parameters, ln: f64) -> Money {
    let least = Money::from_minor(1);
    from.currency.round(ln.exp()).unwrap_or(least).max(least)
}

/// A bike with every feature known. Its new price follows style and tier with a
/// spread of 0.3; ages lean to the young, a tenth is 20 to 45 years old.
fn draw_bike(rng: &mut ChaCha8Rng, day: Day, currency: Currency) -> Bike {
    let style = *Style::ALL.choose(rng).unwrap();
    let years = if rng.random_bool(0.1) {
        rng.random_range(20..=45)
    } else {
        Gamma::new(2.0, 4.0).unwrap().sample(rng) as i16
    };
    let condition = Condition::ALL
        .choose_weighted(rng, |c| [1.0, 3.0, 7.0, 6.0, 3.0][c.index()])
        .unwrap();
    let tier = Tier::ALL
        .choose_weighted(rng, |t| [5.0, 7.0, 5.0, 2.0, 1.0][t.index()])
        .unwrap();
    let middle = match style {
        Style::Road => 5450.0,
        Style::Mountain => 4570.0,
        Style::Kids => 2900.0,
        _ => 5150.0,
    };
    let tube: f64 = Normal::new(middle, 320.0).unwrap().sample(rng);
    let new = 6.1 + 0.05 * style.index() as f64 + 0.3 * tier.index() as f64;
    let new: f64 = Normal::new(new, 0.3).unwrap().sample(rng);
    Bike {
        style,
        made: Some(Years::from(day.year() - 1 - years)),
        condition: Some(*condition),
        tier: Some(*tier),
        seat_tube: SeatTube::from_tenths((tube.clamp(2550.0, 7000.0) / 50.0).round() as i64 * 50),
        new_price: currency.round((new.exp() / 10.0).round() * 10.0),
    }
}

/// The bike as recorded: each feature is lost with its chance.
fn forget(rng: &mut ChaCha8Rng, bike: Bike, from: &Parameters) -> Bike {
    let mut kept = |chance: f64| !rng.random_bool(chance);
    Bike {
        style: bike.style,
        made: bike.made.filter(|_| kept(from.unknown)),
        condition: bike.condition.filter(|_| kept(from.unknown)),
        tier: bike.tier.filter(|_| kept(from.unknown)),
        seat_tube: bike.seat_tube.filter(|_| kept(from.unknown)),
        new_price: bike.new_price.filter(|_| kept(from.new_price_unknown)),
    }
}

/// An own sale, priced for its day of listing.
fn sale(rng: &mut ChaCha8Rng, from: &Parameters, truth: &Truth, number: usize) -> Sale {
    let listed = rng.random_range(0..from.days - 1);
    let sold = rng.random_range(listed + 1..=from.days.min(listed + 60));
    let (listed, sold) = (
        from.start.saturating_add(listed.days()),
        from.start.saturating_add(sold.days()),
    );
    let bike = draw_bike(rng, listed, from.currency);
    let ln = truth.ln_price(&bike, listed, from.currency) + truth.sigma_own * error(rng, from);
    let bike = forget(rng, bike, from);
    Sale {
        bought_on: Some(listed.saturating_sub(20.days())),
        listed_on: Some(listed),
        ask: Some(money(from, ln + rng.random_range(0.0..0.1))),
        sold: Some(Sold {
            on: sold,
            price: money(from, ln),
        }),
        ..Sale::of(format!("B-{number}"), bike)
    }
}

/// A comp whose last ask (or known sale price) speaks for its last day.
fn comp(rng: &mut ChaCha8Rng, from: &Parameters, truth: &Truth, number: usize) -> Comparable {
    let first = rng.random_range(0..from.days - 1);
    let last = rng.random_range(first + 1..=from.days.min(first + 90));
    let (first, last) = (
        from.start.saturating_add(first.days()),
        from.start.saturating_add(last.days()),
    );
    let bike = draw_bike(rng, first, from.currency);
    let ln = truth.ln_price(&bike, last, from.currency);
    let sold_for = rng.random_bool(from.comp_sale_known);
    let outcome = match sold_for {
        true => Outcome::Sold,
        false => *Outcome::ALL
            .choose_weighted(rng, |o| [3.0, 1.0, 1.0, 5.0][o.index()])
            .unwrap(),
    };
    let source = &from.asks[outcome.index()];
    let ask_error = truth.sigma_own * source.sigma * error(rng, from);
    let last_ask = ln + truth.ask_offset[outcome.index()] + ask_error;
    let cut = if rng.random_bool(0.4) {
        rng.random_range(0.02..0.2)
    } else {
        0.0
    };
    let sale_error = truth.sigma_own * from.comp_sale.sigma * error(rng, from);
    Comparable {
        listing: format!("c{number}"),
        source: "notice board".to_owned(),
        bike: forget(rng, bike, from),
        listed_on: Some(first),
        first_seen: Some(first),
        last_seen: Some(last),
        ask: money(from, last_ask + cut),
        last_ask: Some(money(from, last_ask)),
        outcome,
        ended_on: matches!(outcome, Outcome::Sold | Outcome::Withdrawn).then_some(last),
        sold_price: sold_for.then(|| money(from, ln + truth.comp_sale_offset + sale_error)),
    }
}
