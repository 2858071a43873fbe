//! Buyers: they come at random, each with a price of their own in mind, and
//! haggle with the seller or walk away; or, on the other kind of market, they
//! pay the ask or walk away ([`Posted`]).

use super::posted::Posted;
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
pub const TASTE: f64 = 0.15;
/// Mean (ln) of what buyers would pay, beside the worth.
pub const TASTE_LEAN: f64 = -0.01;
/// Degrees of freedom of that taste (Student t).
pub const TASTE_FREEDOM: f64 = 5.0;
/// Share of those who would pay less than the ask and do not say so.
pub const TOO_PROUD: f64 = 0.25;
/// Share of those who would pay the ask and do.
pub const PAYS_THE_ASK: f64 = 0.3;
/// How far from the seller's least to the buyer's most they meet, at the least.
pub const MEET_FROM: f64 = 0.35;

/// Who comes to look.
#[derive(Clone, Copy, Debug)]
pub enum Buyers {
    /// They haggle; all numbers are those of this file.
    Haggling,
    /// They pay the ask or walk away.
    Posted(Posted),
}

impl Buyers {
    /// The most visits a day, in the busiest season and for the commonest bike.
    fn most_visits(&self) -> f64 {
        match self {
            Buyers::Haggling => VISITS_A_DAY * BUSIEST,
            Buyers::Posted(posted) => posted.most_visits(),
        }
    }

    /// The share of these that comes for `bike` at a place in the year.
    fn share(&self, bike: &TrueBike, season: f64) -> f64 {
        match self {
            Buyers::Haggling => {
                let thin = crowd(bike.style, bike.seat_tube.class(bike.style)) / BUSIEST;
                thin * bustle(season)
            }
            Buyers::Posted(posted) => posted.share(season),
        }
    }

    /// Visits a day for `bike` at a place in the year.
    pub fn visits(&self, bike: &TrueBike, season: f64) -> f64 {
        self.most_visits() * self.share(bike, season)
    }

    /// One visit: the price paid, if any, asks and prices being in whole `unit`s.
    fn visit(
        &self,
        rng: &mut ChaCha8Rng,
        worth: f64,
        ask: f64,
        reserve: f64,
        unit: f64,
    ) -> Option<f64> {
        match self {
            Buyers::Haggling => {
                haggle(rng, worth, ask, reserve).map(|price| price_to_pay(price, unit))
            }
            Buyers::Posted(posted) => posted.pays(rng, worth, ask).then_some(ask),
        }
    }
}

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
        let asks = Asks {
            ask: &|day| self.ask(day, unit),
            reserve: self.reserve,
            patience: self.patience,
        };
        asks.offer(rng, world, bike, from)
    }
}

/// A way of asking, whatever it is.
pub struct Asks<'a> {
    /// The ask on a day counted from the listing.
    pub ask: &'a dyn Fn(f64) -> f64,
    /// Part of the ask below which no offer is taken.
    pub reserve: f64,
    /// Days after which the bike is taken back.
    pub patience: f64,
}

impl Asks<'_> {
    /// Offers `bike` from day `from` on until it is sold or taken back.
    pub fn offer(&self, rng: &mut ChaCha8Rng, world: &World, bike: &TrueBike, from: f64) -> End {
        let unit = world.ln_level().exp();
        let most = world.buyers.most_visits();
        let mut day = 0.0;
        loop {
            let gap: f64 = Exp1.sample(rng);
            day += gap / most;
            if day >= self.patience {
                return End::Withdrawn {
                    on: from + self.patience,
                };
            }
            let busy = world.buyers.share(bike, world.season_at(from + day));
            if rng.random::<f64>() >= busy {
                continue;
            }
            let worth = world.ln_worth(bike, from + day).exp();
            let ask = (self.ask)(day);
            let paid = world.buyers.visit(rng, worth, ask, self.reserve, unit);
            if let Some(price) = paid {
                return End::Sold {
                    on: from + day,
                    price,
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
    let taste: f64 = StudentT::new(TASTE_FREEDOM).unwrap().sample(rng);
    let most = worth * (TASTE * taste + TASTE_LEAN).exp();
    let least = reserve * ask;
    if most < least || (most < ask && rng.random_bool(TOO_PROUD)) {
        return None; // too dear, or too proud to ask for less
    }
    if most >= ask && rng.random_bool(PAYS_THE_ASK) {
        return Some(ask);
    }
    let limit = most.min(ask);
    Some(least + rng.random_range(MEET_FROM..1.0) * (limit - least))
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
