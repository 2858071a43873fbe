//! What gets written down: the user's notes on his own bikes, and what he sees
//! of other people's listings when he looks at the board every few weeks.

use super::buyers::{End, Seller};
use super::form::Form;
use super::worth::{TrueBike, World};
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal};
use wheelworth::trade::{Bike, Comparable, Condition, Currency, Money, Outcome, Tier, Years};

use super::Calendar;

/// How carelessly facts are noted: chances, each for one fact of one bike.
#[derive(Clone, Copy, Debug)]
pub struct Care {
    pub condition_off: f64,
    pub condition_unknown: f64,
    pub tier_off: f64,
    pub tier_unknown: f64,
    pub made_off: f64,
    pub made_unknown: f64,
    pub tube_unknown: f64,
    pub new_price_unknown: f64,
    /// Error (ln) of a noted price new.
    pub new_price_error: f64,
}

/// Own bikes, which went through the user's hands.
pub const OWN: Care = Care {
    condition_off: 0.10,
    condition_unknown: 0.02,
    tier_off: 0.06,
    tier_unknown: 0.04,
    made_off: 0.0,
    made_unknown: 0.05,
    tube_unknown: 0.08,
    new_price_unknown: 0.50,
    new_price_error: 0.0,
};

/// Bikes seen in a listing.
pub const SEEN: Care = Care {
    condition_off: 0.18,
    condition_unknown: 0.10,
    tier_off: 0.12,
    tier_unknown: 0.12,
    made_off: 0.15,
    made_unknown: 0.18,
    tube_unknown: 0.30,
    new_price_unknown: 0.75,
    new_price_error: 0.08,
};

/// The grade noted for a true one: one off with chance `off`, either way alike
/// (at the ends the only way there is).
fn judged(rng: &mut ChaCha8Rng, grade: usize, off: f64) -> u8 {
    let up = rng.random();
    let grade = if !rng.random_bool(off) {
        grade
    } else if grade == 1 || (grade < 5 && up) {
        grade + 1
    } else {
        grade - 1
    };
    grade as u8
}

/// Chance that a true grade is noted as `noted`.
pub fn chance_judged(noted: usize, grade: usize, off: f64) -> f64 {
    let ways = if grade == 1 || grade == 5 { 1.0 } else { 2.0 };
    match noted.abs_diff(grade) {
        0 => 1.0 - off,
        1 => off / ways,
        _ => 0.0,
    }
}

/// The facts as noted. Every chance is drawn whether used or not.
pub fn note(
    rng: &mut ChaCha8Rng,
    bike: &TrueBike,
    care: &Care,
    currency: Currency,
    world: &World,
) -> Bike {
    let condition = judged(rng, bike.condition, care.condition_off);
    let tier = judged(rng, bike.tier, care.tier_off);
    let off = i16::from(rng.random_bool(care.made_off)) * rng.random_range(-2..=2);
    let error: f64 = Normal::new(0.0, 1.0).unwrap().sample(rng);
    let new = (bike.ln_new_price() + care.new_price_error * error).exp();
    let unit = world.ln_level().exp();
    let new = (new / 5.0).round().max(1.0) * 5.0 * unit;
    let mut known = |unknown: f64| !rng.random_bool(unknown);
    Bike {
        style: bike.style,
        made: known(care.made_unknown).then_some(Years::from(bike.made + off)),
        condition: known(care.condition_unknown)
            .then(|| Condition::from_grade(condition))
            .flatten(),
        tier: known(care.tier_unknown)
            .then(|| Tier::from_grade(tier))
            .flatten(),
        seat_tube: known(care.tube_unknown).then_some(bike.seat_tube),
        new_price: known(care.new_price_unknown)
            .then(|| currency.round(new))
            .flatten(),
    }
}

/// Days (after the first) on which the user looks at the board.
pub fn look_days(rng: &mut ChaCha8Rng, until: f64, form: Form) -> Vec<f64> {
    let (fewest, most) = form.between_looks();
    let mut days = vec![];
    let mut day = f64::from(rng.random_range(0..fewest));
    while day <= until {
        days.push(day);
        day += f64::from(rng.random_range(fewest..=most));
    }
    days
}

/// Where listings are seen.
const SOURCES: [&str; 3] = ["notice board", "small ads", "yard wall"];

/// Chance that a look at the board takes notice of a listing.
const NOTICED: f64 = 0.9;

/// What the user has of one listing, or nothing if it never met his eye.
#[allow(clippy::too_many_arguments)]
pub fn watch(
    rng: &mut ChaCha8Rng,
    world: &World,
    calendar: &Calendar,
    looks: &[f64],
    bike: &TrueBike,
    seller: &Seller,
    from: f64,
    end: &End,
) -> Option<Comparable> {
    let gone_on = end.day().ceil();
    let stops_watching = rng.random_bool(0.08);
    let begin = looks.partition_point(|look| *look < from);
    let close = looks.partition_point(|look| *look < gone_on);
    let mut seen = looks
        .get(begin..close)?
        .iter()
        .copied()
        .filter(|_| rng.random_bool(NOTICED));
    let first = seen.next()?;
    let mut last = if stops_watching {
        first
    } else {
        seen.last().unwrap_or(first)
    };
    let unit = world.ln_level().exp();
    let currency = calendar.currency;
    let first_ask = currency.round(seller.ask(first - from, unit))?;
    let last_ask = currency.round(seller.ask(last - from, unit))?;

    // The page of an ended listing may still say what became of it.
    let next_look = looks.get(close).copied().filter(|_| !stops_watching);
    let (mut outcome, mut ended_on, mut sold_price) = (Outcome::Listed, None, None);
    if let Some(next) = next_look {
        let says = rng.random::<f64>();
        let tells_day = rng.random_bool(0.7);
        let tells_price = rng.random_bool(0.25);
        outcome = match end {
            End::Sold { .. } if says < 0.20 => Outcome::Sold,
            End::Withdrawn { .. } if says < 0.25 => Outcome::Withdrawn,
            _ => Outcome::Gone,
        };
        if outcome != Outcome::Gone {
            last = next;
            ended_on = tells_day.then(|| calendar.day(end.day()));
        }
        if let (Outcome::Sold, End::Sold { price, .. }) = (outcome, end) {
            sold_price = if tells_price {
                currency.round(*price)
            } else {
                None
            };
        }
    }
    let tells_listed = rng.random_bool(0.6);
    let writes_last = last_ask != first_ask || rng.random_bool(0.6);
    let mut facts = note(rng, bike, &SEEN, currency, world);
    facts.made = facts
        .made
        .map(|made| Years::from(made.last().min(calendar.year(first))));
    let source = SOURCES[rng.random_range(0..3)];
    Some(Comparable {
        listing: String::new(),
        source: source.to_owned(),
        bike: facts,
        listed_on: tells_listed.then(|| calendar.day(from)),
        first_seen: Some(calendar.day(first)),
        last_seen: Some(calendar.day(last)),
        ask: first_ask,
        last_ask: writes_last.then_some(last_ask),
        outcome,
        ended_on,
        sold_price,
    })
}

/// Share of the rows that are a second sighting of the row before.
pub const TWICE: f64 = 0.03;
/// The same bike put down a second time, half the time from another source.
pub fn again(rng: &mut ChaCha8Rng, row: &Comparable) -> Comparable {
    let mut second = row.clone();
    if rng.random_bool(0.5) {
        second.source = SOURCES[rng.random_range(0..3)].to_owned();
        second.listed_on = None;
    }
    second
}

/// Share of the rows that are nonsense.
pub const NONSENSE: f64 = 0.02;

/// Spoils a row: an ask ten times too high or low, two bikes sold as one, or
/// a bike for parts that is called tidy.
pub fn spoil(rng: &mut ChaCha8Rng, row: &mut Comparable) {
    let scale = |money: Money, factor: f64| {
        Money::from_minor(((money.minor() as f64 * factor).round() as i64).max(1))
    };
    let factor = match rng.random_range(0..4) {
        0 => 10.0,
        1 => 0.1,
        2 => rng.random_range(1.7..2.1),
        _ => {
            row.bike.condition = Some(Condition::Tidy);
            rng.random_range(0.15..0.3)
        }
    };
    row.ask = scale(row.ask, factor);
    row.last_ask = row.last_ask.map(|ask| scale(ask, factor));
    row.sold_price = None;
}
