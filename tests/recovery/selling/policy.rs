//! A way of asking, and what the true buyers make of it.

use super::SellingMarket;
use super::demand::Demand;
use crate::recovery::market::worth::{TrueBike, World};

/// Days a bike may stay listed.
pub const DAYS: usize = 182;
/// Weeks of it.
pub const WEEKS: usize = 26;
/// What remains of a price a week later.
pub const KEEPS: f64 = 0.99;
/// Part of the worth that an unsold bike brings at the end.
pub const QUICK_SALE: f64 = 0.6;
/// Days for which chances of a sale are stated.
pub const WITHIN: [usize; 4] = [7, 14, 30, 60];

/// Asks from days on, which never rise; the first from day 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Policy {
    /// (day from the listing, ask), days rising.
    pub steps: Vec<(f64, f64)>,
}

impl Policy {
    /// Checks the steps.
    pub fn new(steps: Vec<(f64, f64)>) -> Self {
        assert!(steps.first().is_some_and(|s| s.0 == 0.0), "{steps:?}");
        assert!(
            steps
                .windows(2)
                .all(|w| w[0].0 < w[1].0 && w[0].1 >= w[1].1),
            "asks rise or days fall: {steps:?}"
        );
        assert!(steps.iter().all(|s| s.1 > 0.0), "{steps:?}");
        Self { steps }
    }

    /// One ask to the end.
    pub fn single(ask: f64) -> Self {
        Self::new(vec![(0.0, ask)])
    }

    /// From an ask for each week.
    pub fn weekly(asks: &[f64]) -> Self {
        let mut steps: Vec<(f64, f64)> = Vec::new();
        for (week, ask) in asks.iter().enumerate() {
            if steps.last().is_none_or(|s| s.1 != *ask) {
                steps.push((7.0 * week as f64, *ask));
            }
        }
        Self::new(steps)
    }

    /// The ask on a day from the listing.
    pub fn ask(&self, day: f64) -> f64 {
        let next = self.steps.partition_point(|s| s.0 <= day);
        self.steps[next - 1].1
    }

    /// Mark-downs.
    pub fn cuts(&self) -> usize {
        self.steps.len() - 1
    }
}

/// What a policy comes to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Outcome {
    /// Expected present value.
    pub present_value: f64,
    /// Expected price, whenever it comes.
    pub price: f64,
    /// Chance of a sale in the first 7, 14, 30, 60 days.
    pub within: [f64; 4],
    /// Chance that it is unsold at the end.
    pub unsold: f64,
    /// Expected days listed.
    pub days: f64,
}

/// A stretch of time at one ask, for a bike unsold at its beginning.
#[derive(Clone, Copy, Debug)]
pub struct Stretch {
    /// Present value, at the beginning, of what a sale within it brings.
    pub gain: f64,
    /// What a sale within it brings, whenever it comes.
    pub price: f64,
    /// Chance of no sale.
    pub unsold: f64,
    /// That chance times what remains of a price at its end.
    pub carry: f64,
}

/// A bike on offer from the last day on, as its true buyers see it: visits and
/// worth at the middle of each day, constant within it. (Both move by less than
/// 0.1 % a day in the mean.)
#[derive(Clone, Debug)]
pub struct Prospect<'a> {
    demand: &'a Demand,
    visits: Vec<f64>,
    ln_worth: Vec<f64>,
    /// What it is worth on the day of the listing.
    pub worth: f64,
    /// What it brings at the end.
    pub left: f64,
}

impl<'a> Prospect<'a> {
    /// Of a bike in a world.
    pub fn of(demand: &'a Demand, world: &World, bike: &TrueBike) -> Self {
        let from = world.as_of;
        let middle = |day: usize| from + day as f64 + 0.5;
        Self {
            demand,
            visits: (0..DAYS)
                .map(|day| world.buyers.visits(bike, world.season_at(middle(day))))
                .collect(),
            ln_worth: (0..DAYS)
                .map(|day| world.ln_worth(bike, middle(day)))
                .collect(),
            worth: world.ln_worth(bike, from).exp(),
            left: QUICK_SALE * world.ln_worth(bike, from + DAYS as f64).exp(),
        }
    }

    /// The same bike at another worth on the day of the listing.
    pub fn worth_instead(&self, worth: f64) -> Self {
        let by = (worth / self.worth).ln();
        Self {
            ln_worth: self.ln_worth.iter().map(|ln| ln + by).collect(),
            worth,
            left: self.left * by.exp(),
            ..self.clone()
        }
    }

    /// Of every fresh bike of a market.
    pub fn all(demand: &'a Demand, market: &SellingMarket) -> Vec<Self> {
        market
            .fresh
            .iter()
            .map(|fresh| Self::of(demand, &market.world, &fresh.truth))
            .collect()
    }

    /// Part of a day at an ask. Visits are Poisson and each buys by himself, so
    /// the hazard is visits times chance; a week keeps 99 %.
    pub fn part_of_day(&self, day: usize, length: f64, ask: f64) -> Stretch {
        let (chance, paid) = self.demand.visit(ask.ln() - self.ln_worth[day]);
        let hazard = self.visits[day] * chance;
        let fades = -KEEPS.ln() / 7.0;
        let unsold = (-hazard * length).exp();
        let carry = unsold * (-fades * length).exp();
        Stretch {
            gain: ask * paid * hazard / (hazard + fades) * (1.0 - carry),
            price: ask * paid * (1.0 - unsold),
            unsold,
            carry,
        }
    }

    /// A week at an ask.
    pub fn week(&self, week: usize, ask: f64) -> Stretch {
        let mut whole = Stretch {
            gain: 0.0,
            price: 0.0,
            unsold: 1.0,
            carry: 1.0,
        };
        for day in 7 * week..7 * week + 7 {
            let part = self.part_of_day(day, 1.0, ask);
            whole.gain += whole.carry * part.gain;
            whole.price += whole.unsold * part.price;
            whole.unsold *= part.unsold;
            whole.carry *= part.carry;
        }
        whole
    }

    /// What a policy comes to.
    pub fn outcome(&self, policy: &Policy) -> Outcome {
        let mut out = Outcome::default();
        let (mut unsold, mut carry) = (1.0, 1.0);
        for day in 0..DAYS {
            if let Some(place) = WITHIN.iter().position(|w| *w == day) {
                out.within[place] = 1.0 - unsold;
            }
            let (start, end) = (day as f64, day as f64 + 1.0);
            let inside = policy.steps.iter().map(|s| s.0);
            let mut at = start;
            for stop in inside
                .filter(|s| *s > start && *s < end)
                .chain(std::iter::once(end))
            {
                let part = self.part_of_day(day, stop - at, policy.ask(at));
                out.present_value += carry * part.gain;
                out.price += unsold * part.price;
                out.days += (stop - at) * unsold * 0.5 * (1.0 + part.unsold);
                unsold *= part.unsold;
                carry *= part.carry;
                at = stop;
            }
        }
        out.present_value += carry * self.left;
        out.price += unsold * self.left;
        out.unsold = unsold;
        out
    }
}
