//! The oracle: the market's true mean ln sale price given the recorded facts.
//!
//! It knows the whole market (every constant, the drift, the season, who brings
//! what) but of the bike only what was recorded. ln sale price is the sum of
//! two parts. The ln worth on the day of listing is averaged *exactly* over what
//! the record leaves open: true condition and tier given the judged ones (and
//! given the price new, which tells of the tier), age and size when unknown; the
//! hidden part averages 0. The outcome of the haggling, ln(sale price / worth on
//! the day of listing), does not depend on the level of prices; its mean is
//! taken from a simulated population for each style and size class. So the
//! oracle has no error but that population's: standard error of one cell about
//! 0.1 / sqrt(4,444) = 0.0015 with 200,000 sales, beside the noise of one sale
//! of about 0.19. Tests: over 200,000 fresh sales its mean error is 0 within
//! 4 standard errors, by style, grade, age, size and whatever is unknown
//! (`oracle_is_the_mean`); a doubled population moves its cells by less than
//! 0.003 on average (`oracle_stands_when_its_population_is_doubled`).

use super::form::Form;
use super::records::{OWN, chance_judged};
use super::sellers::the_user;
use super::worth::{
    NEW_SPREAD, OLDEST, Stock, TrueBike, WORKSHOP, World, age_shares, size_effect, tier_share,
    tube_shares, usual_new_price,
};
use super::{Calendar, Config, End};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, OnceLock};
use wheelworth::trade::{Bike, Day, SizeClass, Style};

/// Sales simulated in all for the mean outcome of the haggling.
pub const POPULATION: usize = 200_000;

/// Mean of ln(sale price / worth on the day of listing) by style and size.
pub type Haggling = [[f64; 5]; 9];

/// Cells not yet or already simulated, one for each day of listing and form.
type Cells = HashMap<(Day, Form), Arc<OnceLock<Haggling>>>;

/// The mean outcome of the haggling of bikes listed on the last day; kept, since
/// it depends on nothing of the seed.
pub fn haggling(config: &Config) -> Haggling {
    static KNOWN: LazyLock<Mutex<Cells>> = LazyLock::new(Mutex::default);
    let cell = KNOWN
        .lock()
        .unwrap()
        .entry((config.as_of(), config.form))
        .or_default()
        .clone();
    *cell.get_or_init(|| simulate_haggling(config, POPULATION, 1))
}

/// Simulates `population` own sales, spread evenly over styles and sizes.
pub fn simulate_haggling(config: &Config, population: usize, seed: u64) -> Haggling {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let calendar = Calendar::of(config);
    let world = World::of(&mut rng, config);
    let from = config.days as f64;
    let each = population / 45;
    std::array::from_fn(|style| {
        std::array::from_fn(|size| {
            let mut sum = 0.0;
            let mut count = 0;
            while count < each {
                let mut bike = TrueBike::draw(&mut rng, &WORKSHOP, calendar.year(from));
                bike.style = Style::ALL[style];
                bike.seat_tube = middle_of(bike.style, SizeClass::ALL[size]);
                let worth = world.ln_worth(&bike, from);
                let seller = the_user(&mut rng, worth.exp());
                if let End::Sold { price, .. } = seller.offer(&mut rng, &world, &bike, from) {
                    sum += price.ln() - worth;
                    count += 1;
                }
            }
            sum / each as f64
        })
    })
}

/// A seat tube in the class (kids have none: any will do).
fn middle_of(style: Style, size: SizeClass) -> wheelworth::trade::SeatTube {
    let tubes = (60..=130).filter_map(|half| wheelworth::trade::SeatTube::from_tenths(half * 50));
    let mut fitting = tubes.filter(|tube| tube.class(style).is_none_or(|class| class == size));
    fitting
        .next()
        .expect("every class has a length between 30 and 65 cm")
}

/// Mean ln sale price of own bikes with these recorded facts, listed on the
/// last day and sold the user's way.
pub fn mean_ln_sale(world: &World, haggling: &Haggling, bike: &Bike, calendar: &Calendar) -> f64 {
    let from = world.as_of;
    let (size, ln_haggle) = match bike.seat_tube {
        Some(tube) => {
            let class = tube.class(bike.style);
            (
                size_effect(bike.style, tube),
                haggling[bike.style.index()][place(class)],
            )
        }
        None => average_size(bike.style, &haggling[bike.style.index()]),
    };
    let rest = world.drift(from) + world.season(from) + size + ln_haggle;
    let ages: Vec<(f64, f64)> = if let Some(made) = bike.made {
        let share = 1.0 / made.each().count() as f64;
        made.each()
            .map(|year| (world.age(year, from), share))
            .collect()
    } else {
        let shares = age_shares(bike.style);
        let year = calendar.year(from);
        (0..=OLDEST)
            .map(|years| (world.age(year - years as i16, from), shares[years]))
            .collect()
    };
    let Stock { conditions } = WORKSHOP;
    let (mut sum, mut whole) = (0.0, 0.0);
    for tier in 1..=5 {
        let judged = |noted: wheelworth::trade::Tier| {
            chance_judged(noted.grade().into(), tier, OWN.tier_off)
        };
        let mut share = tier_share(bike.style, tier) * bike.tier.map_or(1.0, judged);
        let mut new_price = 0.0;
        if let Some(noted) = bike.new_price {
            let ln_new = calendar.currency.units(noted).ln() - world.ln_level();
            let surprise = ln_new - usual_new_price(bike.style, tier);
            share *= (-0.5 * (surprise / NEW_SPREAD).powi(2)).exp();
            new_price = World::new_price_effect(surprise);
        }
        for condition in 1..=5 {
            let noted = bike.condition.map(|noted| usize::from(noted.grade()));
            let share = share
                * conditions[condition - 1]
                * noted.map_or(1.0, |noted| {
                    chance_judged(noted, condition, OWN.condition_off)
                });
            if share == 0.0 {
                continue;
            }
            for (age, part) in &ages {
                let worth = world.ln_worth_known(bike.style, *age, condition, tier) + new_price;
                sum += share * part * worth;
                whole += share * part;
            }
        }
    }
    sum / whole + rest
}

/// Row of a size class in the haggling table; bikes without one share a row.
fn place(class: Option<SizeClass>) -> usize {
    class.map_or(2, SizeClass::index)
}

/// Mean effect and mean haggling over the sizes of a style.
fn average_size(style: Style, haggling: &[f64; 5]) -> (f64, f64) {
    let (mut size, mut haggle, mut whole) = (0.0, 0.0, 0.0);
    for (class, share, effect) in tube_shares(style) {
        size += share * effect;
        haggle += share * haggling[place(class)];
        whole += share;
    }
    (size / whole, haggle / whole)
}
