//! What a seller should take from each part of the market.

use super::days::OnMarket;
use super::haggling::Gap;
use super::movement::Factor;
use super::places::By;
use super::{GroupRow, Market};

/// Comps below which a style's asks are not compared with another's (judgement).
const FEW_ASKS: usize = 5;

/// Pairs of ask and sale price below which there is no habit to speak of (judgement).
const FEW_PAIRS: usize = 5;

/// What a haggle is worth anyway, as a fraction of the price (judgement).
const LITTLE: f64 = 0.01;

/// How far the records carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carries {
    /// There are none.
    Nothing,
    /// Own prices only.
    NoComps,
    /// A first impression.
    FewComps,
    /// What others hope for, not what buyers pay.
    FewSales,
    /// Enough for the larger rows of the tables.
    Enough,
}

/// From the records.
pub fn of_records(market: &Market) -> Carries {
    match (market.comps.comps, market.sales.sold) {
        (0, 0) => Carries::Nothing,
        (0, _) => Carries::NoComps,
        (..20, _) => Carries::FewComps,
        (_, ..5) => Carries::FewSales,
        _ => Carries::Enough,
    }
}

/// From asks and sale prices: the styles for which most and least is asked; `None`
/// where these are one, or none is asked often enough.
pub fn of_prices(market: &Market) -> Option<[&GroupRow; 2]> {
    let median = |row: &GroupRow| row.row.asks.map(|asks| asks.median);
    let asked = |row: &&GroupRow| row.row.comps >= FEW_ASKS;
    let rows = || market.table(By::Style).iter().filter(asked);
    let dearest = rows().max_by_key(|row| median(row))?;
    let cheapest = rows().min_by_key(|row| median(row))?;
    (dearest.row.code != cheapest.row.code).then_some([dearest, cheapest])
}

/// What became of the comps that ended; shares in percent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ended {
    /// How many ended.
    pub comps: usize,
    /// Percent seen to sell.
    pub sold: f64,
    /// Percent taken back.
    pub withdrawn: f64,
    /// Percent gone for an unknown reason.
    pub gone: f64,
}

/// From the outcomes; `None` where no comp has ended.
pub fn of_outcomes(market: &Market) -> Option<Ended> {
    let [_, sold, withdrawn, gone] = market.comps.outcomes;
    let comps = sold + withdrawn + gone;
    let share = |count: usize| 100.0 * count as f64 / comps as f64;
    (comps > 0).then(|| Ended {
        comps,
        sold: share(sold),
        withdrawn: share(withdrawn),
        gone: share(gone),
    })
}

/// How own bikes sell beside the comps; median days on market.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pace {
    /// Own bikes and comps, the own faster by a fifth at least.
    Faster(f64, f64),
    /// Own bikes and comps, the own slower by a quarter at least.
    Slower(f64, f64),
    /// Own bikes and comps, much alike.
    Alike(f64, f64),
    /// Own bikes; too few comps.
    OwnAlone(f64),
    /// Comps; too few own bikes.
    CompsAlone(f64),
    /// Too few of either.
    Unknown,
}

/// From the days on market.
pub fn of_days(market: &Market) -> Pace {
    let half = |of: &Option<OnMarket>| {
        let enough = of.as_ref().filter(|of| of.is_enough());
        enough.and_then(|of| of.median)
    };
    match (half(&market.days.own), half(&market.days.comps)) {
        (Some(own), Some(comps)) if own < 0.8 * comps => Pace::Faster(own, comps),
        (Some(own), Some(comps)) if own > 1.25 * comps => Pace::Slower(own, comps),
        (Some(own), Some(comps)) => Pace::Alike(own, comps),
        (Some(own), None) => Pace::OwnAlone(own),
        (None, Some(comps)) => Pace::CompsAlone(comps),
        (None, None) => Pace::Unknown,
    }
}

/// How much room to leave between ask and sale price; fractions of the ask, below 0
/// where less is paid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Room {
    /// The median of own sales against the first ask.
    Own(f64),
    /// Buyers pay what is first asked.
    NoNeed,
    /// The median of comps against the last ask; too few own sales.
    Comps(f64),
    /// Too few of either.
    Unknown,
}

/// From ask and sale price.
pub fn of_gap(market: &Market) -> Room {
    let [own, _, _, comps] = market.gaps;
    let median = |gap: Gap| gap.median.filter(|_| gap.sales >= FEW_PAIRS);
    match (median(own), median(comps)) {
        (Some(own), _) if own < -0.005 => Room::Own(own),
        (Some(_), _) => Room::NoNeed,
        (None, Some(comps)) => Room::Comps(comps),
        (None, None) => Room::Unknown,
    }
}

/// How the market moved in a year: the level of then against today's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Course {
    /// The records do not reach back so far.
    NotReached,
    /// The level of then rests on the prior.
    TooFew,
    /// It may have stood still.
    Unclear(Factor),
    /// It rose.
    Rose(Factor),
    /// It fell.
    Fell(Factor),
}

/// From the movement.
pub fn of_movement(market: &Market) -> Course {
    match market.a_year_ago() {
        None => Course::NotReached,
        Some(then) if then.rests_on_prior() => Course::TooFew,
        Some(then) if then.level.may_be_none() => Course::Unclear(then.level),
        Some(then) if then.level.factor < 1.0 => Course::Rose(then.level),
        Some(then) => Course::Fell(then.level),
    }
}

/// When to sell. Months count from 0, with their factor against the year's mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum When {
    /// No prices.
    Unknown,
    /// No clear season.
    Unclear,
    /// It moves prices by too little.
    Little,
    /// In the better months.
    Months {
        /// The best.
        best: (usize, f64),
        /// The weakest.
        weakest: (usize, f64),
        /// Months that have prices.
        seen: usize,
    },
}

/// From the season.
pub fn of_season(market: &Market) -> When {
    let Some(season) = &market.season else {
        return When::Unknown;
    };
    if !season.is_clear {
        return When::Unclear;
    }
    let months = &season.months;
    if months.iter().all(|m| (m.factor - 1.0).abs() < LITTLE) {
        return When::Little;
    }
    let (best, weakest) = season.best_and_weakest();
    let month = |of: usize| (of, months.get(of).map_or(1.0, |month| month.factor));
    When::Months {
        best: month(best),
        weakest: month(weakest),
        seen: season.months_seen,
    }
}

/// Whether prices stand out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StandOut {
    /// The value model set prices aside.
    SetAside,
    /// None does.
    None,
    /// Asks are far from what is likely.
    FarAsks,
}

/// From what is unusual.
pub fn of_unusual(market: &Market) -> StandOut {
    let gathered = market.gathered.iter();
    let mut set_aside = gathered.flat_map(|g| &g.left_out_named);
    if market.far.count > 0 {
        StandOut::FarAsks
    } else if set_aside.any(|row| row.ratio.is_some()) {
        StandOut::SetAside
    } else {
        StandOut::None
    }
}
