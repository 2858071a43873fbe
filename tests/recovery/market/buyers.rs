//! Buyers: they come at random, each with a price of their own in mind, and
//! haggle with the seller or walk away.

use super::worth::{TrueBike, World};
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Exp1, StudentT};
use wheelworth::trade::{SizeClass, Style};

/// Serious buyers a day for a bike of a common size, out of season.
const VISITS_A_DAY: f64 = 0.13;
/// The most that season can make of it.
const BUSIEST: f64 = 1.8;
/// Spread (ln) of what buyers would pay around the worth.
const TASTE: f64 = 0.15;

/// How a seller behaves at the door.
#[derive(Clone, Copy, Debug)]
pub struct Seller {
    /// First ask.
    pub first_ask: f64,
    /// Days between cuts.
    pub cut_every: f64,
    /// Part of the ask cut each time.
    pub cut: f64,
    /// Cuts made at most.
    pub cuts: usize,
    /// Part of the ask below which no offer is taken.
    pub reserve: f64,
    /// Days after which the bike is taken back.
    pub patience: f64,
}

/// How a listing ended.
#[derive(Clone, Copy, Debug)]
pub enum End {
    Sold { on: f64, price: f64 },
    Withdrawn { on: f64 },
}

impl End {
    /// The day of the end.
    pub fn day(&self) -> f64 {
        match *self {
            End::Sold { on, .. } | End::Withdrawn { on } => on,
        }
    }
}

impl Seller {
    /// The ask on a day counted from the listing, on a price point.
    pub fn ask(&self, day: f64, unit: f64) -> f64 {
        let cuts = (day / self.cut_every).floor().clamp(0.0, self.cuts as f64);
        price_point(self.first_ask * (1.0 - self.cut).powf(cuts), unit)
    }

    /// Offers `bike` from day `from` on until it is sold or taken back.
    pub fn offer(&self, rng: &mut ChaCha8Rng, world: &World, bike: &TrueBike, from: f64) -> End {
        let unit = world.ln_level().exp();
        let most = VISITS_A_DAY * BUSIEST;
        let thin = crowd(bike.style, bike.seat_tube.class(bike.style)) / BUSIEST;
        let mut day = 0.0;
        loop {
            let gap: f64 = Exp1.sample(rng);
            day += gap / most;
            if day >= self.patience {
                return End::Withdrawn {
                    on: from + self.patience,
                };
            }
            let busy = thin * bustle(world.season_at(from + day));
            if rng.random::<f64>() >= busy {
                continue;
            }
            let worth = world.ln_worth(bike, from + day).exp();
            if let Some(price) = haggle(rng, worth, self.ask(day, unit), self.reserve) {
                return End::Sold {
                    on: from + day,
                    price: price_to_pay(price, unit),
                };
            }
        }
    }
}

/// Visits by season, 1 on average months, below [`BUSIEST`].
fn bustle(season: f64) -> f64 {
    let spring = (-((season - 0.35) / 0.14).powi(2)).exp();
    let autumn = (-((season - 0.70) / 0.06).powi(2)).exp();
    0.55 + 1.05 * spring + 0.4 * autumn
}

/// Visits by style and size: rare sizes wait longer.
fn crowd(style: Style, size: Option<SizeClass>) -> f64 {
    let style = match style {
        Style::Hybrid | Style::City => 1.0,
        Style::Kids => 0.95,
        Style::Cruiser | Style::Other | Style::Touring => 0.7,
        _ => 0.9,
    };
    style
        * match size {
            Some(SizeClass::XS | SizeClass::XL) => 0.65,
            _ => 1.0,
        }
}

/// One visit: the price agreed on, if any.
fn haggle(rng: &mut ChaCha8Rng, worth: f64, ask: f64, reserve: f64) -> Option<f64> {
    let taste: f64 = StudentT::new(5.0).unwrap().sample(rng);
    let most = worth * (TASTE * taste - 0.01).exp();
    let least = reserve * ask;
    if most < least || (most < ask && rng.random_bool(0.25)) {
        return None; // too dear, or too proud to ask for less
    }
    if most >= ask && rng.random_bool(0.3) {
        return Some(ask);
    }
    let limit = most.min(ask);
    Some(least + rng.random_range(0.35..1.0) * (limit - least))
}

/// Asks stand on round figures: fives from 100 on, ones below (times `unit`).
pub fn price_point(price: f64, unit: f64) -> f64 {
    let step = if price >= 100.0 * unit {
        5.0 * unit
    } else {
        unit
    };
    (price / step).round().max(1.0) * step
}

/// Prices are paid in whole units.
fn price_to_pay(price: f64, unit: f64) -> f64 {
    (price / unit).round().max(1.0) * unit
}
